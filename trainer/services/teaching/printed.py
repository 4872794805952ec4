"""Sheets to work on paper: a person's own exercises with fresh numbers, and their key for an instructor of the house.

A printed sheet moves no skill: nobody saw who wrote on it, and with which help.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.drills.exercise import Exercise as Drawn
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound
from trainer.languages import _
from trainer.practice.offer import Line, choose
from trainer.services.admitting import accounts
from trainer.services.keeping import audit, editions, paging
from trainer.services.keeping.moments import local_day
from trainer.services.keeping.paging import Page, Wish
from trainer.services.practising import practice, skills
from trainer.store.models import Person, PrintedSheet

EXERCISES = 4


@dataclass(frozen=True, slots=True)
class Shown:
    """A sheet with its exercises made again."""

    row: PrintedSheet
    person: Person
    exercises: tuple[tuple[Mould, Drawn], ...]


def make(
    session: Session, shelf: Shelf, person_id: int, lines: Sequence[Line], seed: int, now: datetime
) -> PrintedSheet:
    """Draw a sheet of what this person would be offered next, each of another family where there are enough.

    Raises Conflict where there is nothing to practise at all.
    """
    if not lines:
        raise Conflict(_("There is no drill to print. Ask your instructor for a set."))
    finds: dict[str, int] = {}
    drawn = []
    for place, line in enumerate(_turns(session, person_id, lines, now)):
        offered = list(shelf.bank.drill(line.drill).drill.finds)
        turn = finds[line.drill] = finds.get(line.drill, seed) + 1
        drawn.append(shelf.draw(line.drill, seed + place, line.find or offered[turn % len(offered)]))
        editions.keep(session, shelf.bank.drill(line.drill), now)
    items = [one.snapshot() for one in drawn]
    row = PrintedSheet(person_id=person_id, made_at=now, items={"exercises": items})
    session.add(row)
    session.flush()
    audit.note(session, person_id, "sheet printed", row.id, now)
    return row


def own(session: Session, shelf: Shelf, person_id: int, sheet_id: int) -> Shown:
    """Return one's own sheet; NotFound for anybody else's."""
    row = session.get(PrintedSheet, sheet_id)
    if row is None or row.person_id != person_id:
        raise NotFound(_("There is no such sheet."))
    return _shown(session, shelf, row)


def for_key(session: Session, shelf: Shelf, instructor_id: int, sheet_id: int) -> Shown:
    """Return a sheet of somebody of the instructor's house; NotFound for any other."""
    row = session.get(PrintedSheet, sheet_id)
    if row is None:
        raise NotFound(_("There is no such sheet."))
    accounts.colleague(session, instructor_id, row.person_id)
    return _shown(session, shelf, row)


def of_house(session: Session, instructor_id: int, wish: Wish) -> Page[PrintedSheet]:
    """Return a page of the sheets of the instructor's house, newest first, searched by who made them."""
    house = select(Person.organisation_id).where(Person.id == instructor_id).scalar_subquery()
    wanted = (
        select(PrintedSheet)
        .join(Person, Person.id == PrintedSheet.person_id)
        .where(Person.organisation_id == house)
        .order_by(PrintedSheet.id.desc())
    )
    return paging.page(session, wanted, wish, Person.works_number, Person.name)


def _turns(session: Session, person_id: int, lines: Sequence[Line], now: datetime) -> list[Line]:
    """Choose as practice would, one family after the other; what waits for a later day comes last."""
    known, today = skills.skills_of(session, person_id), local_day(now)
    turns: list[Line] = []
    while len(turns) < EXERCISES:
        used = {line.family for line in turns}
        left = [line for line in lines if line.family not in used] or list(lines)
        offer = choose(left, known, [], today, {})
        turns.append(offer.line if offer is not None else left[len(turns) % len(left)])
    return turns


def _shown(session: Session, shelf: Shelf, row: PrintedSheet) -> Shown:
    items: list[dict[str, Any]] = row.items["exercises"]
    made = tuple(practice.remade(session, shelf, one) for one in items)
    return Shown(row, session.get_one(Person, row.person_id), made)
