"""Empty stores for the tests: a file for each, or a database of a throw-away server for each."""

from __future__ import annotations

import shutil
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

from sqlalchemy import text
from sqlalchemy.engine import make_url
from sqlalchemy.orm import Session

from tests import postgres
from trainer.store import Database
from trainer.store.database import _settle as settle
from trainer.store.migrations import migrate

SQLITE, POSTGRESQL = "sqlite", "postgresql"
MOST_USES = 40  # rows that were deleted stay in a database's files and slow it down
EMPTY = """
    DO $$ DECLARE filled regclass; BEGIN
        PERFORM pg_terminate_backend(pid, 5000) FROM pg_stat_activity
            WHERE datname = current_database() AND pid <> pg_backend_pid();
        PERFORM set_config('session_replication_role', 'replica', true);
        FOR filled IN SELECT oid FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r'
            AND relname <> 'alembic_version' AND pg_relation_size(oid) > 0
        LOOP EXECUTE format('DELETE FROM %s', filled); END LOOP;
        PERFORM setval(seqrelid, seqstart, false) FROM pg_sequence;
    END $$;
"""
# Whatever a change of tables, columns, indexes, keys, triggers or steps leaves in the server's own tables.
SHAPE = """
    SELECT md5(string_agg(line, '' ORDER BY line)) FROM (
        SELECT concat(oid, relname, relkind, relfilenode, relnatts, relhastriggers) AS line
            FROM pg_class WHERE relnamespace = 'public'::regnamespace
        UNION ALL SELECT concat(attrelid, attname, attnum, atttypid, atttypmod, attnotnull, atthasdef, attisdropped)
            FROM pg_attribute JOIN pg_class ON attrelid = pg_class.oid WHERE relnamespace = 'public'::regnamespace
        UNION ALL SELECT concat(oid, conname, conrelid, confrelid)
            FROM pg_constraint WHERE connamespace = 'public'::regnamespace
        UNION ALL SELECT concat(oid, proname) FROM pg_proc WHERE pronamespace = 'public'::regnamespace
        UNION ALL SELECT concat(oid, tgname, tgenabled) FROM pg_trigger WHERE NOT tgisinternal
        UNION ALL SELECT query_to_xml('TABLE alembic_version', true, true, '')::text WHERE to_regclass('alembic_version') IS NOT NULL
    ) AS everything
"""


class Stock(Protocol):
    """Where a test gets an empty store that has taken every step."""

    def fresh(self, instance: Path) -> str:
        """Put a store aside for an instance folder; give the setting ``database`` that names it."""

    def bare(self, folder: Path) -> str:
        """Make a store that has taken no step; give its address."""

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

    def bare(self, folder: Path) -> str:
        return f"sqlite:///{(folder / 'bare.sqlite').as_posix()}"

    def done_with(self, setting: str) -> None:
        """A file goes with its folder."""


class Databases:
    """Databases of a server, emptied between tests: a copy of the one that the real steps made costs ten times as much."""

    def __init__(self, server: postgres.Server) -> None:
        self.server = server
        self.model = server.fresh()
        take_steps(server.url(self.model))
        self.shape = server.say(SHAPE, self.model)
        self.uses: Counter[str] = Counter()
        self.idle: list[str] = []

    def fresh(self, instance: Path) -> str:
        name = self.idle.pop() if self.idle else self.server.fresh(self.model)
        self.uses[name] += 1
        return self.server.url(name)

    def bare(self, folder: Path) -> str:
        return self.server.url(self.server.fresh())

    def done_with(self, setting: str) -> None:
        name = str(make_url(setting).database)
        if self.uses[name] < MOST_USES and self._emptied(name):
            self.idle.append(name)
        else:
            self.server.drop(name)

    def _emptied(self, name: str) -> bool:
        """Take out of a database whatever a test has put in; False where it changed more than rows."""
        return self.server.say(EMPTY + SHAPE, name) == self.shape


@contextmanager
def stock_of(kind: str, folder: Path) -> Iterator[Stock]:
    """The stock of a kind of store, for as long as the block lasts."""
    if kind == SQLITE:
        yield Files(folder)
        return
    with postgres.server() as server:
        yield Databases(server)


def settle_at_once(raw: Any, record: Any) -> None:
    """Set a connection to a test's file up as the program does, but wait for no disk: it need not survive a power cut."""
    settle(raw, record)
    raw.execute("PRAGMA synchronous=OFF")


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
