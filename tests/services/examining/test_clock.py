"""A clock that is set back or forward in the midst of an examination: times in order, and no time taken in a pause."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy.orm import Session

from tests.make import NOW, People, make_people
from tests.sitting import make_paper, make_sitting
from trainer.drills.shelf import Shelf
from trainer.services.examining import papers, sittings
from trainer.store.models import Paper, Sitting

MINUTE = timedelta(minutes=1)


def begun(session: Session, shelf: Shelf) -> tuple[People, Sitting, Paper]:
    """The people, an open examination, and Tess's paper of it, as the store has them."""
    people = make_people(session)
    sitting = make_sitting(session, shelf, people)
    paper = make_paper(session, shelf, people.tess)
    session.expire_all()
    return people, sitting, paper


def test_times_of_a_paper_stay_in_order(session: Session, shelf: Shelf) -> None:
    """Set back before the start and then behind the last answer: nothing is kept or handed in before what was."""
    people, _, paper = begun(session, shelf)
    papers.save(session, people.tess, paper.id, 1, "1 A", False, NOW - 60 * MINUTE)
    assert paper.answers[0].saved_at == paper.started_at == NOW
    papers.save(session, people.tess, paper.id, 1, "2 A", False, NOW + 20 * MINUTE)
    papers.save(session, people.tess, paper.id, 2, "3 A", False, NOW + 5 * MINUTE)
    papers.hand_in(session, people.tess, paper.id, NOW + 10 * MINUTE)
    assert [row.saved_at for row in paper.answers] == [NOW + 20 * MINUTE] * 2
    assert paper.handed_in_at == NOW + 20 * MINUTE


def test_a_clock_set_forward_hands_in_at_the_deadline(session: Session, shelf: Shelf) -> None:
    """A hand-in that comes after it is one at the deadline, so that more time can be given."""
    people, _, paper = begun(session, shelf)
    papers.hand_in(session, people.tess, paper.id, NOW + timedelta(days=400))
    assert paper.handed_in_at == paper.deadline == NOW + 30 * MINUTE


def test_a_clock_set_back_in_a_pause_takes_no_time(session: Session, shelf: Shelf) -> None:
    """The pause is then not longer than nothing; no deadline moves towards the candidate."""
    people, sitting, paper = begun(session, shelf)
    sittings.pause(session, people.ian, sitting.id, NOW + 10 * MINUTE)
    sittings.resume(session, people.ian, sitting.id, NOW - 50 * MINUTE)
    assert paper.deadline == NOW + 30 * MINUTE


def test_whose_time_was_over_before_the_pause_gets_none_back(session: Session, shelf: Shelf) -> None:
    """A paper that nobody had looked at since its deadline is handed in as the pause begins."""
    people, sitting, paper = begun(session, shelf)
    sittings.pause(session, people.ian, sitting.id, NOW + 40 * MINUTE)
    sittings.resume(session, people.ian, sitting.id, NOW + 60 * MINUTE)
    assert paper.handed_in_at == paper.deadline == NOW + 30 * MINUTE
