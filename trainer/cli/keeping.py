"""`trainer backup`, `restore`, `migrate` and `audit`: looking after the records."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.cli.opening import existing, now, records
from trainer.errors import Refused
from trainer.settings import Settings

if TYPE_CHECKING:
    from trainer.store.backup import Seal

NEWEST = "The newest link is {}: a copy with the same one holds the same."


@click.command()
@click.argument("folder", metavar="DIR", type=click.Path(file_okay=False, path_type=Path))
@click.option(
    "--with-key", is_flag=True, help="Take the signing key along. Then keep the file like the key itself."
)
@click.option("--lock", is_flag=True, help="Ask for a passphrase; the file opens with it only.")
@click.pass_obj
def backup(settings: Settings, folder: Path, with_key: bool, lock: bool) -> None:
    """Copy the instance into one file in DIR, also while the trainer is running.

    Database, settings, private bank items and pinned issuers; not the signing key, unless --with-key.

    \b
    Examples:
      trainer backup /media/usb-stick
      trainer backup /media/usb-stick --lock
    """
    from trainer.store.backup import make

    _only_sqlite(settings)
    seal = _asked_for() if lock else None
    file = make(settings.instance, folder, now().astimezone(), with_key, seal)
    click.echo(f"{file} ({file.stat().st_size / 1e6:.1f} MB)")
    if not with_key:
        click.echo("The signing key is not in it. Keep a copy of signing.key in a safe place of its own.")


@click.command()
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--replace", is_flag=True, help="There are records here already: put them aside.")
@click.pass_obj
def restore(settings: Settings, file: Path, replace: bool) -> None:
    """Bring a backup back and check it: every file, the database, the chain of entries.

    \b
    Examples:
      trainer --instance new-place restore trainer-2026-11-25-103000.tar.gz
      trainer restore trainer-2026-11-25-103000.tar.gz --replace
    """
    from trainer.services.keeping import audit as chain
    from trainer.services.proving import ledger_check
    from trainer.store.backup import restore as bring_back
    from trainer.store.migrations import migrate as take_steps

    _only_sqlite(settings)
    with _unlocked(file) as plain:
        done = bring_back(plain, settings.instance, now().astimezone(), replace)
    database = existing(settings)
    take_steps(database)
    with database.reading() as session:
        walk, newest = ledger_check.walk(session), chain.newest(session)
    database.close()
    click.echo(f"Restored into {settings.instance}: {done.files} files of the backup of {done.made}.")
    if done.put_aside:
        click.echo(f"What was there before lies in {done.put_aside}.")
    if not (settings.instance / "signing.key").exists():
        click.echo(
            "The backup holds no signing key. Put your own signing.key back, or a new one will be made."
        )
    click.echo(f"{walk.says} {NEWEST.format(newest[:16])}")
    if walk.broken is not None:
        raise Refused("The chain was broken before the backup was made. Use an earlier backup.")


@click.command()
@click.pass_obj
def migrate(settings: Settings) -> None:
    """Bring the database to this version of the program. Make a backup first."""
    from trainer.store.migrations import head
    from trainer.store.migrations import migrate as take_steps

    database = existing(settings)
    steps = take_steps(database)
    database.close()
    for step in steps:
        click.echo(f"Taken: {step[:4]} {step[5:].replace('_', ' ')}")
    click.echo(f"The records are at step {head()}, the newest of this version.")


@click.command()
@click.option("--json", "as_json", is_flag=True, help="Print one object for scripts.")
@click.pass_obj
def audit(settings: Settings, as_json: bool) -> None:
    """Walk the chain of everything that was entered and name the first link that does not hold.

    Every ledger entry and countersignature is held against the link that tells of it, and the newest signed
    head against the chain. Every skill state is worked out anew from the log of answers. Exit code 0 when all
    holds, 1 when something does not.
    """
    from trainer.services.keeping import audit as chain
    from trainer.services.practising import skills
    from trainer.services.proving import ledger_check

    with records(settings) as database, database.reading() as session:
        walk, states = ledger_check.walk(session), skills.proof(session)
        newest = chain.newest(session)
    told = {
        "links": walk.links, "newest": newest, "broken": walk.broken, "says": walk.says,
        "skills": list(states.faults),
    }  # fmt: skip
    says = f"{walk.says} {NEWEST.format(newest[:16])}\n{states.says}"
    click.echo(json.dumps(told, ensure_ascii=False) if as_json else says)
    if walk.broken is not None or states.faults:
        raise click.exceptions.Exit(1)


def _asked_for() -> Seal:
    """Ask for a passphrase twice. Raises Refused for a short one, before any backup is made."""
    from trainer.serving.backups import sealing

    return sealing(click.prompt("Passphrase", hide_input=True, confirmation_prompt=True))


@contextmanager
def _unlocked(file: Path) -> Iterator[Path]:
    """The plain file of a backup, asked for by passphrase if it is locked, for as long as the block lasts."""
    from trainer.records.locked import MAGIC, is_locked, unlock
    from trainer.store.backup import LOCKED

    with file.open("rb") as source:
        if not is_locked(source.read(len(MAGIC))):
            yield file
            return
        source.seek(0)
        with tempfile.TemporaryDirectory(prefix="trainer-restore-") as folder:
            plain = Path(folder) / file.name.removesuffix(LOCKED)
            words = click.prompt("Passphrase", hide_input=True)
            try:
                with plain.open("wb") as out:
                    unlock(source, out, words)
            except OSError as problem:
                raise Refused(
                    f"The backup cannot be unlocked into {folder} ({problem.strerror or problem}). Make room there, or "
                    "name a folder with more of it in the variable TMPDIR."
                ) from problem
            yield plain


def _only_sqlite(settings: Settings) -> None:
    if settings.database:
        raise Refused(
            "The records of this installation are in a database of their own (setting 'database'). "
            "Back it up and restore it with that database's tools, and copy the instance folder beside it."
        )
