"""A throw-away PostgreSQL server: made in a temporary folder, reached by a socket in it, gone afterwards."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from itertools import count
from pathlib import Path

import psycopg

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
        self.say(f'CREATE DATABASE "{name}" TEMPLATE "{template}" STRATEGY FILE_COPY')
        return name

    def drop(self, name: str) -> None:
        """Take a database away, whoever is still connected."""
        self.say(f'DROP DATABASE "{name}" WITH (FORCE)')

    def say(self, statement: str, name: str = "postgres") -> object:
        """Let a database do something outside any transaction; give the first value that the last statement has, if any."""
        place = {"host": str(self.folder), "user": self.user, "dbname": name}
        with psycopg.connect(**place, autocommit=True) as connection:
            found = connection.execute(statement)
            while found.nextset():
                pass
            first = found.fetchone() if found.description else None
            return first and first[0]

    def fill(self) -> None:
        """Make its data folder, with no database of ours in it."""
        _run("initdb", "--no-sync", "--auth=trust", "--username=postgres", "--encoding=UTF8", "--locale=C",
             "-D", self.data)  # fmt: skip

    def follow(self, primary: Server, name: str) -> None:
        """Take a copy of a running server in place of what is here; started, this one follows it under a name."""
        shutil.rmtree(self.data, ignore_errors=True)
        _run("pg_basebackup", "--no-sync", "--checkpoint=fast", "--write-recovery-conf", "-D", self.data,
             "-d", f"host={primary.folder} user={primary.user} application_name={name}")  # fmt: skip

    def start(self, **settings: str) -> None:
        """Start it with these lines of configuration beside those of every test. Raises RuntimeError with its log."""
        options = " ".join(f"-c {name}='{value}'" for name, value in {**SETTINGS, **settings}.items())
        log = self.folder / "log"
        try:
            self._control("-l", log, "-o", f"-k {self.folder} {options}", "start")
        except RuntimeError as fault:
            raise RuntimeError(f"{fault}{log.read_text(encoding='utf-8')[-2000:]}") from fault

    def promote(self) -> None:
        """Let one that follows another take writes itself."""
        self._control("promote")

    def kill(self) -> None:
        """Kill every process of it, as a power cut of its machine would."""
        first = int(self.pid_file.read_text(encoding="utf-8").split()[0])
        os.kill(first, signal.SIGSTOP)  # it must not begin another one meanwhile
        for process in (*_children(first), first):
            os.kill(process, signal.SIGKILL)
        while _state(first) not in ("", "Z"):
            time.sleep(0.01)
        for left in (
            self.pid_file,
            *self.folder.glob(".s.PGSQL.*"),
        ):  # as a machine that starts anew has none
            left.unlink()

    def stop(self) -> None:
        """Stop it at once, if it runs."""
        if self.pid_file.exists():
            self._control("-m", "immediate", "stop")

    @property
    def data(self) -> Path:
        """Where everything it keeps lies."""
        return self.folder / "data"

    @property
    def pid_file(self) -> Path:
        """What is there while it runs; the number of its first process."""
        return self.data / "postmaster.pid"

    def _control(self, *arguments: object) -> None:
        _run("pg_ctl", "-w", "-t", 180, "-D", self.data, *arguments)  # a busy machine takes its time


@contextmanager
def server(**settings: str) -> Iterator[Server]:
    """A server of its own until the end of the block; ``settings`` are lines of its configuration.

    Raises FileNotFoundError where PostgreSQL is not installed.
    """
    with place_for_one() as new:
        new.fill()
        new.start(**settings)
        yield new


@contextmanager
def place_for_one() -> Iterator[Server]:
    """A server that is still to be filled and started; stopped and taken away at the end of the block.

    Raises FileNotFoundError where PostgreSQL is not installed. It refuses to run as root, so root hands it
    to an unprivileged account.
    """
    if not installed():
        raise FileNotFoundError("PostgreSQL is not installed: it is in the package postgresql")
    new = Server(
        Path(tempfile.mkdtemp(prefix="pg-", dir="/tmp")), "postgres"
    )  # a socket's path must be short
    account = _account()
    if account:
        shutil.chown(new.folder, account)
    try:
        yield new
    finally:
        new.stop()
        shutil.rmtree(new.folder, ignore_errors=True)


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


def _children(parent: int) -> Iterator[int]:
    """The processes that a process began, from the system's own list."""
    for place in Path("/proc").glob("[0-9]*/stat"):
        with suppress(OSError):  # it ended meanwhile
            if place.read_text(encoding="utf-8").rpartition(")")[2].split()[1] == str(parent):
                yield int(place.parent.name)


def _state(process: int) -> str:
    """The letter of the system's list for what a process does; empty where there is none."""
    with suppress(OSError):
        return Path(f"/proc/{process}/stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0]
    return ""


def _run(name: str, *arguments: object) -> None:
    account = _account()
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
