"""A trainer that runs as its own process over an instance full of trainees, and what is checked after a fault."""

from __future__ import annotations

import signal
import socket
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import select

from tests.faults.phone import Phone
from tests.make import make_person
from tests.ports import own_port
from trainer.services.admitting import sign_in
from trainer.services.practising import skills
from trainer.services.proving import ledger_check
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.migrations import migrate
from trainer.store.models import Answer

HOUSE = Path(__file__).parents[2]
PATIENCE = 600  # seconds on the clock for a start, on a machine that ten others use too


def fill(instance: Path, trainees: int, setting: str = "") -> list[str]:
    """Make an instance with signed-in trainees; give their tokens."""
    instance.mkdir(parents=True)
    if setting:
        (instance / "trainer.toml").write_text(f'database = "{setting}"\n', encoding="utf-8")
    database = opened(instance)
    migrate(database)
    now, tokens = datetime.now(UTC), []
    with database.writing() as session:
        for number in range(trainees):
            person = make_person(session, f"TV-{number:04}", f"Trainee {number}")
            tokens.append(sign_in.begin(session, person.id, now, 12, "127.0.0.1", "a test"))
    database.close()
    return tokens


def opened(instance: Path) -> Database:
    """The store of an instance."""
    return Database(Settings.load(instance, {}).database_url)


@dataclass
class Running:
    """One `trainer serve` as its own process."""

    instance: Path
    port: int
    process: subprocess.Popen[bytes]

    @classmethod
    def start(cls, instance: Path, port: int = 0) -> Running:
        """Start the command and come back when it answers. Raises RuntimeError with its words if it ends."""
        port = port or own_port()
        command = [
            sys.executable,
            "-m",
            "trainer.cli",
            "--instance",
            str(instance),
            "serve",
            "--port",
            str(port),
        ]
        with (instance / "said.txt").open("ab") as said:
            process = subprocess.Popen(command, cwd=HOUSE, stdout=said, stderr=said)
        running = cls(instance, port, process)
        running._wait()
        return running

    def kill(self) -> None:
        """Kill it as a power cut of its process would: nothing in it runs any more."""
        self.process.kill()
        self.process.wait()

    def stop(self) -> None:
        """End it as Ctrl-C does."""
        self.process.terminate()
        self.process.wait(PATIENCE)

    def freeze(self) -> None:
        """Let nothing in it run until `go_on`: its files stand still, as they would lie after a power cut."""
        self.process.send_signal(signal.SIGSTOP)

    def go_on(self) -> None:
        """Let it run again."""
        self.process.send_signal(signal.SIGCONT)

    def phone(self, token: str, address: str = "127.0.0.1") -> Phone:
        """A phone that is signed in there."""
        return Phone(self.port, address).signed_in(token)

    def _wait(self) -> None:
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if self.process.poll() is not None:
                raise RuntimeError((self.instance / "said.txt").read_text(encoding="utf-8")[-2000:])
            with socket.socket() as knock:
                if knock.connect_ex(("127.0.0.1", self.port)) == 0 and self.process.poll() is None:
                    return
            time.sleep(0.02)
        self.kill()
        raise RuntimeError("the trainer did not begin to listen")


@dataclass(frozen=True, slots=True)
class Found:
    """What a look into the store after a fault found. All is well where every field but ``answers`` is empty."""

    answers: int
    lost: tuple[str, ...]
    doubled: tuple[str, ...]
    chain: str
    skills: tuple[str, ...]

    @property
    def well(self) -> bool:
        """Whether nothing is lost, doubled, broken or out of step."""
        return not (self.lost or self.doubled or self.chain or self.skills)


def look(database: Database, acknowledged: set[str]) -> Found:
    """Compare a store with the keys of the answers that were acknowledged, and walk its chain."""
    with database.reading() as session:
        kept = Counter(session.scalars(select(Answer.key)))
        walk = ledger_check.walk(session)
        apart = tuple(skills.disagreements(session))
    doubled = tuple(str(key) for key, times in kept.items() if times > 1)
    lost = tuple(sorted(acknowledged - set(map(str, kept))))
    return Found(sum(kept.values()), lost, doubled, walk.says if walk.broken is not None else "", apart)
