"""The file of a database as backups and moves handle it: copied, looked through, known to be nobody else's just now."""

from __future__ import annotations

import errno
import os
import sqlite3
from pathlib import Path

from trainer.errors import Conflict, Unreadable
from trainer.store.migrations import check_known


def copy_database(source: Path, target: Path) -> None:
    """Copy a database as it stands at one moment, whoever writes meanwhile. Raises Unreadable if it is damaged."""
    if not source.stat().st_size:  # SQLite would take it for one without tables, and copy that
        raise Unreadable(
            f"The database {source} is empty: nothing is left of the records. Run: trainer selfcheck"
        )
    try:
        connection = sqlite3.connect(source, timeout=30)
        try:
            connection.execute("VACUUM INTO ?", (str(target),))
        finally:
            connection.close()
    except sqlite3.DatabaseError as problem:
        if (
            getattr(problem, "sqlite_errorcode", None) == sqlite3.SQLITE_FULL
        ):  # it is the copy that has no room
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(target)) from problem
        if not target.parent.is_dir():
            raise FileNotFoundError(errno.ENOENT, "it was taken away meanwhile", str(target)) from problem
        raise Unreadable(
            f"The database {source} cannot be copied ({problem}). Keep the file as it is and run: trainer selfcheck"
        ) from problem
    check_database(target)


def check_database(file: Path) -> None:
    """Let SQLite read every page of a database. Raises Unreadable when something is wrong with one.

    That is also a trigger, with which somebody's own program would run at each answer: no release makes one.
    """
    try:
        connection = sqlite3.connect(file)
        try:
            found = connection.execute("PRAGMA integrity_check(1)").fetchone()[0]
            foreign = connection.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchone()
        finally:
            connection.close()
    except sqlite3.DatabaseError as problem:
        found, foreign = str(problem), None
    if foreign:
        raise Unreadable(
            f"The database {file.name} was changed behind the program: it holds the trigger {foreign[0][:80]!r}, which "
            "this program never made. Use an earlier backup."
        )
    if found != "ok":
        raise Unreadable(f"The database {file.name} is damaged: {found}. Use an earlier backup.")


def check_step(file: Path) -> None:
    """Let no database of a newer program pass; nothing is written. Raises Conflict."""
    connection = sqlite3.connect(file)
    try:
        found = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.OperationalError:
        return  # it has no such table, so no step was ever taken
    finally:
        connection.close()
    check_known(found and found[0])


def make_sure_nobody_is_writing(database: Path, then: str) -> None:
    """Raise Conflict while a server or a command has the database open; ``then`` says what waits for it."""
    try:
        connection = sqlite3.connect(database, timeout=2)
        try:
            connection.execute("PRAGMA journal_mode=DELETE")  # refused while anybody else has it open
        finally:
            connection.close()
    except sqlite3.OperationalError as problem:
        raise Conflict(f"A trainer is running on these records. Stop it, then {then}.") from problem
    except sqlite3.DatabaseError:
        return  # a damaged database is the very reason for bringing a backup back
