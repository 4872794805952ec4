"""A running server to be measured, and one guest who asks it over one open connection.

Times are of one request at a time, by turns for both sides of a ratio. Of many two are looked at: what it takes
where nothing else disturbs (the slowest of the fastest tenth), also on a machine that is busy with something else,
and the usual one (the median), which is what a rate is made of.
"""

from __future__ import annotations

import os
import re
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from http.client import HTTPConnection, HTTPResponse
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import urlencode

from tests.make import make_token
from trainer.drills.shelf import Shelf
from trainer.services.keeping import editions
from trainer.serving.server import next_free
from trainer.settings import Settings, bank_folder
from trainer.store import Database
from trainer.store.models import Exercise, Person
from trainer.web.access import COOKIE

HOUSE = Path(__file__).parents[2]
DRILL, FIND = "coil-low-fill-wall", "I"
FIRST_PORT = 8110
AS_USUAL = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
"""The environment of what is measured: Python keeps compiled modules, as it does for everybody."""


class Guest:
    """One browser's side: an open connection, a sign-in, the token of its forms."""

    def __init__(self, port: int, sign_in: str = "") -> None:
        self.connection = HTTPConnection("127.0.0.1", port, timeout=30)
        self.headers = {"Origin": f"http://127.0.0.1:{port}", "Cookie": f"{COOKIE}={sign_in}"}
        self.token = ""

    def enter(self, address: str) -> None:
        """Open a page with a form, and keep its token and its cookie."""
        reply, body = self.ask("GET", address)
        found = re.search(r'name="csrf_token" value="([^"]+)"', body.decode())
        assert found, f"{address} has no form"
        self.token = found[1]
        self.headers["Cookie"] += f"; {reply.headers['Set-Cookie'].split(';')[0]}"

    def get(self, address: str) -> float:
        """Open a page; the seconds it took."""
        began = time.perf_counter()
        reply, _ = self.ask("GET", address)
        took = time.perf_counter() - began
        assert reply.status == 200, (address, reply.status)
        return took

    def send(self, address: str, **form: str) -> float:
        """Send a form; the seconds it took."""
        body = urlencode({"csrf_token": self.token, **form})
        began = time.perf_counter()
        reply, _ = self.ask("POST", address, body, {"Content-Type": "application/x-www-form-urlencoded"})
        took = time.perf_counter() - began
        assert reply.status in (200, 303), (address, reply.status)
        return took

    def ask(self, method: str, address: str, body: str = "", more: dict[str, str] | None = None) -> Any:
        """One request; the answer and its body."""
        self.connection.request(method, address, body or None, {**self.headers, **(more or {})})
        reply: HTTPResponse = self.connection.getresponse()
        return reply, reply.read()


class Took(NamedTuple):
    """Seconds of one act: where nothing disturbed it, and usually."""

    undisturbed: float
    usual: float


def in_turn(times: int, *acts: Callable[[int], float]) -> tuple[Took, ...]:
    """Let each act take its turn ``times`` times; what each took."""
    took = [[act(turn) for act in acts] for turn in range(times)]
    columns = [sorted(column) for column in zip(*took, strict=True)]
    return tuple(Took(column[times // 10], column[times // 2]) for column in columns)


def compared(ours: Took, theirs: Took) -> str:
    """Both times of two acts and their ratios, in words."""
    return "; ".join(
        f"{name} {mine * 1000:.2f} ms against {bare * 1000:.2f}, ratio {bare / mine:.3f}"
        for name, mine, bare in zip(Took._fields, ours, theirs, strict=True)
    )


@contextmanager
def started(*command: str, house: Path = HOUSE) -> Iterator[subprocess.Popen[bytes]]:
    """A process of this Python, stopped at the end."""
    process = subprocess.Popen([sys.executable, *command], cwd=house, stdout=subprocess.DEVNULL, env=AS_USUAL)
    try:
        yield process
    finally:
        process.terminate()
        process.wait(20)


@contextmanager
def trainer_running(instance: Path, house: Path = HOUSE) -> Iterator[tuple[int, int]]:
    """`trainer serve` of a house over an instance: its port and its process id."""
    port = next_free("127.0.0.1", FIRST_PORT)
    command = ("-m", "trainer.cli", "--instance", str(instance), "serve", "--port", str(port))
    with started(*command, house=house) as process:
        wait_for(port)
        yield port, process.pid


@contextmanager
def bare_running(folder: Path) -> Iterator[int]:
    """The bare application of `tests.benchmarks.bare` on the same server: its port."""
    port = next_free("127.0.0.1", FIRST_PORT)
    with started("-m", "tests.benchmarks.bare", str(folder), str(port)):
        wait_for(port)
        yield port


def wait_for(port: int) -> None:
    """Come back as soon as somebody listens on the port."""
    for _ in range(6000):
        with socket.socket() as knock:
            if knock.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.005)
    raise TimeoutError(f"nobody listens on port {port}")


def filled(instance: Path) -> Path:
    """An instance folder with the invented shop in it."""
    command = [sys.executable, "-m", "trainer.cli", "--instance", str(instance), "demo"]
    subprocess.run(command, cwd=HOUSE, check=True, stdout=subprocess.DEVNULL, env=AS_USUAL)
    return instance


def offered(instance: Path, count: int) -> tuple[str, list[str]]:
    """Sign the shop's Tess in, and put exercises before her: the sign-in, and the addresses of what waits."""
    shelf, now = Shelf.of_folder(bank_folder()), datetime.now(UTC)
    database = Database(Settings.load(instance).database_url)
    entry = shelf.bank.drill(DRILL)
    with database.writing() as session:
        tess = session.query(Person).filter_by(works_number="TV-07").one()
        token = make_token(session, tess.id, now)
        edition = editions.keep(session, entry, now)
        rows = [
            Exercise(
                person_id=tess.id, edition_hash=edition, drill_id=DRILL, family=entry.drill.skill, seed=seed, find=FIND,
                snapshot=shelf.draw(DRILL, seed, FIND).snapshot(), offered_at=now, reason="to be measured",
            )
            for seed in range(count)
        ]  # fmt: skip
        session.add_all(rows)
        session.flush()
        waiting = [f"/trainee/practice/{row.id}" for row in rows]
    database.close()
    return token, waiting
