"""The chain is walked beside the pages: to its end, then after what is added, and no further than a break."""

from __future__ import annotations

import threading
from collections.abc import Iterator

import pytest
from sqlalchemy import update

from tests.make import NOW
from trainer.services.keeping import audit
from trainer.services.proving.ledger_check import Pace
from trainer.serving import walking
from trainer.store import Database
from trainer.store.models import Link

WAIT_SECONDS = 60


@pytest.fixture
def pace(database: Database) -> Pace:
    """A chain of 700 links, none of them walked."""
    add(database, 700)
    return Pace(database)


@pytest.fixture
def over() -> Iterator[threading.Event]:
    """The sign that ends the walk, given at the latest when the test is over."""
    sign = threading.Event()
    yield sign
    sign.set()


def add(database: Database, count: int) -> None:
    """So many notes more."""
    with database.writing() as session:
        for number in range(count):
            audit.note(session, None, "tested", number, NOW)


def test_a_stride_says_whether_there_is_more(database: Database, pace: Pace) -> None:
    """Three strides reach the end; what is added afterwards is walked by the next one."""
    assert [pace.stride(250) for _stride in range(4)] == [True, True, False, False]
    add(database, 260)
    assert [pace.stride(250), pace.stride(250)] == [True, False]
    assert pace.walk(0).says.startswith("All 960 links hold")


def test_a_break_stays_found(database: Database, pace: Pace) -> None:
    """A page that walks less than lies before a break tells of it all the same, and again at the next visit."""
    with database.writing() as session:
        session.execute(update(Link).where(Link.seq == 600).values(event={"what": "nothing"}))
    assert [pace.stride(250) for _stride in range(4)] == [True, True, False, False]
    assert [pace.walk(150).broken, pace.walk(150).broken] == [600, 600]


def test_it_is_walked_beside_the_pages(
    database: Database, pace: Pace, over: threading.Event, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The thread comes to the end by itself; a store that cannot be read is told in the log and tried again."""
    monkeypatch.setattr(walking, "REST_SECONDS", 0)
    monkeypatch.setattr(walking, "LOOK_SECONDS", 0.01)
    thread = walking.keep_walking(pace, over)
    for _moment in range(WAIT_SECONDS * 100):
        if pace.walk(0).says.startswith("All 700 links hold"):
            break
        over.wait(0.01)
    over.set()
    thread.join(WAIT_SECONDS)
    assert (thread.is_alive(), pace.walk(0).says[:19]) == (False, "All 700 links hold,")
