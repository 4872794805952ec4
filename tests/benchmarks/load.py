"""Candidates who hand in at the same moment, then a class of phones, against one trainer or several. Run by hand:

python -m tests.benchmarks.load [PHONES] [SECONDS] [TRAINERS]

Each phone has an address of its own, thinks between its requests, and every tenth loses the network after
an answer has left: it hangs up without reading the reply and sends the same answer again. Sign-ins are made
in the store beforehand, since passphrases are slow on purpose. TRAINERS are so many processes on the one database of
a PostgreSQL server, which is started for them (Debian: apt-get install postgresql); without it one stands on SQLite.
"""

from __future__ import annotations

import http.client
import random
import sys
import tempfile
import threading
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import select

from tests import postgres
from tests.benchmarks.memory import megabytes
from tests.faults.classroom import Found, Running, fill, look, opened
from tests.faults.killing import DRILL
from tests.faults.phone import KEY, Phone, Reply
from tests.make import make_class, make_person, make_token
from trainer.drills.shelf import Shelf
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import papers, sittings
from trainer.settings import bank_folder
from trainer.store.models import Paper, PaperAnswer, Person

THINK_SECONDS = 60.0  # an exercise is read, looked at and calculated
BAD_NETWORK = 10  # every so manieth phone
CANDIDATES = 60
LOOKS = 12  # at the memory of the trainers, from the beginning of a class to its end


@dataclass
class Tally:
    """What all phones together met: seconds of each kind of request, replies that were none, keys kept."""

    seconds: dict[str, list[float]] = field(default_factory=dict)
    errors: Counter[str] = field(default_factory=Counter)
    acknowledged: set[str] = field(default_factory=set)
    memory: list[float] = field(default_factory=list)  # MB of the trainers, at equal times
    lock: threading.Lock = field(default_factory=threading.Lock)

    def timed(self, kind: str, ask: Callable[[], Reply], wanted: set[int]) -> Reply | None:
        """One request; None where nothing useful came back."""
        began = time.perf_counter()
        try:
            reply = ask()
        except (OSError, http.client.HTTPException) as fault:
            with self.lock:
                self.errors[f"{kind}: {type(fault).__name__}"] += 1
            return None
        with self.lock:
            self.seconds.setdefault(kind, []).append(time.perf_counter() - began)
            if reply.status not in wanted:
                self.errors[f"{kind}: {reply.status}"] += 1
        return reply if reply.status in wanted else None


def attend(phone: Phone, number: int, tally: Tally, end: float) -> None:
    """One trainee of the class until its end."""
    chance = random.Random(number)
    time.sleep(chance.uniform(0, THINK_SECONDS))
    while time.monotonic() < end:
        tally.timed("first page", lambda: phone.get("/trainee/"), {200})
        begun = tally.timed("next", lambda: phone.send("/trainee/practice", DRILL), {303})
        sheet = begun and tally.timed("sheet", lambda path=begun.location: phone.get(path), {200})
        found = KEY.search(sheet.page) if sheet else None
        if begun and found:
            time.sleep(chance.expovariate(1 / THINK_SECONDS))
            phone.hang_up()  # so long idle, a browser begins a new connection
            answer(phone, begun.location, found[1], tally, number % BAD_NETWORK == 0)
    phone.hang_up()


def answer(phone: Phone, path: str, key: str, tally: Tally, lost: bool) -> None:
    """Send an answer, over a bad network twice, and look at its verdict."""
    form = {"answer": "4.95 kA", "key": key}
    if lost:
        phone.send_and_hang_up(path, form)
    reply = tally.timed("answer", lambda: phone.send(path, form), {303})
    if reply:
        with tally.lock:
            tally.acknowledged.add(key)
        tally.timed("verdict", lambda: phone.get(reply.location), {200})


def phone_of(running: list[Running], token: str, number: int) -> Phone:
    """The phone of a person, with an address of its own, at one of the trainers."""
    return running[number % len(running)].phone(token, address(number))


def class_of(running: list[Running], tokens: list[str], seconds: float) -> Tally:
    """All phones at once for so long."""
    tally, end = Tally(), time.monotonic() + seconds
    threads = [
        threading.Thread(target=attend, args=(phone_of(running, token, number), number, tally, end))
        for number, token in enumerate(tokens)
    ]
    for thread in threads:
        thread.start()
    while time.monotonic() < end:
        tally.memory.append(sum(megabytes(one.process.pid) for one in running))
        time.sleep(seconds / LOOKS)
    for thread in threads:
        thread.join()
    return tally


def address(number: int) -> str:
    """An address of this machine for a phone of its own."""
    return f"127.0.{1 + number // 250}.{1 + number % 250}"


