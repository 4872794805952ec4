"""Let the program die before each single statement of one answer, and look each time what was kept.

By hand: python -m tests.faults.dying
"""

from __future__ import annotations

import os
import signal
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy import event, select

from tests.faults.classroom import Found, fill, look, opened
from trainer.drills.shelf import Shelf
from trainer.practice.offer import Line
from trainer.services.practising import practice
from trainer.store import Database
from trainer.store.models import Person

BANK = Path(__file__).parents[1] / "small_bank"
DRILL = "coil-low-fill-wall"
NOW = datetime(2026, 11, 25, 10, 38, tzinfo=UTC)
MOST_STEPS = 200


@dataclass(frozen=True, slots=True)
class Death:
    """One death before a step: what the store held afterwards, and after the answer was sent again."""

    step: int
    after: Found
    again: Found


def die_at_each_step(folder: Path, setting: str = "") -> list[Death]:
    """One answer for each step of its transaction, each in a process that dies before that step."""
    instance = folder / "instance"
    fill(instance, 1, setting)
    shelf = Shelf.of_folder(BANK)
    deaths: list[Death] = []
    for step in range(MOST_STEPS):
        exercise = offered(instance, shelf, step)
        if not died(lambda step=step, exercise=exercise: answer(instance, shelf, exercise, step)):
            return deaths
        before = {f"key {earlier}" for earlier in range(step)}
        after = seen(instance, before)
        answer(instance, shelf, exercise, None)
        deaths.append(Death(step, after, seen(instance, before | {f"key {step}"})))
    raise AssertionError("an answer has no end")


def offered(instance: Path, shelf: Shelf, seed: int) -> tuple[int, int, str]:
    """A fresh exercise for the one trainee: person, exercise, and the key of its form."""
    database = opened(instance)
    with database.writing() as session:
        person_id = session.scalars(select(Person.id)).one()
        row = practice.offer(session, shelf, person_id, Line(DRILL, "I", "coil"), "a test", seed, NOW)
        found = (person_id, row.id, f"key {seed}")
    database.close()
    return found


def answer(instance: Path, shelf: Shelf, exercise: tuple[int, int, str], step: int | None) -> None:
    """Keep the answer; die before the statement with this number, or at the very end of them."""
    person_id, exercise_id, key = exercise
    database = opened(instance)
    if step is not None:
        count_down(database, step)
    with database.writing() as session:
        practice.take(session, shelf, person_id, exercise_id, "4.95 kA", key, NOW)
    database.close()


def count_down(database: Database, step: int) -> None:
    """Kill this process before statement number ``step``; the commit counts as one."""
    left = iter(range(step))

    def tick(*_: object) -> None:
        if next(left, None) is None:
            os.kill(os.getpid(), signal.SIGKILL)

    event.listen(database.engine, "before_cursor_execute", tick)
    event.listen(database.engine, "commit", tick)


def died(act: Callable[[], None]) -> bool:
    """Run something in a process of its own; whether it was killed. Anything else that goes wrong is raised."""
    child = os.fork()
    if child == 0:
        try:
            act()
        except BaseException:
            os._exit(1)
        os._exit(0)
    _, status = os.waitpid(child, 0)
    if os.WIFSIGNALED(status):
        return True
    if os.WEXITSTATUS(status):
        raise RuntimeError("the answer failed instead of dying")
    return False


def seen(instance: Path, acknowledged: set[str]) -> Found:
    """What is in the store."""
    database = opened(instance)
    try:
        return look(database, acknowledged)
    finally:
        database.close()


def main() -> None:
    """Say how many steps there are and what was found."""
    with tempfile.TemporaryDirectory(prefix="dying-") as folder:
        deaths = die_at_each_step(Path(folder))
    bad = [death for death in deaths if not (death.after.well and death.again.well)]
    print(f"{len(deaths)} deaths, one before each step; {len(bad)} left something behind")
    for death in bad:
        print(death)


if __name__ == "__main__":
    main()
