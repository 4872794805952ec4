"""Practice: offer the next exercise, take an answer. An acknowledged answer is on the disk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise as Drawn
from trainer.drills.marking import mark
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.drills.verdict import Verdict
from trainer.errors import Conflict, NotFound
from trainer.practice.offer import Line, Offer, choose
from trainer.services import audit, editions, skills
from trainer.services.moments import local_day
from trainer.store.models import Answer, Exercise

_RECENT = 20
_SLIP_DAYS = 14


@dataclass(frozen=True, slots=True)
class Shown:
    """A stored exercise made again: the row, the mould it was cast from, the numbers."""

    row: Exercise
    mould: Mould
    drawn: Drawn

    @property
    def answered(self) -> bool:
        return self.row.answer is not None


def lines_of(shelf: Shelf, wanted: Sequence[tuple[str, str | None]]) -> list[Line]:
    """Turn drills and finds into lines that can be offered; drills no longer in the bank are left out."""
    drills = shelf.bank.drills
    return [Line(d, f, drills[d].drill.skill) for d, f in wanted if d in drills]


def next_offer(
    session: Session, shelf: Shelf, person_id: int, lines: Sequence[Line], now: datetime
) -> Offer | None:
    """Choose what this person should do next among lines."""
    return choose(
        lines, skills.skills_of(session, person_id), _recent(session, person_id), local_day(now),
        _twice_made(session, shelf, person_id, now),
    )  # fmt: skip


def offer(
    session: Session, shelf: Shelf, person_id: int, line: Line, reason: str, seed: int, now: datetime,
    assignment_id: int | None = None,
) -> Exercise:  # fmt: skip
    """Draw an exercise for a person; one that waits unanswered for the same line is offered again."""
    waiting = session.scalars(
        select(Exercise)
        .outerjoin(Answer)
        .where(
            Exercise.person_id == person_id, Exercise.drill_id == line.drill, Answer.id.is_(None),
            Exercise.aided.is_(False), Exercise.assignment_id.is_(assignment_id) if assignment_id is None
            else Exercise.assignment_id == assignment_id,
        )
        .order_by(Exercise.id.desc())
    ).first()  # fmt: skip
    if waiting is not None and (line.find is None or waiting.find == line.find):
        return waiting
    entry = shelf.bank.drill(line.drill)
    find = line.find or _turn(session, person_id, list(entry.drill.finds), line.drill)
    drawn = shelf.draw(line.drill, seed, find)
    row = Exercise(
        person_id=person_id, edition_hash=editions.keep(session, entry, now), drill_id=line.drill,
        family=line.family, seed=seed, find=find, snapshot=drawn.snapshot(), assignment_id=assignment_id,
        offered_at=now, reason=reason, aided=False,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row


def shown(session: Session, shelf: Shelf, person_id: int, exercise_id: int) -> Shown:
    """Return a person's own exercise with its numbers; NotFound for anybody else's."""
    row = session.get(Exercise, exercise_id)
    if row is None or row.person_id != person_id:
        raise NotFound("There is no such exercise.")
    entry = shelf.bank.drills.get(row.drill_id)
    kept = (
        None if entry and entry.edition == row.edition_hash else editions.content(session, row.edition_hash)
    )
    mould, drawn = shelf.stored(kept, row.snapshot)
    return Shown(row, mould, drawn)


def example_for(session: Session, shelf: Shelf, person_id: int, it: Shown) -> Drawn | None:
    """Return another exercise of the same kind to show worked, at the first meeting with a family."""
    if it.row.family in skills.skills_of(session, person_id):
        return None
    return draw(it.mould, it.row.seed + 1)


def take(
    session: Session, shelf: Shelf, person_id: int, exercise_id: int, text: str, key: str | None, now: datetime,
    decimal: str = "point",
) -> Verdict:  # fmt: skip
    """Mark an answer and keep it with the skill it moves and a note, all in the caller's transaction.

    An unreadable answer is not kept: it can be written again. The same key sent twice is kept once.
    Raises Conflict where the exercise has another answer already.
    """
    it = shown(session, shelf, person_id, exercise_id)
    if it.row.answer is not None:
        if key is not None and it.row.answer.key == key:
            return mark(it.mould, it.drawn, it.row.answer.text, decimal)
        raise Conflict("This exercise is answered already. Its first answer counts; go on to the next one.")
    verdict = mark(it.mould, it.drawn, text, decimal)
    if verdict.kind == "unreadable":
        return verdict
    it.row.answer = Answer(
        person_id=person_id, text=text, verdict=verdict.kind, slip=verdict.slip, key=key, answered_at=now
    )
    try:
        session.flush()
    except IntegrityError:
        raise Conflict("This answer came twice at the same moment; one of them is kept.") from None
    if not it.row.aided:
        skills.move(session, person_id, it.row.family, verdict.right, now)
    audit.note(session, person_id, "practice answered", exercise_id, now)
    return verdict


def reveal(session: Session, person_id: int, exercise_id: int, now: datetime) -> None:
    """Mark an exercise as aided: its working has been shown, so its answer no longer counts."""
    row = session.get(Exercise, exercise_id)
    if row is None or row.person_id != person_id:
        raise NotFound("There is no such exercise.")
    if row.answer is None and not row.aided:
        row.aided = True
        audit.note(session, person_id, "working shown", exercise_id, now)


def _turn(session: Session, person_id: int, finds: list[str], drill: str) -> str:
    """Return the unknown this person has been asked least often, in the drill's own order."""
    asked = Counter(
        session.scalars(
            select(Exercise.find).where(Exercise.person_id == person_id, Exercise.drill_id == drill)
        )
    )
    return min(finds, key=lambda find: (asked[find], finds.index(find)))


def _recent(session: Session, person_id: int) -> list[str]:
    wanted = (
        select(Exercise.family).join(Answer).where(Exercise.person_id == person_id)
        .order_by(Answer.id.desc()).limit(_RECENT)
    )  # fmt: skip
    return list(reversed(session.scalars(wanted).all()))


def _twice_made(session: Session, shelf: Shelf, person_id: int, now: datetime) -> dict[str, str]:
    """Return, by family, the short name of a slip made twice or more in the last fortnight."""
    wanted = (
        select(Exercise.family, Exercise.drill_id, Answer.slip).join(Answer)
        .where(
            Answer.person_id == person_id, Answer.slip.is_not(None),
            Answer.answered_at >= now - timedelta(days=_SLIP_DAYS),
        )
    )  # fmt: skip
    made = [(f, drill, slip) for f, drill, slip in session.execute(wanted) if slip not in {None, "close"}]
    return {
        family: shelf.slip_name(drill, slip) for (family, drill, slip), n in Counter(made).items() if n >= 2
    }
