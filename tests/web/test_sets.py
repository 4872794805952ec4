"""An instructor sets drills for a class; the trainees find them; the board shows the class now."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import NOW, Clock, People, make_class
from tests.web.test_practice import begin, right_answer
from trainer.drills.shelf import Shelf
from trainer.services import sets
from trainer.store import Database
from trainer.store.models import Assignment, Exercise

DRILLS = ["coil-low-fill-wall", "prod-current-asme"]


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


def give(browser: Browser, class_id: int, **changes: object) -> int:
    """Set two drills for the class; return the status."""
    form = {"title": "Coils 1", "due_on": "2026-12-04", "right_needed": "1", "drill": DRILLS} | changes
    return browser.send(f"/instructor/classes/{class_id}/sets", form).status_code


def test_a_set_is_given_and_done(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf, people: People
) -> None:
    """Ticked drills become a set; Tess sees it, does it, and is counted; then it is no longer open."""
    assert give(as_ian, own_class) == 303
    home = as_tess.get("/trainee/").get_data(as_text=True)
    assert "Coils 1" in home
    assert "0 of 2" in home
    with store.reading() as session:
        given = session.scalars(select(Assignment.id)).one()
    for _ in range(2):
        number = begin(as_tess, set=str(given))
        as_tess.send(f"/trainee/practice/{number}", {"answer": right_answer(store, shelf, number)})
    with store.reading() as session:
        rows = session.scalars(select(Exercise.assignment_id)).all()
        assert rows == [given, given]
        assert sets.open_for(session, people.tess, NOW.date()) == []
    page = as_ian.get(f"/instructor/classes/{own_class}/sets").get_data(as_text=True)
    assert 'data-label="done">2' in page


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"title": ""}, "Write a name"),
        ({"due_on": "Friday"}, "year, month, day"),
        ({"right_needed": "0"}, "1 to 20"),
        ({"right_needed": "²"}, "1 to 20"),
        ({"drill": []}, "Tick at least one drill"),
    ],
)
def test_what_cannot_be_taken_is_told(
    as_ian: Browser, own_class: int, store: Database, changes: dict[str, object], says: str
) -> None:
    """A sentence at the field, what was ticked stays ticked, nothing is kept."""
    form = {"title": "Coils 1", "due_on": "", "right_needed": "", "drill": DRILLS} | changes
    reply = as_ian.send(f"/instructor/classes/{own_class}/sets", form)
    page = reply.get_data(as_text=True)
    assert reply.status_code == 422
    assert says in page
    assert page.count(" checked") == len(form["drill"])  # type: ignore[arg-type]
    with store.reading() as session:
        assert session.scalars(select(Assignment)).all() == []


def test_taken_back(as_ian: Browser, as_tess: Browser, own_class: int) -> None:
    """A set that is taken back is gone from the trainee's page."""
    give(as_ian, own_class)
    assert as_ian.send("/instructor/sets/1/withdraw").status_code == 303
    assert "Coils 1" not in as_tess.get("/trainee/").get_data(as_text=True)


def test_the_class_now(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf, clock: Clock
) -> None:
    """A slip stands on the board by name; on the wall no person does; a quiet bench is told."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    with store.reading() as session:
        row = session.get(Exercise, number)
        assert row is not None
        drawn = shelf.draw(row.drill_id, row.seed, row.find)
    slips = shelf.mould("coil-low-fill-wall", "I").read.drill.slips
    wrong = next(s for s in drawn.slips if slips[s.index].id == "turns-forgotten")
    as_tess.send(f"/trainee/practice/{number}", {"answer": f"{wrong.value:.6g} A"})
    page = as_ian.get(f"/instructor/classes/{own_class}/now").get_data(as_text=True)
    assert "The turns were left out" in page
    assert "Tess" in page
    wall = as_ian.get(f"/instructor/classes/{own_class}/now?wall=1").get_data(as_text=True)
    assert "Tess" not in wall
    clock.now += timedelta(minutes=7)
    region = as_ian.get(f"/instructor/classes/{own_class}/now", headers={"X-Fragment": "1"}).get_data(
        as_text=True
    )
    assert "quiet for 7 min" in region
    assert "<html" not in region


def test_not_yours(
    as_ian: Browser, as_tess: Browser, as_omar: Browser, own_class: int, store: Database
) -> None:
    """Another's class is not found, a trainee is refused, wrong ids and methods are told."""
    from tests.make import make_person, make_token
    from trainer.web.access import COOKIE

    give(as_ian, own_class)
    with store.writing() as session:
        other = make_person(session, "TV-02", "Ada", {"instructor"}).id
        token = make_token(session, other)
    as_ada = as_omar
    as_ada.set_cookie(COOKIE, token)
    for path in (f"/instructor/classes/{own_class}/sets", f"/instructor/classes/{own_class}/now"):
        assert as_ada.get(path).status_code == 404
        assert as_tess.get(path).status_code == 403
    assert as_ada.send("/instructor/sets/1/withdraw").status_code == 404
    assert as_ian.send("/instructor/sets/99/withdraw").status_code == 404
    assert as_ian.get("/instructor/sets/1/withdraw").status_code == 405
    assert give(as_ada, own_class) == 404
    assert give(as_ian, own_class, drill=["no-such-drill"]) == 404
