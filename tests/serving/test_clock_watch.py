"""A clock that is set back under a running trainer: nobody who sits a paper gains the time."""

from __future__ import annotations

import threading
from collections.abc import Callable
from datetime import timedelta

import pytest

from tests.make import NOW, Clock, make_people
from tests.sitting import make_paper, make_sitting
from trainer.drills.shelf import Shelf
from trainer.errors import Busy
from trainer.services.examining import papers, sittings
from trainer.services.keeping import audit
from trainer.serving import clock_watch
from trainer.serving.clock_watch import ClockWatch, keep_watch
from trainer.store import Database
from trainer.store.models import Paper, Sitting

HOUR = timedelta(hours=1)
END = NOW + timedelta(minutes=30)


@pytest.fixture
def sat(database: Database, shelf: Shelf) -> Callable[[], tuple[Sitting, Paper]]:
    """A running examination and Tess's paper, as the store has them whenever it is asked."""
    with database.writing() as session:
        people = make_people(session)
        sitting_id = make_sitting(session, shelf, people).id
        paper_id = make_paper(session, shelf, people.tess).id

    def found() -> tuple[Sitting, Paper]:
        with database.reading() as session:
            return session.get_one(Sitting, sitting_id), session.get_one(Paper, paper_id)

    return found


@pytest.mark.parametrize(
    ("clock", "steady", "back"),
    [
        (10 * 60, 10 * 60, timedelta()),
        (10 * 60 - 3600, 10 * 60, HOUR),
        (10 * 60 - 10, 10 * 60, timedelta()),
        (400 * 86_400, 10 * 60, timedelta()),
    ],
    ids=["runs on", "set back", "kept right", "set forward, or slept"],
)
def test_running_papers_follow_a_clock_that_is_set_back(
    database: Database, sat: Callable[[], tuple[Sitting, Paper]], clock: float, steady: float, back: timedelta
) -> None:
    """Start and end go back with it, once, and the chain says by how much."""
    wall, ticks = Clock(NOW), iter([100.0, 100.0 + steady, 100.0 + steady])
    watch = ClockWatch(database, wall, ticks.__next__)
    wall.now = NOW + timedelta(seconds=clock)
    assert (watch.look(), watch.look()) == (back, timedelta())
    assert (sat()[1].started_at, sat()[1].deadline) == (NOW - back, END - back)
    with database.reading() as session:
        told = [
            link.event["facts"] for link in audit.recent(session) if link.event["what"] == "clock set back"
        ]
    assert told == ([{"minutes": 60}] if back else [])


def test_a_second_trainer_moves_nothing_again(
    database: Database, sat: Callable[[], tuple[Sitting, Paper]]
) -> None:
    """Two on the same records see the same clock set back."""
    wall = Clock(NOW)
    both = [ClockWatch(database, wall, iter([0.0, 5.0]).__next__) for _ in range(2)]
    wall.now = NOW - HOUR
    for watch in both:
        watch.look()
    assert sat()[1].deadline == END - HOUR - timedelta(seconds=5)


def test_a_pause_is_as_long_as_it_was(database: Database, sat: Callable[[], tuple[Sitting, Paper]]) -> None:
    """Paused for ten minutes and set back by an hour in them: the paper ends ten minutes later by the clock as it is now."""
    sitting = sat()[0]
    with database.writing() as session:
        sittings.pause(session, sitting.opened_by_id, sitting.id, NOW)
    wall = Clock(NOW)
    watch = ClockWatch(database, wall, iter([0.0, 300.0]).__next__)
    wall.now = NOW + timedelta(minutes=5) - HOUR
    watch.look()
    with database.writing() as session:
        sittings.resume(session, sitting.opened_by_id, sitting.id, NOW + timedelta(minutes=10) - HOUR)
    assert sat()[1].deadline == END - HOUR + timedelta(minutes=10)


def test_answers_go_back_with_their_paper(
    database: Database, sat: Callable[[], tuple[Sitting, Paper]]
) -> None:
    """So the hand-in that follows comes after the last of them, and before the end."""
    paper = sat()[1]
    with database.writing() as session:
        papers.save(session, paper.person_id, paper.id, 1, "1 A", False, NOW + timedelta(minutes=5))
    wall = Clock(NOW + timedelta(minutes=5))
    watch = ClockWatch(database, wall, iter([0.0, 60.0, 120.0]).__next__)
    wall.now += timedelta(minutes=1) - HOUR
    watch.look()
    with database.writing() as session:
        papers.hand_in(session, paper.person_id, paper.id, wall.now)
    handed_in = sat()[1]
    assert handed_in.handed_in_at == wall.now
    wall.now -= HOUR
    watch.look()
    assert sat()[1].deadline == handed_in.deadline, "what is handed in stays as it was"


def test_it_is_watched_beside_the_pages(
    database: Database, sat: Callable[[], tuple[Sitting, Paper]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """The thread looks until the trainer is over."""
    monkeypatch.setattr(clock_watch, "LOOK_SECONDS", 0.001)
    wall, over = Clock(NOW), threading.Event()
    watch = ClockWatch(database, wall)
    wall.now = NOW - HOUR
    thread = keep_watch(watch, over)
    for _ in range(6000):
        if sat()[1].deadline < END:
            break
        over.wait(0.01)
    over.set()
    thread.join(60)
    assert (thread.is_alive(), sat()[1].deadline < END) == (False, True)


def test_what_could_not_be_written_is_seen_again(
    database: Database, sat: Callable[[], tuple[Sitting, Paper]], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Somebody else holds the store at the look that sees it: the papers follow at the next one, by as much."""
    wall = Clock(NOW)
    watch = ClockWatch(database, wall, iter([0.0, 5.0, 10.0]).__next__)
    wall.now = NOW + timedelta(seconds=5) - HOUR
    with monkeypatch.context() as hindered:
        hindered.setattr(clock_watch, "set_back", busy)
        with pytest.raises(Busy):
            watch.look()
    wall.now += timedelta(seconds=5)
    assert (watch.look(), sat()[1].deadline) == (HOUR, END - HOUR)


def busy(*_: object) -> int:
    """Nobody's turn."""
    raise Busy("somebody else")
