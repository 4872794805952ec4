"""`trainer selfcheck`: say in sentences what is in order, what is not, and what to do about it."""

from __future__ import annotations

import json
import os
import platform
import shutil
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from datetime import datetime, timedelta
from pathlib import Path

import click

from trainer import __version__
from trainer.cli.opening import existing, now
from trainer.errors import TrainerError
from trainer.settings import Settings, bank_folder, templates_folder
from trainer.store import last_backup

LEAST_FREE = 500_000_000
IDLE = timedelta(days=365)


@dataclass(frozen=True, slots=True)
class Finding:
    """What one check found: ``good`` False when something has to be done."""

    about: str
    good: bool
    says: str


@click.command()
@click.option(
    "--port", default=8000, show_default=True, type=click.IntRange(1, 65535), help="Port to look at."
)
@click.option("--json", "as_json", is_flag=True, help="Print one object for scripts.")
@click.pass_obj
def selfcheck(settings: Settings, port: int, as_json: bool) -> None:
    """Check Python, folder, disk, keys, records, clock, backups, bank and port.

    Exit code 0 when all is in order, 1 when something has to be done.
    """
    findings: list[Finding] = []
    for finding in look(settings, port, now()):
        findings.append(finding)
        if not as_json:
            click.echo(f"{'in order ' if finding.good else 'NOT RIGHT'}  {finding.about}: {finding.says}")
    if as_json:
        click.echo(json.dumps({"findings": [asdict(finding) for finding in findings]}, ensure_ascii=False))
    if not all(finding.good for finding in findings):
        raise click.exceptions.Exit(1)


def look(settings: Settings, port: int, moment: datetime) -> Iterator[Finding]:
    """Every check in turn; one that cannot be made is a finding itself."""
    checks: tuple[tuple[str, Callable[[], Finding]], ...] = (
        ("program", program),
        ("folder", lambda: folder(settings.instance)),
        ("disk", lambda: disk(settings.instance)),
        ("signing key", lambda: key(settings.instance)),
        ("issuers", lambda: pinned(settings.instance)),
        ("records", lambda: store(settings)),
        ("clock", lambda: clock(settings, moment)),
        ("backups", lambda: backups(settings, moment)),
        ("bank", lambda: bank(settings)),
        ("port", lambda: free_port(port)),
    )
    for about, check in checks:
        try:
            yield check()
        except TrainerError as error:
            yield Finding(about, False, str(error))
        except Exception as surprise:
            yield Finding(about, False, f"could not be checked ({type(surprise).__name__}: {surprise}).")


def program() -> Finding:
    """Version, Python, and whether the pages and the bank came along."""
    missing = [str(place) for place in (templates_folder(), bank_folder()) if not place.is_dir()]
    if missing:
        return Finding("program", False, f"{' and '.join(missing)} is missing. Install the program again.")
    return Finding("program", True, f"trainer {__version__} on Python {platform.python_version()}.")


def folder(instance: Path) -> Finding:
    """Whether the instance folder is there, can be written, and keeps its content to its owner."""
    if not instance.is_dir():
        return Finding("folder", True, f"{instance} is not there yet; 'trainer serve' makes it.")
    trial = instance / f".selfcheck-{os.getpid()}"
    try:
        trial.write_bytes(b"trial")
        trial.unlink()
    except OSError as problem:
        return Finding(
            "folder",
            False,
            f"{instance} cannot be written ({problem.strerror}). Give its owner the right to write, "
            "or choose another with --instance.",
        )
    if shown := shown_to_others(instance):
        return Finding(
            "folder",
            False,
            f"Other accounts of this machine can read {', '.join(shown)}: answers, and keys of own items. "
            f"Run: chmod -R go= '{instance}'",
        )
    return Finding("folder", True, f"{instance} can be written, and is for its owner's eyes only.")


def shown_to_others(instance: Path) -> list[str]:
    """What of an instance other accounts may read; nothing where a system has no such modes."""
    if os.name == "nt" or not instance.stat().st_mode & 0o011:
        return []
    names = ("trainer.sqlite", "trainer.sqlite-wal", "question_bank")
    return [name for name in names if (instance / name).exists() and _is_readable(instance / name)]


def _is_readable(place: Path) -> bool:
    """Whether other accounts may read a file, list a folder, or read a file of it whose name they guess."""
    mode = place.stat().st_mode
    if mode & 0o044 or not (place.is_dir() and mode & 0o011):
        return bool(mode & 0o044)
    return any(file.stat().st_mode & 0o044 for file in place.rglob("*") if file.is_file())


def disk(instance: Path) -> Finding:
    """Whether there is room for a year of records and their backups."""
    place = next(path for path in (instance.absolute(), *instance.absolute().parents) if path.is_dir())
    free = shutil.disk_usage(place).free
    room = f"{free / 1e9:.1f} GB free."
    if free < LEAST_FREE:
        return Finding("disk", False, f"{room} Free half a gigabyte, or answers may soon not be kept.")
    return Finding("disk", True, room)


