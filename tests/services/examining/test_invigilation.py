"""Whom the invigilator saw and what happened in the room: kept once, in the chain, and nobody else's."""

from __future__ import annotations

import pytest
from sqlalchemy.orm import Session

from tests.make import NOW, People, make_people, make_person
from tests.sitting import make_closed, make_paper, make_sitting
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, Refused
from trainer.services.examining import invigilation
from trainer.services.keeping import audit
from trainer.store.models import Aside


@pytest.fixture
def four(session: Session) -> People:
    """The four people in an empty store."""
    return make_people(session)


def test_identity_is_confirmed_once(session: Session, shelf: Shelf, four: People) -> None:
    """The first press is kept with its hand and stands in the chain; a second one adds no link."""
    make_sitting(session, shelf, four)
    paper = make_paper(session, shelf, four.tess)
    invigilation.confirm_identity(session, four.ian, paper.id, NOW)
    links = audit.length(session)
    invigilation.confirm_identity(session, four.ian, paper.id, NOW)
    assert paper.identity is not None
    assert (paper.identity.by_id, audit.length(session)) == (four.ian, links)
    newest = audit.recent(session)[0].event
    assert (newest["what"], newest["facts"]) == ("identity confirmed", {"person": four.tess})


def test_nobody_is_seen_after_the_close(session: Session, shelf: Shelf, four: People) -> None:
    """A closed examination takes no confirmation; another instructor's is not found."""
    paper = make_closed(session, shelf, four)
    with pytest.raises(Conflict, match="over"):
        invigilation.confirm_identity(session, four.ian, paper.id, NOW)
    other = make_person(session, "TV-02", "Ivo", {"instructor"}).id
    with pytest.raises(NotFound):
        invigilation.confirm_identity(session, other, paper.id, NOW)


def test_an_incident_stands_in_the_chain(session: Session, shelf: Shelf, four: People) -> None:
    """Words, paper, hand and time are kept in the order written, and the chain holds the words; beside a link, one candidate's."""
    sitting = make_sitting(session, shelf, four)
    paper = make_paper(session, shelf, four.tess)
    invigilation.write_down(session, four.ian, sitting.id, "  Fire alarm,\n all out ", None, NOW)
    invigilation.write_down(session, four.ian, sitting.id, "Felt ill, sat on", paper.id, NOW)
    session.flush()
    assert [(one.says, one.paper_id) for one in sitting.incidents] == [
        ("Fire alarm, all out", None), ("Felt ill, sat on", paper.id),
    ]  # fmt: skip
    link, before = audit.recent(session, 2)
    assert before.event["facts"] == {"says": "Fire alarm, all out", "paper": None}
    assert link.event["facts"] == {"paper": paper.id}
    assert session.get_one(Aside, link.seq).texts == {"says": "Felt ill, sat on"}


@pytest.mark.parametrize("says", ["", "  ", "x" * 301, "a\u202eb"])
def test_words_that_cannot_be_kept(session: Session, shelf: Shelf, four: People, says: str) -> None:
    """Nothing, too much and what cannot be shown are refused, and nothing is written."""
    sitting = make_sitting(session, shelf, four)
    with pytest.raises(Refused, match="What happened"):
        invigilation.write_down(session, four.ian, sitting.id, says, None, NOW)
    assert sitting.incidents == []


def test_a_paper_of_another_examination_is_not_found(session: Session, shelf: Shelf, four: People) -> None:
    """An incident cannot be hung on a paper that is not of this examination."""
    sitting = make_sitting(session, shelf, four)
    with pytest.raises(NotFound):
        invigilation.write_down(session, four.ian, sitting.id, "Felt ill", 99, NOW)
