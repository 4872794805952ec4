"""Builders of examinations: planned, opened, sat and closed, without a page."""

from __future__ import annotations

from sqlalchemy.orm import Session

from tests.make import NOW, People, make_class
from trainer.drills.shelf import Shelf
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import paper_items, papers, scoring_papers, sittings
from trainer.store.models import Paper, Sitting

DRILL = "coil-low-fill-wall"
CODE = "ABC234"


def make_sitting(
    session: Session,
    shelf: Shelf,
    people: People,
    *members: int,
    part: str = "",
    title: str = "MT-1 November",
) -> Sitting:
    """An open examination of two items for Tess and others; half of them right is enough."""
    taught = make_class(session, people.ian, people.tess, *members, title=title).id
    wanted = Plan((Line(DRILL, "I", 2),), 50, part)
    made = sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, CODE, NOW)
    return sittings.open_sitting(session, people.ian, made.id, NOW)


def make_paper(session: Session, shelf: Shelf, person_id: int) -> Paper:
    """Their paper of it, just begun."""
    return papers.start(session, shelf, person_id, CODE, iter(range(person_id * 100, 10**6)).__next__, NOW)


def make_closed(session: Session, shelf: Shelf, people: People, part: str = "specific") -> Paper:
    """Tess's paper of a closed examination: nothing written, so nothing is right."""
    made = make_sitting(session, shelf, people, part=part)
    paper = make_paper(session, shelf, people.tess)
    papers.hand_in(session, people.tess, paper.id, NOW)
    session.expire_all()
    scoring_papers.close(session, shelf, people.ian, made.id, NOW)
    assert not paper_items.is_question(paper.answers[0])
    return paper
