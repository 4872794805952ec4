"""A throw-away PostgreSQL server: made in a temporary folder, reached by a socket in it, gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

from sqlalchemy import create_engine, text

PACKAGED = Path("/usr/lib/postgresql")
UNPRIVILEGED = ("postgres", "nobody")
SETTINGS = {
    "listen_addresses": "",
    "fsync": "off",  # a test's server need not survive a power cut
    "full_page_writes": "off",
    "synchronous_commit": "off",
    "max_connections": "300",
    "autovacuum": "off",
}


@dataclass
class Server:
    """A running server; ``url`` names one of its databases."""

    folder: Path
    user: str
    numbers: Iterator[int] = field(default_factory=count)

    def url(self, name: str) -> str:
        """The address of a database, as the setting takes it."""
        return f"postgresql+psycopg://{self.user}@/{name}?host={self.folder}"

    def fresh(self, template: str = "template1") -> str:
        """Make a database of its own, a copy of another one, and return its name."""
        name = f"store_{next(self.numbers)}"
        self._say(f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY FILE_COPY')
        return name

    def drop(self, name: str) -> None:
        """Take a database away, whoever is still connected."""
        self._say(f'DROP DATABASE "{name}" WITH (FORCE)')

    def _say(self, statement: str) -> None:
        engine = create_engine(self.url("postgres"), isolation_level="AUTOCOMMIT")
        with engine.connect() as connection:
            connection.execute(text(statement))
        engine.dispose()


@contextmanager
def server(**settings: str) -> Iterator[Server]:
    """A server of its own until the end of the block; ``settings`` are lines of its configuration.

    Raises FileNotFoundError where PostgreSQL is not installed. It refuses to run as root, so root hands it
    to an unprivileged account.
    """
    if not installed():
        raise FileNotFoundError("PostgreSQL is not installed: it is in the package postgresql")
    account = _account()
    folder = Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp"))  # a socket's path must be short
    if account:
        shutil.chown(folder, account)
    try:
        _run(account, "initdb", "--no-sync", "--auth=trust", "--username=postgres", "--encoding=UTF8",
             "--locale=C", "-D", folder / "data")  # fmt: skip
        options = " ".join(f"-c {name}='{value}'" for name, value in {**SETTINGS, **settings}.items())
        _run(account, "pg_ctl", "-w", "-D", folder / "data", "-l", folder / "log",
             "-o", f"-k {folder} {options}", "start")  # fmt: skip
        yield Server(folder, "postgres")
    finally:
        if (folder / "data" / "postmaster.pid").exists():
            _run(account, "pg_ctl", "-w", "-D", folder / "data", "-m", "immediate", "stop")
        shutil.rmtree(folder, ignore_errors=True)


def installed() -> bool:
    """Whether this machine has the programs of a PostgreSQL server."""
    return _place("initdb") is not None


def _place(name: str) -> str | None:
    """Where a program of PostgreSQL lies; Debian keeps them out of the path."""
    places = sorted(PACKAGED.glob(f"*/bin/{name}"), key=lambda place: float(place.parts[-3]))
    return shutil.which(name) or (str(places[-1]) if places else None)


def _account() -> str | None:
    if os.geteuid() != 0:
        return None
    known = {entry.pw_name for entry in pwd.getpwall()}
    return next(name for name in UNPRIVILEGED if name in known)


def _run(account: str | None, name: str, *arguments: object) -> None:
    group = pwd.getpwnam(account).pw_gid if account else None
    with tempfile.TemporaryFile() as said:  # a pipe would be kept open by the server
        done = subprocess.run(
            [str(_place(name)), *map(str, arguments)],
            cwd="/",
            stdout=said,
            stderr=said,
            check=False,
            user=account,
            group=group,
            extra_groups=[] if account else None,
        )
        if done.returncode:
            said.seek(0)
            raise RuntimeError(f"{name}: {said.read().decode(errors='replace')}")
