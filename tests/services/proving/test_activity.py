"""Activity statements tell what was answered and sat, and nothing that was no answer."""

from __future__ import annotations

import json

from sqlalchemy.orm import Session

from tests.make import NOW, make_marked_papers, make_people
from trainer.drills.shelf import Shelf
from trainer.services.practising import practice
from trainer.services.proving import activity
from trainer.store.models import Person

DID = "did:key:z6MkiTBz1ymuepAQ4HEHYSF1H8quG5GLVVQR3djdX3mDooWp"


def statements(session: Session, person_id: int) -> list[dict[str, object]]:
    """What the file about a person holds."""
    found: list[dict[str, object]] = json.loads(
        activity.statements(session, session.get_one(Person, person_id), DID)
    )
    return found


def test_answers_are_told_and_unreadable_ones_are_not(session: Session, shelf: Shelf) -> None:
    """A wrong answer is told with its text; what could not be read was no answer."""
    four = make_people(session)
    drills = [(drill, None) for drill in shelf.bank.drills]
    lines = practice.lines_of(shelf, drills)
    for seed, text in ((1, "123456 A"), (2, "no number")):
        offer = practice.next_offer(session, shelf, four.tess, lines, NOW)
        assert offer is not None
        row = practice.offer(session, shelf, four.tess, offer.line, offer.reason, seed, NOW)
        practice.take(session, shelf, four.tess, row.id, text, None, NOW)
    (told,) = statements(session, four.tess)
    assert told["verb"]["id"].endswith("answered")  # type: ignore[index]
    assert (told["result"]["response"], told["result"]["success"]) == ("123456 A", False)  # type: ignore[index]
    assert told["actor"]["account"]["name"] == "TV-07"  # type: ignore[index]
    assert statements(session, four.omar) == []


def test_a_marked_paper_is_told_and_a_void_one_is_not(session: Session) -> None:
    """Passed with its points; without score or declared void there is nothing to tell."""
    four = make_people(session)
    make_marked_papers(session, four.ian, four.tess, four.emma, void=four.emma)
    (told,) = statements(session, four.tess)
    assert told["verb"]["id"].endswith("passed")  # type: ignore[index]
    assert statements(session, four.emma) == []
