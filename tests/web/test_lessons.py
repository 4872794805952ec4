"""A slip made twice brings a lesson: both ways side by side, three exercises on just that, and then on."""

from __future__ import annotations

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import Clock
from tests.web.test_practice import begin, right_answer
from trainer.drills.shelf import Shelf
from trainer.services.practising import skills
from trainer.store import Database
from trainer.store.models import Exercise, Lesson

DRILL = "coil-low-fill-wall"


def slip(browser: Browser, store: Database, shelf: Shelf, slip_id: str) -> None:
    """Answer one exercise with what a slip gives."""
    number = begin(browser, drill=DRILL, find="I")
    with store.reading() as session:
        drawn = shelf.draw(DRILL, session.get_one(Exercise, number).seed, "I")
    slips = shelf.mould(DRILL, "I").read.drill.slips
    value = next(s.value for s in drawn.slips if slips[s.place].id == slip_id)
    assert browser.send(f"/trainee/practice/{number}", {"answer": f"{value:.6g} A"}).status_code == 303


@pytest.fixture
def slipped(as_tess: Browser, store: Database, shelf: Shelf) -> Browser:
    """Tess, who has put in the radius for the diameter twice."""
    for _ in range(2):
        slip(as_tess, store, shelf, "radius-for-diameter")
    return as_tess


def test_once_is_no_lesson(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """A slip made once brings the next exercise as ever."""
    slip(as_tess, store, shelf, "radius-for-diameter")
    assert "/practice/" in as_tess.send("/trainee/practice").location


def test_twice_is_a_lesson_from_the_bank(slipped: Browser) -> None:
    """Home says why; the lesson has both values, the dimension in the live colour, and the bank's own words."""
    assert "the radius went in for the diameter" in slipped.get("/trainee/").get_data(as_text=True)
    reply = slipped.send("/trainee/practice")
    assert "/lessons/" in reply.location
    page = slipped.get(reply.location).get_data(as_text=True)
    assert "Twice now: the radius went in for the diameter" in page
    for words in ("As you had it", "As it should be", "D is the whole distance across the part", "size live"):
        assert words in page
    assert "Start: 3 exercises on just this" in page


def test_three_exercises_that_the_slip_would_spoil_and_then_on(
    slipped: Browser, store: Database, shelf: Shelf
) -> None:
    """Each can be spoilt by the slip, in more than one find; they count, and after the third it goes on."""
    lesson = slipped.send("/trainee/practice").location
    finds = set()
    for turn in range(3):
        reply = slipped.send(lesson)
        number = int(reply.location.rsplit("/", 1)[1])
        assert slipped.send(lesson).location == reply.location, "an open one comes again"
        assert f"exercise {turn + 1} of 3 on just this" in slipped.get(reply.location).get_data(as_text=True)
        with store.reading() as session:
            row = session.get_one(Exercise, number)
            mould, drawn = shelf.mould(DRILL, row.find), shelf.draw(DRILL, row.seed, row.find)
        finds.add(row.find)
        assert "radius-for-diameter" in {mould.read.drill.slips[s.place].id for s in drawn.slips}
        verdict = slipped.send(reply.location, {"answer": right_answer(store, shelf, number)}).location
        assert ("more on just this" in slipped.get(verdict).get_data(as_text=True)) == (turn < 2)
    assert len(finds) > 1
    assert slipped.send(lesson).status_code == 409
    assert "/practice/" in slipped.send("/trainee/practice").location
    with store.reading() as session:
        assert skills.disagreements(session) == []
        assert skills.skills_of(session, row.person_id)[DRILL].answers == 5


def test_after_a_lesson_the_count_begins_anew(
    slipped: Browser, store: Database, shelf: Shelf, clock: Clock
) -> None:
    """One more of the same slip later brings no second lesson, a second one does."""
    lesson = slipped.send("/trainee/practice").location
    for _ in range(3):
        path = slipped.send(lesson).location
        number = int(path.rsplit("/", 1)[1])
        slipped.send(path, {"answer": right_answer(store, shelf, number)})
    clock.now = clock.now.replace(hour=clock.now.hour + 1)
    slip(slipped, store, shelf, "radius-for-diameter")
    assert "/practice/" in slipped.send("/trainee/practice").location
    slip(slipped, store, shelf, "radius-for-diameter")
    assert "/lessons/" in slipped.send("/trainee/practice").location


def test_a_drill_chosen_oneself_is_not_held_up(slipped: Browser, store: Database) -> None:
    """The lesson waits when a drill is named."""
    assert begin(slipped, drill="prod-current-asme")
    with store.reading() as session:
        assert session.scalars(select(Lesson)).all() == []


def test_anothers_lesson_is_not_found(slipped: Browser, as_omar: Browser) -> None:
    """Nobody else sees it or takes its exercises."""
    lesson = slipped.send("/trainee/practice").location
    assert as_omar.get(lesson).status_code == 404
    assert as_omar.send(lesson).status_code == 404
    assert slipped.get("/trainee/lessons/77").status_code == 404
