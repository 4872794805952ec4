"""The steps from an empty store to the newest tables, and the way to take them.

Steps are files ``versions/NNNN_what_it_does.py`` whose revision is NNNN; the newest number is the head.
Knowing the head by file name lets a start with nothing to do leave Alembic unloaded.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

from sqlalchemy import Connection, inspect, text
from sqlalchemy.exc import DatabaseError

from trainer.errors import Conflict, Unreadable
from trainer.store.database import Database

FOLDER = Path(__file__).resolve().parent
LEAST_BYTES = 512  # the smallest page that SQLite knows


def head() -> str:
    """The newest step that this program knows."""
    return max(file.name[:4] for file in (FOLDER / "versions").glob("[0-9][0-9][0-9][0-9]_*.py"))


def taken(database: Database) -> str | None:
    """The newest step that this store has taken; None for an empty one.

    Raises Unreadable for a store that cannot be opened: this is where every front door first touches it.
    """
    if database.is_sqlite:
        size = _size(database)
        if size is None:
            return None  # a first run; looking must not make an empty file
        if size < LEAST_BYTES:  # SQLite would take it for an empty store
            raise Unreadable(
                _unopened(database, f"only {size} bytes of it are left") if size else _emptied(database)
            )
    try:
        with database.engine.connect() as connection:
            if not inspect(connection).has_table("alembic_version"):
                return None
            found: str | None = connection.scalar(text("SELECT version_num FROM alembic_version"))
            return found
    except DatabaseError as fault:
        raise Unreadable(_unopened(database, str(fault.orig))) from fault


def pending(database: Database) -> tuple[str, ...]:
    """The steps still to take, oldest first."""
    done = taken(database) or ""
    names = sorted(file.stem for file in (FOLDER / "versions").glob("[0-9][0-9][0-9][0-9]_*.py"))
    return tuple(name for name in names if name[:4] > done)


def migrate(database: Database) -> tuple[str, ...]:
    """Take every step still to take, all in one transaction; return their names.

    Raises Conflict for a store made by a newer program.
    """
    check_known(taken(database))
    steps = pending(database)
    if steps:
        with database.connection() as connection:
            upgrade(connection)
    return steps


def check_known(done: str | None) -> None:
    """Let no store pass whose newest step this program does not know. Raises Conflict."""
    if done is not None and done > head():
        raise Conflict(
            f"These records were made by a newer version of the program (step {done}, this one knows "
            f"{head()}). Install the newer version, or restore an older backup into another folder."
        )


def upgrade(connection: Connection) -> None:
    """Take all steps on an open connection; the caller's transaction keeps them or throws them away."""
    from alembic import command

    command.upgrade(_config(connection), "head")


def _size(database: Database) -> int | None:
    """The bytes of the store's file, None where there is none yet."""
    file = Path(database.url.database or "")
    return file.stat().st_size if file.is_file() else None


def _emptied(database: Database) -> str:
    return (
        f"The file {database.url.database} is empty: the records that it held are gone from it. Keep it and bring "
        "back a backup: trainer restore FILE --replace. Only if nobody was ever entered here, delete the file and "
        "start again."
    )


def _unopened(database: Database, said: str) -> str:
    reason = " ".join(said.split())[:200]
    if database.is_sqlite:
        return (
            f"The records in {database.url.database} cannot be opened ({reason}). See that the folder can be "
            "written and its disk has room; if so, keep the file as it is and bring back a backup: trainer restore FILE "
            "--replace"
        )
    return f"The database server cannot be reached ({reason}). Start it, or mend the setting 'database'."


def _config(connection: Connection) -> Any:
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", FOLDER.as_posix().replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    config.attributes["connection"] = connection
    return config
