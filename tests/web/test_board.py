"""The class now: slips by name, quiet benches, and a wall without names."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.conftest import Browser
from tests.make import Clock, People, make_class
from tests.web.test_practice import begin
from trainer.drills.shelf import Shelf
from trainer.store import Database
from trainer.store.models import Exercise


@pytest.fixture
def now_page(store: Database, people: People) -> str:
    """The address of the board of Ian's class with Tess in it."""
    with store.writing() as session:
        return f"/instructor/classes/{make_class(session, people.ian, people.tess).id}/now"


def slip_value(store: Database, shelf: Shelf, number: int, slip: str) -> str:
    """What a mistake gives in an exercise."""
    with store.reading() as session:
        row = session.get_one(Exercise, number)
        drawn = shelf.draw(row.drill_id, row.seed, row.find)
    slips = shelf.mould("coil-low-fill-wall", "I").read.drill.slips
    return f"{next(s for s in drawn.slips if slips[s.place].id == slip).value:.6g} A"


def test_the_class_now(
    as_ian: Browser, as_tess: Browser, now_page: str, store: Database, shelf: Shelf, clock: Clock
) -> None:
    """A slip stands on the board by name; on the wall no person does; a quiet bench is told."""
    assert "has not begun" in as_ian.get(now_page).get_data(as_text=True)
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    wrong = slip_value(store, shelf, number, "turns-forgotten")
    as_tess.send(f"/trainee/practice/{number}", {"answer": wrong})
    page = as_ian.get(now_page).get_data(as_text=True)
    assert ("The turns were left out" in page, "Tess" in page) == (True, True)
    for header in ({}, {"X-Fragment": "1"}):
        wall = as_ian.get(f"{now_page}?wall=1", headers=header).get_data(as_text=True)
        assert ("Tess" in wall, "TV-07" in wall, "Bench 1" in wall) == (False, False, True)
    clock.now += timedelta(minutes=7)
    region = as_ian.get(now_page, headers={"X-Fragment": "1"}).get_data(as_text=True)
    assert ("quiet for 7 min" in region, "<html" in region) == (True, False)


def test_yesterdays_exercise_answered_now_counts(
    as_ian: Browser, as_tess: Browser, now_page: str, clock: Clock
) -> None:
    """What counts is when it was answered; an answer with the working shown counts as no mistake."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    clock.now += timedelta(hours=10)
    as_tess.send(f"/trainee/practice/{number}", {"answer": "1 A"})
    assert "1 answer in the last three hours, 0 right" in as_ian.get(now_page).get_data(as_text=True)
    aided = begin(as_tess, drill="coil-low-fill-wall", find="I")
    as_tess.send(f"/trainee/practice/{aided}/working")
    as_tess.send(f"/trainee/practice/{aided}", {"answer": "1 A"})
    page = as_ian.get(now_page).get_data(as_text=True)
    assert ("1 answer in the last" in page, "with the working shown" in page) == (True, True)
