"""Builders of practical examinations: a specimen, a second examiner, a practical, all its marks."""

from __future__ import annotations

from sqlalchemy.orm import Session

from tests.make import NOW, People, make_person
from trainer.bank import Bank
from trainer.examinations.practical import DONE, FALSE_CALLS
from trainer.services.examining import practicals, specimens
from trainer.store.models import PracticalSheet, Specimen

MAP = "toe crack; 120; 45; 8; must\nseam; 33; 77; 21"


def make_specimen(session: Session, by_id: int, code: str = "P4", drawn: str = MAP) -> Specimen:
    """A specimen with two known discontinuities, one of which must be found."""
    return specimens.enter(session, by_id, code, "Butt weld, 300 mm", drawn, NOW)


def make_examiner(session: Session, number: str = "TV-20") -> int:
    """A second examiner of Tarn Valley."""
    return make_person(session, number, "Edna", {"examiner"}).id


def make_practical(
    session: Session,
    bank: Bank,
    people: People,
    second_id: int | None = None,
    checklist: str = "bench-1",
    mark: int = 80,
) -> PracticalSheet:
    """Tess before Ian, on a specimen made for it."""
    piece = make_specimen(session, people.ian, code=f"S-{checklist}")
    return practicals.hold(session, bank, people.ian, people.tess, checklist, piece.id, mark, second_id, NOW)


def mark_all(session: Session, bank: Bank, examiner: int, sheet_id: int, **changes: str) -> None:
    """Mark every point as done but for the changes (known_1 for known-1), then let the marks stand."""
    held = practicals.own(session, bank, examiner, sheet_id)
    others = {name.replace("_", "-"): mark for name, mark in changes.items()}
    for point in held.sheet.unmarked({}):
        mark = others.get(point, "0" if point == FALSE_CALLS else DONE)
        practicals.mark(session, bank, examiner, sheet_id, point, mark, None, NOW)
    practicals.stand_by(session, bank, examiner, sheet_id, NOW)
