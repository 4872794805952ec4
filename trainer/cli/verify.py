"""`trainer verify`: judge an exported record on this machine, without a network.

Exit code 0 if it is valid, 1 if it is not, 2 if it cannot be read.
"""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import click

from trainer.errors import TrainerError, Unreadable
from trainer.records import issuers as pinning
from trainer.records.issuers import Issuer
from trainer.records.verification import MAX_FILE_BYTES, Verdict, Verification

ISSUERS_FILE = "issuers.toml"
MAX_ISSUERS_BYTES = 1_000_000
EXIT_CODES = {Verdict.VALID: 0, Verdict.UNREADABLE: 2}


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--issuer", "dids", multiple=True, metavar="DID", help="Trust this key (did:key:z6Mk...). Repeatable."
)
@click.option(
    "--issuers", "issuers_file", type=click.Path(path_type=Path), help="Trust the issuers of this file."
)
@click.option(
    "--status", "status_file", type=click.Path(path_type=Path), help="The status list of the issuer."
)
@click.option(
    "--on", "on_text", metavar="DATE", help="The day to judge for, such as 2026-03-02; today if left out."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object for scripts.")
@click.pass_context
def verify(
    context: click.Context,
    file: Path,
    dids: tuple[str, ...],
    issuers_file: Path | None,
    status_file: Path | None,
    on_text: str | None,
    as_json: bool,
) -> None:
    """Say whether a signed record (JSON, or certificate PDF) is valid: in words, as of a day.

    Whom to trust is said with --issuer or --issuers; without them, the issuers pinned in issuers.toml of the
    instance folder are trusted. A record whose issuer is not on the list is never valid. Each signature is told
    with its key, and whoever the record names and has not signed yet.

    \b
    trainer verify tv-11.json
    trainer verify tv-11.json --status tv-status.json --on 2026-03-02
    """
    from trainer.records import verification

    on = _day(on_text)
    trusted = _trusted(context, dids, issuers_file)
    try:
        document = read_bytes(file, MAX_FILE_BYTES)
        status = read_bytes(status_file, MAX_FILE_BYTES) if status_file else None
    except Unreadable as fault:
        outcome = Verification(Verdict.UNREADABLE, (str(fault),))
    else:
        outcome = verification.verify(document, trusted, on, status)
    _show(outcome, file, as_json)
    context.exit(EXIT_CODES.get(outcome.verdict, 1))


def _trusted(context: click.Context, dids: tuple[str, ...], issuers_file: Path | None) -> tuple[Issuer, ...]:
    listed = _read_issuers(issuers_file) if issuers_file else ()
    given = []
    for did in dict.fromkeys(dids):
        if pinning.find(listed, did):
            continue
        try:
            given.append(Issuer(did, "The issuer you named"))
        except TrainerError as fault:
            raise click.BadParameter(str(fault), param_hint="--issuer") from None
    if issuers_file or dids:
        return (*listed, *given)
    instance = getattr(context.obj, "instance", None)
    pinned = Path(instance) / ISSUERS_FILE if instance else None
    return _read_issuers(pinned) if pinned and pinned.is_file() else ()


def _read_issuers(file: Path) -> tuple[Issuer, ...]:
    try:
        text = read_bytes(file, MAX_ISSUERS_BYTES).decode("utf-8")
    except UnicodeDecodeError:
        raise Unreadable(f"{file} is not UTF-8 text; write the list of issuers as UTF-8.") from None
    return pinning.read(text, str(file))


def read_bytes(file: Path, limit: int) -> bytes:
    """The bytes of a file. Raises Unreadable where it cannot be opened or is larger than ``limit``."""
    try:
        with file.open("rb") as opened:
            data = opened.read(limit + 1)
    except OSError as fault:
        raise Unreadable(f"{file} cannot be opened ({fault.strerror}); check its name and folder.") from None
    if len(data) > limit:
        raise Unreadable(f"{file} is larger than {limit // 1_000_000} MB; it is no file of this kind.")
    return data


def _day(text: str | None) -> date:
    if text is None:
        return date.today()  # noqa: DTZ011  # the day where the person is, read at this edge only
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise click.BadParameter("write the day as 2026-03-02.", param_hint="--on") from None


def _show(outcome: Verification, file: Path, as_json: bool) -> None:
    if as_json:
        click.echo(json.dumps(outcome.as_json(), ensure_ascii=False))
        return
    click.echo(f"{outcome.verdict.upper()}: {file}")
    for reason in outcome.reasons:
        click.echo(f"  {reason}")
    for one in outcome.signatures:
        click.echo(f"  {one.says} {one.key}")
    facts = (
        ("Issuer", outcome.issuer),
        ("About", outcome.subject),
        ("Valid from", outcome.valid_from),
        ("Good until", outcome.valid_until),
        ("Status as of", outcome.status_as_of),
    )
    for title, fact in facts:
        if fact:
            click.echo(f"  {title}: {fact}")
