"""Open the records of an instance for a command, or make them at the first run."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from trainer import private_files
from trainer.errors import Conflict, NotFound, Refused
from trainer.settings import Settings

if TYPE_CHECKING:
    from trainer.store import Database


def now() -> datetime:
    """The moment at which a command is given."""
    return datetime.now(UTC)


def first_run(settings: Settings) -> Database:
    """Make what is missing of an instance (folder, settings file, key, tables) and open its records.

    Raises Refused when the folder cannot be written, Conflict for records of a newer program.
    """
    from trainer.services.proving import signing_key
    from trainer.store import Database
    from trainer.store.migrations import migrate

    keep_to_oneself()
    try:
        settings.prepare()
        signing_key.ensure(settings.instance)
    except OSError as problem:
        raise Refused(
            f"The folder {settings.instance} cannot be written ({problem.strerror or problem}). "
            "Choose another with: trainer --instance DIR"
        ) from problem
    database = Database(settings.database_url)
    migrate(database)
    return database


def keep_to_oneself() -> None:
    """Make files from here on readable by their owner only: records are about people."""
    os.umask(0o077)


@contextmanager
def records(settings: Settings) -> Iterator[Database]:
    """The records of an instance that exists and is up to date.

    Raises NotFound where no instance is, Conflict where steps are missing.
    """
    from trainer.store.migrations import pending

    database = existing(settings)
    try:
        if pending(database):
            raise Conflict(
                "The records are those of an older version. Make a backup, then run: trainer migrate"
            )
        yield database
    finally:
        database.close()


def existing(settings: Settings) -> Database:
    """The database of an instance as it stands. Raises NotFound where there is none."""
    from trainer.store import Database

    database = Database(settings.database_url)
    if database.is_sqlite and not Path(database.url.database or "").is_file():
        raise NotFound(f"There are no records in {settings.instance} yet. Begin with: trainer serve")
    return database


def write_new(file: Path, data: bytes) -> None:
    """Write a new file, readable by its owner only. Raises Refused where it cannot be written or is there already."""
    try:
        private_files.create(file, data)
    except OSError as problem:
        raise Refused(f"{file} cannot be written ({problem.strerror}). Nothing was done.") from problem
