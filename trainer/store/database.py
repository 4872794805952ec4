"""Open the store, and give out sessions: many readers, one writer at a time.

SQLite is run with WAL, ``synchronous=FULL`` (acknowledged means on the disk) and ``BEGIN IMMEDIATE`` for
writing: with the default deferred ``BEGIN`` two writers that both read first meet "database is locked" and
one of them fails. SQLite's own waiting is unfair, so writers of this process queue at a lock of our own,
taken before ``BEGIN``; ``busy_timeout`` is for commands that run beside the server.
"""

from __future__ import annotations

import logging
import sqlite3
import threading
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any, TypeAlias

from sqlalchemy import Connection, create_engine, event, text
from sqlalchemy.engine import URL, Engine, make_url
from sqlalchemy.exc import ArgumentError, DatabaseError, NoSuchModuleError, OperationalError
from sqlalchemy.orm import Session

from trainer.errors import Busy, Refused
from trainer.store import folding
from trainer.store.keyring import KEYS, Keyring
from trainer.store.troubles import TURN_MISSED, raise_meaning

log = logging.getLogger("trainer")
WAIT_SECONDS = 30
CACHE_KB = 8000
"""Of a file's pages, for each connection that has read so much: with SQLite's own 2,000 statistics over a million answers
take twice as long, with more nothing is gained."""
WRITER_KEY = 7_203_114  # any number: names the writers' lock on a PostgreSQL server
BY_STATEMENT = {"isolation_level": "AUTOCOMMIT", "skip_autocommit_rollback": True}
"""Of an engine whose statements need no transaction around them: nothing is begun, and nothing is taken back."""


Asked: TypeAlias = Session | Connection
"""What can be asked for plain columns; who needs no more may be given a look as well as a session."""


class Look:
    """One connection for single statements, each of which sees the store as it stands; opened when first asked.

    ``with look as connection`` may stand many times; ``close`` gives the connection back. After a fault the next
    one begins with another connection.
    """

    def __init__(self, engine: Engine) -> None:
        self._engine = engine
        self._connection: Connection | None = None

    def __enter__(self) -> Connection:
        """The connection."""
        if self._connection is None:
            with _MEANING:
                self._connection = self._engine.connect()
        return self._connection

    def __exit__(self, kind: object, fault: BaseException | None, trace: object) -> None:
        """Raise what a fault of the store means to a person."""
        if fault is not None:
            self.close()
        _MEANING.__exit__(kind, fault, trace)

    def close(self) -> None:
        """Give the connection back."""
        if self._connection is not None:
            self._connection.close()
            self._connection = None


class Database:
    """One store. ``writing()``, ``reading()`` and ``look()`` are the only ways in."""

    def __init__(self, url: str) -> None:
        """Prepare to open ``url``; nothing is touched yet. Raises Refused for an address that is none."""
        self.url = _parsed(url)
        self.keyring = Keyring()
        self._turn = threading.Lock()
        self.engine = _engine(self.url)
        self.looker = _engine(self.url, **BY_STATEMENT)
        self._reader = self.engine if self.is_sqlite else _with_one_view(self.engine)

    @property
    def is_sqlite(self) -> bool:
        """Whether the store is a file of this machine."""
        return self.url.get_backend_name() == "sqlite"

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """One transaction that may write: all of it is kept on leaving, or none of it.

        Raises Busy when another writer does not come to an end.
        """
        with (
            self._one_at_a_time(),
            _MEANING,
            self._session(self.engine) as session,
            session.begin(),
        ):
            if self.is_sqlite:
                _begin(session.connection(), "BEGIN IMMEDIATE")
            else:
                _take_turn(session)
            yield session

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """One view of the store as it stands now. Whatever is changed in it is thrown away."""
        with _MEANING, self._session(self._reader, autoflush=False) as session:
            if self.is_sqlite:
                _begin(session.connection(), "BEGIN")
            yield session

    def look(self) -> Look:
        """A way to ask for plain columns by single statements: the least that a look can cost."""
        return Look(self.looker)

    @contextmanager
    def connection(self) -> Iterator[Connection]:
        """One writing transaction on a bare connection, for changing the tables themselves.

        SQLite checks references at the end instead of at every step, as moving a table needs.
        """
        with self._one_at_a_time(), _MEANING, self.engine.connect() as connection:
            raw: Any = connection.connection.driver_connection
            if self.is_sqlite:
                raw.execute("PRAGMA foreign_keys=OFF")
            try:
                with connection.begin():
                    if self.is_sqlite:
                        _begin(connection, "BEGIN IMMEDIATE")
                    yield connection
            finally:
                if self.is_sqlite:
                    raw.execute("PRAGMA foreign_keys=ON")

    def scrub(self) -> bool:
        """Give up every byte that rows now deleted have left in the store's files; False where one may be left.

        SQLite keeps remnants in pages that were rebuilt and in the write-ahead log, which is cut to nothing unless
        somebody reads from it for long; it goes when the program stops. A server's own log is its keeper's.
        """
        with self._one_at_a_time(), self.engine.connect() as connection:
            raw: Any = connection.connection.driver_connection
            try:
                if not self.is_sqlite:
                    connection.execution_options(isolation_level="AUTOCOMMIT").exec_driver_sql("VACUUM FULL")
                    return True
                raw.execute("VACUUM")
                return bool(raw.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0] == 0)
            except (sqlite3.OperationalError, DatabaseError) as fault:
                log.warning("the store was not scrubbed: %s", fault)
                return False

    def close(self) -> None:
        """Let go of every connection."""
        self.engine.dispose()
        self.looker.dispose()

    def _session(self, engine: Engine, autoflush: bool = True) -> Session:
        return Session(engine, expire_on_commit=False, autoflush=autoflush, info={KEYS: self.keyring})

    @contextmanager
    def _one_at_a_time(self) -> Iterator[None]:
        if not self._turn.acquire(timeout=WAIT_SECONDS):
            raise Busy(TURN_MISSED)
        try:
            yield
        finally:
            self._turn.release()


