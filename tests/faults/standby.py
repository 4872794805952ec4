"""Kill the database server under load, let its synchronous standby take over, and count what is missing.

By hand: python -m tests.faults.standby 20 [PHONES]. The roles change with every takeover: what was killed
becomes the standby of the other one while the phones go on. Every second time the standby is cut off before
the kill, so that whatever the primary acknowledged without it would be lost.
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
from pathlib import Path

from tests import postgres
from tests.faults.classroom import Found, Running, fill
from tests.faults.dying import seen
from tests.faults.killing import Trainee
from tests.faults.phone import Phone, Reply

NAME = "standby"
SERVERS = 3  # application processes on the one database
LONGEST = 1.5  # seconds of load before a kill
PATIENCE = 120
KEPT = {"fsync": "on", "full_page_writes": "on", "synchronous_commit": "on"}


@dataclass
class Pair:
    """A server that takes writes and one that follows it; they change places at each takeover."""

    primary: postgres.Server
    standby: postgres.Server
    waits: bool = True  # whether a commit is acknowledged only when the standby has it on its disk too

    def address(self, name: str) -> str:
        """The setting ``database``: both servers, of which the one that takes writes is wanted."""
        hosts = "&".join(f"host={one.folder}" for one in (self.primary, self.standby))
        return f"postgresql+psycopg://{self.primary.user}@/{name}?{hosts}&target_session_attrs=read-write&connect_timeout=5"

    def join(self) -> None:
        """Make the standby anew from the primary; from the end of this on, commits wait for it."""
        self.standby.follow(self.primary, NAME)
        self.standby.start(**KEPT)
        change(self.standby, "RESET synchronous_standby_names")  # the copy brought it along
        until(lambda: self._says("state") == "streaming")
        if self.waits:
            change(self.primary, f"SET synchronous_standby_names = 'FIRST 1 ({NAME})'")
            until(lambda: self._says("sync_state") == "sync")

    def cut_off(self) -> None:
        """Let nothing reach the standby any more, as when the network between the two is gone."""
        change(self.standby, "SET primary_conninfo = ''")
        until(lambda: self.standby.say("SELECT count(*) FROM pg_stat_wal_receiver") == 0)

    def take_over(self) -> None:
        """Let the standby take the place of the primary, which is dead."""
        self.standby.promote()
        self.primary, self.standby = self.standby, self.primary

    def _says(self, column: str) -> object:
        return self.primary.say(f"SELECT {column} FROM pg_stat_replication WHERE application_name = '{NAME}'")


@dataclass
class Watched(Phone):
    """A phone that counts what it was answered with."""

    statuses: Counter[int] = field(default_factory=Counter)

    def _ask(self, method: str, path: str, body: str | None) -> Reply:
        reply = super()._ask(method, path, body)
        self.statuses[reply.status] += 1
        return reply


@dataclass
class Load:
    """Trainees who answer without end, each on a phone of their own."""

    crew: list[Trainee]
    phones: list[Watched]
    over: threading.Event = field(default_factory=threading.Event)

    @contextmanager
    def running(self) -> Iterator[None]:
        """Let them answer for as long as the block lasts."""
        threads = [
            threading.Thread(target=self._work, args=pair, daemon=True)
            for pair in zip(self.crew, self.phones, strict=True)
        ]
        for thread in threads:
            thread.start()
        try:
            yield
        finally:
            self.over.set()
            for thread in threads:
                thread.join()

    def acknowledged(self) -> set[str]:
        """The keys of all answers of which somebody was told that they are kept."""
        return {key for one in self.crew for key in set(one.acknowledged)}

    def everybody_answers(self) -> None:
        """Come back when each of them has had one more answer acknowledged."""
        before = [len(one.acknowledged) for one in self.crew]
        until(lambda: all(len(one.acknowledged) > was for one, was in zip(self.crew, before, strict=True)))

    def _work(self, one: Trainee, phone: Watched) -> None:
        while not self.over.is_set():
            try:
                one.one(phone)
            except (OSError, http.client.HTTPException):
                self.over.wait(0.05)
        phone.hang_up()


@dataclass
class Count:
    """What all takeovers together showed."""

    takeovers: int = 0
    cut_off: int = 0
    acknowledged: int = 0
    sent_again: int = 0
    kept: int = 0
    statuses: Counter[int] = field(default_factory=Counter)
    bad: list[Found] = field(default_factory=list)

    def note(self, found: Found) -> None:
        """Keep what is not as it should be."""
        self.kept = found.answers
        if not found.well:
            self.bad.append(found)


def takeovers(
    folder: Path, times: int, phones: int, seed: int = 0, tell: Callable[[Count], None] = lambda _count: None
) -> Count:
    """Load, kill, take over, look, go on, make a standby again; as often as wanted."""
    count, chance, instance = Count(), random.Random(seed), folder / "instance"
    with pair_of_servers() as pair, serving(instance, pair, phones) as load, load.running():
        for turn in range(times):
            load.everybody_answers()
            time.sleep(chance.uniform(0, LONGEST))
            count.cut_off += fall(pair, chance, cut_off=turn % 2 == 1)
            count.takeovers += 1
            count.note(seen(instance, load.acknowledged()))
            load.everybody_answers()
            pair.join()
            count.acknowledged = len(load.acknowledged())
            count.sent_again = sum(one.sent_again for one in load.crew)
            count.statuses = sum((phone.statuses for phone in load.phones), Counter[int]())
            tell(count)
        load.over.set()
        count.note(seen(instance, load.acknowledged()))
    return count


def fall(pair: Pair, chance: random.Random, cut_off: bool) -> bool:
    """Kill the primary, perhaps some time after its standby was cut off, and let the standby take over."""
    if cut_off:
        pair.cut_off()
        time.sleep(chance.uniform(0.2, 0.6))
    pair.primary.kill()
    time.sleep(chance.uniform(0, 0.5))
    pair.take_over()
    return cut_off


@contextmanager
def pair_of_servers(waits: bool = True) -> Iterator[Pair]:
    """A primary that runs alone, and the place of its standby."""
    with postgres.server(**KEPT) as primary, postgres.place_for_one() as standby:
        yield Pair(primary, standby, waits)


@contextmanager
def serving(instance: Path, pair: Pair, phones: int) -> Iterator[Load]:
    """Several trainers on one database that has its standby, and trainees signed in, spread over them."""
    pair.primary.say("CREATE DATABASE trainer")
    crew = [Trainee(token) for token in fill(instance, phones, pair.address("trainer"))]
    pair.join()
    running: list[Running] = []
    try:
        running += (Running.start(instance) for _ in range(SERVERS))
        yield Load(
            crew, [Watched(running[n % SERVERS].port).signed_in(one.token) for n, one in enumerate(crew)]
        )
    finally:
        for one in running:
            one.stop()


def change(server: postgres.Server, statement: str) -> None:
    """Change a line of a running server's configuration."""
    server.say(f"ALTER SYSTEM {statement}")
    server.say("SELECT pg_reload_conf()")


def until(reached: Callable[[], bool]) -> None:
    """Wait for something that must come. Raises TimeoutError where it does not."""
    end = time.monotonic() + PATIENCE
    while not reached():
        if time.monotonic() > end:
            raise TimeoutError("what should have come did not come")
        time.sleep(0.02)


def told(count: Count) -> None:
    """One line on how it stands."""
    print(f"{count.takeovers} takeovers, {count.cut_off} of them cut off before, {count.acknowledged} acknowledged "
          f"answers, {count.sent_again} sent again, replies {dict(count.statuses)}, "
          f"{len(count.bad)} looks that found something", flush=True)  # fmt: skip


def main() -> None:
    """Let the standby take over as often as asked for and say after each what was found."""
    times, phones = int(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 9
    with tempfile.TemporaryDirectory(prefix="standby-") as folder:
        count = takeovers(Path(folder), times, phones, tell=told)
    print(f"{count.kept} answers kept in the end")
    for found in count.bad[:10]:
        print(found)


if __name__ == "__main__":
    main()
