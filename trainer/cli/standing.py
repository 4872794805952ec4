"""`trainer standing`: judge history files by a qualification scheme, without a database.

Exit code 0 when everything could be judged (whatever the verdict), 2 for anything that cannot be read.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.errors import Unreadable
from trainer.settings import bank_folder

if TYPE_CHECKING:
    from trainer.qualification import Level, Scheme, WrittenPractice

UNREADABLE = 2


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--scheme",
    metavar="ID|FILE",
    help="Id of a scheme such as SNT-2020, or a file with the employer's written practice.",
)
@click.option("--level", metavar="L", help="I or II (or 1 or 2).")
@click.option("--on", "on_text", metavar="DATE", help="The day to judge for, such as 2025-06-30.")
@click.option("--batch", is_flag=True, help="FILE is a YAML list of {id, scheme, level, on, history}.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object (with --batch: one line each).")
@click.pass_context
def standing(
    context: click.Context,
    file: Path,
    scheme: str | None,
    level: str | None,
    on_text: str | None,
    batch: bool,
    as_json: bool,
) -> None:
    """Judge a person's history on a day: each prerequisite met, not met or expired, and why.

    The answer says what these records show on that day. It certifies nobody: the Level III and the
    employer, or the certification body, decide.

    \b
    trainer standing tess.yaml --scheme SNT-2020 --level I --on 2025-06-30
    trainer standing tess.yaml --scheme our-practice.yaml --level II --on 2025-06-30 --json
    trainer standing --batch everybody.yaml --json
    """
    schemes = _schemes(context)
    if batch:
        if scheme or level or on_text:
            raise Unreadable(
                "with --batch, write scheme, level and on into each case of the file, not as options"
            )
        _judge_all(context, file, schemes, as_json)
        return
    _judge_one(file, schemes, scheme, level, on_text, as_json)


def _judge_one(
    file: Path,
    schemes: dict[str, Scheme],
    scheme_text: str | None,
    level_text: str | None,
    on_text: str | None,
    as_json: bool,
) -> None:
    from trainer.qualification import read_history
    from trainer.qualification import standing as judged
    from trainer.qualification.reading.notation import MAX_BYTES
    from trainer.qualification.showing import standing_as_data, standing_lines

    scheme, practice = _scheme(scheme_text, schemes)
    level, on = _level(level_text), _day(on_text)
    history = read_history(_bytes(file, MAX_BYTES), str(file), schemes)
    outcome = judged(history, scheme, level, on, practice)
    if as_json:
        click.echo(json.dumps(standing_as_data(outcome), ensure_ascii=False))
    else:
        click.echo("\n".join(standing_lines(outcome)))


def _judge_all(context: click.Context, file: Path, schemes: dict[str, Scheme], as_json: bool) -> None:
    from trainer.qualification.batch import MAX_BYTES, judge_batch
    from trainer.qualification.showing import standing_as_data

    any_error = False
    for outcome in judge_batch(_bytes(file, MAX_BYTES), str(file), schemes):
        any_error = any_error or outcome.standing is None
        if outcome.standing is None:
            data = {"id": outcome.id, "error": outcome.error}
            line = f"{outcome.id}: {outcome.error}"
        else:
            data = {"id": outcome.id, **standing_as_data(outcome.standing)}
            line = f"{outcome.id}: {outcome.standing.says}"
        click.echo(json.dumps(data, ensure_ascii=False) if as_json else line)
    if any_error:
        context.exit(UNREADABLE)


def _schemes(context: click.Context) -> dict[str, Scheme]:
    """Read the shipped schemes, and those that an employer keeps in the instance folder."""
    from trainer.qualification.scheme_reader import read_schemes

    schemes = read_schemes(bank_folder() / "schemes")
    instance = getattr(context.obj, "instance", None)
    own = Path(instance) / "question_bank" / "schemes" if instance else None
    if own is not None and any(own.glob("*.yaml")):
        schemes |= read_schemes(own)
    return schemes


def _scheme(text: str | None, schemes: dict[str, Scheme]) -> tuple[Scheme, WrittenPractice | None]:
    """Find a scheme by id, or read a written practice from a file."""
    from trainer.qualification import read_practice_file
    from trainer.qualification.reading.notation import MAX_BYTES

    known = ", ".join(sorted(schemes))
    if not text:
        raise Unreadable(f"say by which scheme to judge: --scheme with one of {known}, or a file")
    if text in schemes:
        return schemes[text], None
    if not Path(text).is_file():
        raise Unreadable(f"there is no scheme and no file '{text[:80]}'; write one of {known}")
    return read_practice_file(_bytes(Path(text), MAX_BYTES), text, schemes)


def _level(text: str | None) -> Level:
    from trainer.qualification.reading.fields import level_of

    level = level_of(text or "")
    if level is None:
        raise Unreadable("say which level to judge: --level I or --level II")
    return level


def _day(text: str | None) -> date:
    from trainer.qualification.reading.fields import day_of

    day = day_of(text or "")
    if day is None:
        raise Unreadable("say for which day to judge, as a day of the calendar such as --on 2025-06-30")
    return day


def _bytes(file: Path, most: int) -> bytes:
    """Read a file, one byte more than allowed at most, so that the reader can say that it is too large."""
    try:
        with file.open("rb") as opened:
            return opened.read(most + 1)
    except OSError as fault:
        raise Unreadable(f"{file} cannot be opened ({fault.strerror}); check its name and folder") from None