def key(instance: Path) -> Finding:
    """Whether the signing key is one, and nobody else's to read."""
    from trainer.services.proving import signing_key

    file = instance / signing_key.KEY_FILE
    if not file.exists():
        return Finding("signing key", True, "none yet; 'trainer serve' makes one.")
    did = signing_key.load(instance).did
    if not signing_key.is_private(instance):
        return Finding("signing key", False, f"{file} can be read by others. Run: chmod 600 '{file}'")
    return Finding("signing key", True, f"{did}, for its owner's eyes only.")


def pinned(instance: Path) -> Finding:
    """Whether the list of keys that are believed here can be read."""
    from trainer.services.proving import issuers

    return Finding("issuers", True, f"keys that are believed here: {len(issuers.pinned(instance))}.")


def store(settings: Settings) -> Finding:
    """Whether the records are whole and of this version."""
    from trainer.store.database_file import check_database
    from trainer.store.migrations import head, pending, taken
    from trainer.store.moving import contents

    if not settings.database and not (settings.instance / "trainer.sqlite").exists():
        return Finding("records", True, "none yet; 'trainer serve' makes them.")
    database = existing(settings)
    try:
        if database.is_sqlite:
            check_database(Path(database.url.database or ""))
        done, steps = taken(database) or "none", pending(database)
        if done > head():
            return Finding("records", False, "made by a newer version of the program. Install that version.")
        if steps:
            return Finding(
                "records", False, f"of an older version (steps to take: {len(steps)}). Run: trainer migrate"
            )
        with database.connection() as connection:
            rows = sum(content.rows for content in contents(connection))
    finally:
        database.close()
    return Finding("records", True, f"whole, at step {done}, {rows} rows read.")


def clock(settings: Settings, moment: datetime) -> Finding:
    """Whether the clock can be right: not before this program, nor before the newest entry."""
    from trainer.services.keeping.clock import trouble

    shown = f"{moment.astimezone():%Y-%m-%d %H:%M}"
    newest = newest_entry(settings)
    if wrong := trouble(moment, newest):
        return Finding("clock", False, wrong)
    if newest and moment > newest + IDLE:
        return Finding(
            "clock", True, f"says {shown}, more than a year after the newest entry. Is the year right?"
        )
    return Finding("clock", True, f"says {shown}.")


def newest_entry(settings: Settings) -> datetime | None:
    """The moment of the newest link of the chain, if there is one that can be read."""
    from trainer.services.keeping import audit
    from trainer.store.migrations import pending

    if not settings.database and not (settings.instance / "trainer.sqlite").exists():
        return None
    database = existing(settings)
    try:
        if pending(database):
            return None
        with database.reading() as session:
            return audit.newest_time(session)
    finally:
        database.close()


def backups(settings: Settings, moment: datetime) -> Finding:
    """Whether the running trainer can make its backups, and how old the last one is."""
    from trainer.services.keeping import backup_age
    from trainer.serving.backups import passphrase

    if settings.database:
        return Finding("backups", True, "the records are on a server with backups of its own.")
    if settings.backup_folder and settings.backup_locked:
        passphrase(settings.instance)
    if settings.backup_folder and not Path(settings.backup_folder).is_dir():
        says = backup_age.TROUBLE_WORDS[last_backup.AWAY] % {"folder": settings.backup_folder}
        return Finding("backups", False, says)
    is_good = not (settings.backup_folder and last_backup.trouble(settings.instance))
    return Finding("backups", is_good, backup_age.sentence(settings, moment))


def bank(settings: Settings) -> Finding:
    """Whether the bank can be read without a fault, and whether one of the own items is left out."""
    from trainer.services.authoring.banks import open_shelf
    from trainer.services.keeping.own_contents import content_is_for_examinations

    found = open_shelf(settings.private_bank).bank
    if found.private_faults:
        rest = len(found.private_faults) - 1
        more = f" There are {rest} more: trainer bank check --private" if rest else ""
        return Finding("bank", False, f"an own item is left out: {found.private_faults[0]}.{more}")
    own = f" {len(found.private)} items are your own." if found.private else ""
    entries = (found.questions.get(item) or found.drills.get(item) for item in found.private)
    plain = sum(content_is_for_examinations(entry.content) for entry in entries if entry is not None)
    if plain:
        own += f" {plain} of them, for examinations only, lie there in plain; a passphrase under Own items seals them."
    return Finding("bank", True, f"no faults.{own} 'trainer bank check' looks deeper.")


def free_port(port: int) -> Finding:
    """Whether the pages could be served; a taken port is no fault, since a trainer may be running."""
    from trainer.serving.server import next_free, try_port

    if try_port("127.0.0.1", port) is None:
        return Finding("port", True, f"{port} is free.")
    return Finding(
        "port",
        True,
        f"{port} is taken, perhaps by a trainer that is running; {next_free('127.0.0.1', port + 1)} is free.",
    )