def sit(instance: Path, candidates: int) -> list[tuple[str, int]]:
    """Plan and open an examination, and start a paper for each candidate: token and paper."""
    database, shelf, now = opened(instance), Shelf.of_folder(bank_folder()), datetime.now(UTC)
    plan, seeds = Plan((Line(DRILL["drill"], None, 4),), 70), iter(range(1, 10_000))
    with database.writing() as session:
        ian = make_person(session, "TV-IAN", "Ian", {"instructor"})
        crowd = list(session.scalars(select(Person.id).where(Person.id != ian.id).limit(candidates)))
        made = make_class(session, ian.id, *crowd)
        held = sittings.plan(session, shelf, ian.id, made.id, "Coils", "I", 60, plan, "TARN7", now)
        sittings.open_sitting(session, ian.id, held.id, now)
        started = [
            (make_token(session, one, now), papers.start(session, shelf, one, "TARN7", lambda: next(seeds), now).id)
            for one in crowd
        ]  # fmt: skip
    database.close()
    return started


def hand_in(running: list[Running], started: list[tuple[str, int]]) -> Tally:
    """Every candidate writes one answer and hands in, all at the same moment."""
    tally, gate = Tally(), threading.Barrier(len(started))

    def one(number: int, token: str, paper: int) -> None:
        phone = phone_of(running, token, number)
        phone.get("/join")
        gate.wait()
        tally.timed("keep", lambda: phone.send(f"/trainee/papers/{paper}/1", {"answer": f"{paper} A"}), {303})
        tally.timed("hand in", lambda: phone.send(f"/trainee/papers/{paper}/hand-in", {}), {303})
        phone.hang_up()

    threads = [threading.Thread(target=one, args=(n, *of)) for n, of in enumerate(started)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return tally


def handed_in(instance: Path, started: list[tuple[str, int]]) -> int:
    """How many papers are handed in with the answer that was written."""
    database = opened(instance)
    with database.reading() as session:
        wanted = select(Paper.id, PaperAnswer.text).join(PaperAnswer).where(
            Paper.handed_in_at.is_not(None), PaperAnswer.position == 1
        )  # fmt: skip
        whole = sum(text == f"{paper} A" for paper, text in session.execute(wanted))
    database.close()
    return whole


def told(tally: Tally, hello: float) -> None:
    """Print each kind of request: how many, median, 99th of a hundred, and the median over a bare page."""
    for kind, seconds in tally.seconds.items():
        row = sorted(seconds)
        middle, late = row[len(row) // 2] * 1000, row[min(len(row) - 1, len(row) * 99 // 100)] * 1000
        print(f"{kind:12}{len(row):8}{middle:10.1f}{late:10.1f}{middle / hello:8.1f}")
    print("errors:", dict(tally.errors) or "none")


def bare_page(running: Running) -> float:
    """Milliseconds of a page that reads nothing, on a quiet server."""
    phone, times = Phone(running.port), []
    for _ in range(50):
        began = time.perf_counter()
        phone.get("/join")
        times.append(time.perf_counter() - began)
    phone.hang_up()
    return sorted(times)[25] * 1000


@contextmanager
def database_for(trainers: int) -> Iterator[str]:
    """The setting of a database for several trainers, on a server of its own; of one alone it is empty."""
    if not trainers:
        yield ""
        return
    with postgres.server(fsync="on", full_page_writes="on", synchronous_commit="on") as server:
        server.say("CREATE DATABASE trainer")
        yield f"postgresql+psycopg://{server.user}@/trainer?host={server.folder}"


def main() -> None:
    """The class, the look into the store, the examination."""
    phones = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    seconds = float(sys.argv[2]) if len(sys.argv) > 2 else 180
    trainers = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    with tempfile.TemporaryDirectory(prefix="load-") as folder, database_for(trainers) as where:
        instance = Path(folder) / "instance"
        tokens = fill(instance, phones, where)
        started = sit(instance, min(CANDIDATES, phones))
        running = [Running.start(instance) for _ in range(trainers or 1)]
        try:
            hello = bare_page(running[0])
            print(f"{phones} phones, {seconds:.0f} s, {len(running)} trainers on {'PostgreSQL' if where else 'SQLite'}; "
                  f"a bare page takes {hello:.1f} ms")  # fmt: skip
            print(f"{'':12}{'times':>8}{'p50 ms':>10}{'p99 ms':>10}{'/ bare':>8}")
            examined = hand_in(running, started)
            told(examined, hello)
            lesson = class_of(running, tokens[CANDIDATES:] or tokens, seconds)
            told(lesson, hello)
            print("memory in MB:", *(round(each) for each in lesson.memory))
        finally:
            for one in running:
                one.stop()
        database = opened(instance)
        found: Found = look(database, lesson.acknowledged)
        database.close()
        print(f"{len(lesson.acknowledged)} answers acknowledged, {found.answers} stored; lost {len(found.lost)}, "
              f"doubled {len(found.doubled)}, chain {found.chain or 'whole'}; "
              f"{handed_in(instance, started)} of {len(started)} papers whole")  # fmt: skip


if __name__ == "__main__":
    main()