class _Meaning:
    """Says what a fault of the store means to a person, also one that comes while a session is closed."""

    def __enter__(self) -> None:
        """Nothing is needed beforehand."""

    def __exit__(self, _kind: object, fault: BaseException | None, _trace: object) -> None:
        """Raise the sentence of a known fault; every other one goes on as it is."""
        if isinstance(fault, DatabaseError):
            raise_meaning(fault)


_MEANING = _Meaning()


def _take_turn(session: Session) -> None:
    """Wait for the one writer's place among all programs that use a PostgreSQL server."""
    session.execute(
        text("SELECT set_config('lock_timeout', :wait, true)"), {"wait": f"{round(WAIT_SECONDS * 1000)}ms"}
    )
    session.execute(text("SELECT pg_advisory_xact_lock(:key)"), {"key": WRITER_KEY})


def _with_one_view(engine: Engine) -> Engine:
    """Let a reader see one moment, as it does on SQLite; by default each statement would see its own."""
    return engine.execution_options(isolation_level="REPEATABLE READ")


def _parsed(url: str) -> URL:
    try:
        parsed = make_url(url)
    except ArgumentError as fault:
        raise Refused(
            "The setting database is not an address. Leave it empty, or write "
            "postgresql+psycopg://user@host/name."
        ) from fault
    if parsed.get_backend_name() not in {"sqlite", "postgresql"}:
        raise Refused("The setting database must name SQLite or PostgreSQL.")
    return parsed


def _engine(url: URL, **more: Any) -> Engine:
    if url.get_backend_name() != "sqlite":
        return _server_engine(url, more)
    engine = create_engine(
        url,
        connect_args={"timeout": WAIT_SECONDS, "check_same_thread": False},
        pool_size=16,
        max_overflow=16,
        hide_parameters=True,  # what somebody wrote, or a hash, must not reach the log with a fault
        **more,
    )
    event.listen(engine, "connect", _settle)
    return engine


def _server_engine(url: URL, more: Mapping[str, Any]) -> Engine:
    try:
        return create_engine(url, pool_pre_ping=True, hide_parameters=True, **more)
    except (ModuleNotFoundError, NoSuchModuleError) as missing:
        raise Refused(
            "Records on a PostgreSQL server need one more part. Install it with: pip install 'mt-trainer[postgres]' "
            "and write the setting database as postgresql+psycopg://user@host/name."
        ) from missing


def _settle(raw: Any, _record: Any) -> None:
    """Set up one fresh SQLite connection; the driver's own silent BEGIN is switched off."""
    raw.isolation_level = None
    folding.teach(raw)
    for pragma in (
        "journal_mode=WAL",
        "synchronous=FULL",
        "foreign_keys=ON",
        "fullfsync=ON",
        "secure_delete=ON",
        f"cache_size=-{CACHE_KB}",
    ):
        raw.execute(f"PRAGMA {pragma}")
    raw.execute(f"PRAGMA busy_timeout={WAIT_SECONDS * 1000}")


def _begin(connection: Connection, statement: str) -> None:
    """Begin a transaction as the driver is told to; its fault, where another writes, is told as SQLAlchemy tells it.

    Not from a listener: an engine with one looks for more of them before and after every statement.
    """
    raw: Any = connection.connection.driver_connection
    try:
        raw.execute(statement)
    except sqlite3.Error as fault:
        raise OperationalError(statement, None, fault) from fault
