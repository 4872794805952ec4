"""Empty stores for the tests: a file for each, or a database of a throw-away server for each."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Protocol

from sqlalchemy import text
from sqlalchemy.engine import make_url
from sqlalchemy.orm import Session

from tests import postgres
from trainer.store import Database
from trainer.store.migrations import migrate

SQLITE, POSTGRESQL = "sqlite", "postgresql"


class Stock(Protocol):
    """Where a test gets an empty store that has taken every step."""

    def fresh(self, instance: Path) -> str:
        """Put a store aside for an instance folder; give the setting ``database`` that names it."""

    def done_with(self, setting: str) -> None:
        """Take the store away again."""


class Files:
    """Copies of one database file that the real steps made."""

    def __init__(self, folder: Path) -> None:
        self.file = folder / "trainer.sqlite"
        take_steps(f"sqlite:///{self.file.as_posix()}")

    def fresh(self, instance: Path) -> str:
        shutil.copy(self.file, instance / self.file.name)
        return ""

    def done_with(self, setting: str) -> None:
        """A file goes with its folder."""


class Databases:
    """Copies of one database that the real steps made, on a server."""

    def __init__(self, server: postgres.Server) -> None:
        self.server = server
        self.model = server.fresh()
        take_steps(server.url(self.model))

    def fresh(self, instance: Path) -> str:
        return self.server.url(self.server.fresh(self.model))

    def done_with(self, setting: str) -> None:
        self.server.drop(str(make_url(setting).database))


@contextmanager
def stock_of(kind: str, folder: Path) -> Iterator[Stock]:
    """The stock of a kind of store, for as long as the block lasts."""
    if kind == SQLITE:
        yield Files(folder)
        return
    with postgres.server() as server:
        yield Databases(server)


def unwatched(session: Session) -> None:
    """Stop the store from checking references in this transaction, as somebody does who edits its file."""
    on_a_file = session.get_bind().dialect.name == SQLITE
    session.execute(
        text("PRAGMA defer_foreign_keys=ON" if on_a_file else "SET LOCAL session_replication_role = replica")
    )


def take_steps(url: str) -> None:
    """Bring an empty store up to date by the real steps."""
    database = Database(url)
    migrate(database)
    database.close()
