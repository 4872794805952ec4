"""Kill a trainer at random moments while phones answer, start it again, and count what is missing.

By hand: python -m tests.faults.killing 1000 [PHONES] [SEED]. Every hundred kills a new instance begins, since each look
reads everything that was ever kept.
"""

from __future__ import annotations

import http.client
import random
import re
import shutil
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field, fields
from pathlib import Path

from tests.faults.classroom import Found, Running, fill, look, opened
from tests.faults.phone import KEY, Phone
from trainer.store import Database

SHEET = re.compile(r"/trainee/practice/(\d+)")
DRILL = {"drill": "coil-low-fill-wall", "find": "I"}
LONGEST = 1.5  # seconds of load before a kill
AT_WORK = (
    0.8  # of the kills come when answers do; the others as soon as somebody listens, while it is still cold
)
PATIENCE = 120  # seconds for a first answer
OF_ONE_INSTANCE = 100
WANTED = ((1, 1000), (2, 8), (3, 0))  # what each word of the command is, when it is not said
DATABASE = "trainer.sqlite"


@dataclass
class Trainee:
    """Somebody who answers one exercise after the other, and sends again what was not acknowledged."""

    token: str
    acknowledged: set[str] = field(default_factory=set)
    sent_again: int = 0
    waiting: tuple[str, dict[str, str]] | None = None

    def work(self, phone: Phone, over: threading.Event) -> None:
        """Answer until the class is over or nobody answers any more."""
        try:
            while not over.is_set():
                self.one(phone)
        except (OSError, http.client.HTTPException):
            pass
        finally:
            phone.hang_up()

    def one(self, phone: Phone) -> None:
        """One exercise, or the answer that is still waiting on this phone."""
        if self.waiting is None:
            begun = phone.send("/trainee/practice", DRILL)
            sheet = phone.get(begun.location)
            found = KEY.search(sheet.page)
            if begun.status != 303 or found is None:
                raise OSError(f"no exercise was offered: {begun.status}, {sheet.status}")
            self.waiting = (begun.location, {"answer": "4.95 kA", "key": found[1]})
        else:
            self.sent_again += 1
        path, form = self.waiting
        reply = phone.send(path, form)
        if reply.status == 303:
            self.acknowledged.add(form["key"])
            self.waiting = None


@dataclass
class Count:
    """What all rounds together showed."""

    kills: int = 0
    copies: int = 0
    acknowledged: int = 0
    sent_again: int = 0
    bad: list[Found] = field(default_factory=list)

    def __add__(self, more: Count) -> Count:
        """Both together."""
        return Count(*(getattr(self, one.name) + getattr(more, one.name) for one in fields(Count)))


def rounds(
    folder: Path, kills: int, phones: int, seed: int = 0, tell: Callable[[Count], None] = lambda _count: None
) -> Count:
    """Start, load, copy once, kill, look; as often as wanted, telling how it stands after each."""
    chance = random.Random(seed)
    instance = folder / "instance"
    crew = [Trainee(token) for token in fill(instance, phones)]
    count = Count()
    for turn in range(kills):
        running = Running.start(instance)
        over = threading.Event()
        threads = [
            threading.Thread(target=one.work, args=(running.phone(one.token), over), daemon=True)
            for one in crew
        ]
        for thread in threads:
            thread.start()
        if chance.random() < AT_WORK:
            wait_for_answers(crew)
        over.wait(chance.uniform(0.05, LONGEST))
        copy_at_this_moment(running, folder / f"copy{turn}", crew, count)
        over.wait(chance.uniform(0, LONGEST))
        running.kill()
        over.set()
        for thread in threads:
            thread.join()
        count.kills += 1
        note(count, look_into(instance, crew))
        count.acknowledged = acknowledged(crew)
        count.sent_again = sum(one.sent_again for one in crew)
        tell(count)
    return count


def wait_for_answers(crew: list[Trainee]) -> None:
    """Come back when the first answer of this round is acknowledged: on a busy machine that takes its time."""
    before, end = acknowledged(crew), time.monotonic() + PATIENCE
    while acknowledged(crew) == before and time.monotonic() < end:
        time.sleep(0.05)


def acknowledged(crew: list[Trainee]) -> int:
    """How many answers the crew was told are kept."""
    return sum(len(one.acknowledged) for one in crew)


def copy_at_this_moment(running: Running, place: Path, crew: list[Trainee], count: Count) -> None:
    """Copy the files while nothing of the trainer runs, and look whether the copy opens with every answer."""
    running.freeze()
    known = {key for one in crew for key in set(one.acknowledged)}
    place.mkdir()
    for name in (DATABASE, f"{DATABASE}-wal"):
        if (running.instance / name).exists():
            shutil.copy(running.instance / name, place / name)
    running.go_on()
    database = Database(f"sqlite:///{(place / DATABASE).as_posix()}")
    note(count, look(database, known))
    database.close()
    shutil.rmtree(place)
    count.copies += 1


def look_into(instance: Path, crew: list[Trainee]) -> Found:
    """What the store holds of what the crew was told is kept."""
    database = opened(instance)
    try:
        return look(database, {key for one in crew for key in one.acknowledged})
    finally:
        database.close()


def note(count: Count, found: Found) -> None:
    """Keep what is not as it should be."""
    if not found.well:
        count.bad.append(found)


def told(count: Count) -> None:
    """One line on how it stands."""
    print(f"{count.kills} kills, {count.copies} copies, {count.acknowledged} acknowledged answers, "
          f"{count.sent_again} sent again, {len(count.bad)} looks that found something", flush=True)  # fmt: skip


def main() -> None:
    """Run as many kills as asked for and say after each what was found."""
    kills, phones, seed = (int(sys.argv[n]) if len(sys.argv) > n else standard for n, standard in WANTED)
    whole = Count()
    for begun in range(0, kills, OF_ONE_INSTANCE):
        with tempfile.TemporaryDirectory(prefix="killing-") as folder:
            turns = min(OF_ONE_INSTANCE, kills - begun)
            whole += rounds(
                Path(folder),
                turns,
                phones,
                seed=seed + begun,
                tell=lambda count, before=whole: told(before + count),
            )
    for found in whole.bad[:10]:
        print(found)


if __name__ == "__main__":
    main()
