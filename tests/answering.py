"""Builders of answers: a class of people, right and wrong answers in practice and on the papers of an examination."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from sqlalchemy.orm import Session

from tests.make import NOW, make_class, make_person
from trainer.drills.exercise import Exercise as Drawn
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.examinations.plan import Line as PlanLine
from trainer.examinations.plan import Plan
from trainer.formulas.writing import plain_text
from trainer.practice.offer import Line
from trainer.services.examining import paper_items, papers, scoring_papers, sittings
from trainer.services.practising import practice

DRILL = "coil-low-fill-wall"


def make_crowd(session: Session, instructor_id: int, count: int) -> tuple[int, list[int]]:
    """A class with so many trainees; the ids of the class and of its people."""
    people = [make_person(session, f"C-{n:03d}", f"Candidate {n}").id for n in range(count)]
    return make_class(session, instructor_id, *people, title="Crowd").id, people


def right_text(mould: Mould, drawn: Drawn) -> str:
    """The right answer as somebody would type it."""
    return f"{plain_text(drawn.answer, 6)} {unit_of(mould)}".strip()


def unit_of(mould: Mould) -> str:
    """The unit that is written behind an answer, nothing for a bare number."""
    unit = mould.read.drill.quantities[mould.find].unit
    return "" if unit == "1" else unit


def practise(
    session: Session, shelf: Shelf, person: int, right: bool, seed: int, find: str = "I", drill: str = DRILL,
    aided: bool = False,
) -> None:  # fmt: skip
    """One answer to one exercise, right or far off, after its working was shown where it is ``aided``."""
    line = Line(drill, find, shelf.bank.drill(drill).drill.skill)
    row = practice.offer(session, shelf, person, line, "because you chose it", seed, NOW)
    if aided:
        practice.reveal(session, person, row.id, "working", NOW)
    it = practice.shown(session, shelf, person, row.id)
    text = right_text(it.mould, it.drawn) if right else f"1 {unit_of(it.mould)}"
    practice.take(session, shelf, person, row.id, text, None, NOW)


def sit(
    session: Session, shelf: Shelf, instructor_id: int, class_id: int, people: Sequence[int], items: int,
    right: Callable[[int, int], bool],
) -> int:  # fmt: skip
    """An examination of one drill, asked so many times: person i is right at item j where ``right`` says so."""
    wanted = Plan((PlanLine(DRILL, "I", items),), 70)
    made = sittings.plan(session, shelf, instructor_id, class_id, "Coils", "I", 30, wanted, "ABC234", NOW)
    sittings.open_sitting(session, instructor_id, made.id, NOW)
    for i, person in enumerate(people):
        paper = papers.start(session, shelf, person, "ABC234", lambda i=i: 100 + i, NOW)
        for j, row in enumerate(paper.answers):
            row.text = right_text(*paper_items.exercise(session, shelf, row)) if right(i, j) else "1 A"
        paper.handed_in_at = NOW
    session.flush()
    session.expire_all()
    scoring_papers.close(session, shelf, instructor_id, made.id, NOW)
    return made.id
