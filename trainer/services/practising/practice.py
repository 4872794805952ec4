"""Practice: offer the next exercise, take an answer. An acknowledged answer is on the disk."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlalchemy import Boolean, and_, bindparam, func, insert, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from trainer.drills.blunders import GENERAL
from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise as Drawn
from trainer.drills.marking import mark
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.drills.verdict import Verdict
from trainer.errors import Conflict, NotFound
from trainer.languages import _
from trainer.practice.ladder import RUNGS
from trainer.practice.offer import Line, Offer, choose, guidance
from trainer.practice.skill import Skill
from trainer.services.keeping import audit, editions
from trainer.services.keeping.moments import local_day
from trainer.services.practising import exercises, skills
from trainer.services.practising.exercises import Offered
from trainer.store import Asked
from trainer.store.models import Answer, Exercise, LessonExercise

# Put together once, since that takes longer than the keeping; whether an answer is the first is seen as it is kept.
_EARLIER = (
    select(Exercise.table().c.id)
    .join(Answer.table())
    .where(
        Exercise.table().c.person_id == bindparam("of_person"),
        Exercise.table().c.drill_id == bindparam("of_drill"),
        Exercise.table().c.find == bindparam("of_find"),
        Exercise.table().c.aided.is_(False),
    )
)
_KEEP = insert(Answer.table()).values(is_first=and_(bindparam("unaided", type_=Boolean), ~_EARLIER.exists()))
_RECENT = 20
MOST_SCRATCH = 4000
SLIP_DAYS = 14  # how long a mistake is remembered


@dataclass(frozen=True, slots=True)
class Shown:
    """A stored exercise made again: as it is kept, the mould it was cast from, the numbers."""

    row: Offered
    mould: Mould
    drawn: Drawn

    @property
    def answered(self) -> bool:
        return self.row.answer is not None


def lines_of(shelf: Shelf, wanted: Sequence[tuple[str, str | None]]) -> list[Line]:
    """Turn drills and finds into lines that can be offered.

    Left out are drills that are no longer in the bank, or kept for examinations by now.
    """
    drills = {d: e.drill for d, e in shelf.bank.drills.items() if not e.drill.examination_only}
    return [Line(d, f, drills[d].skill) for d, f in wanted if d in drills]


def next_offer(
    session: Session, shelf: Shelf, person_id: int, lines: Sequence[Line], now: datetime
) -> Offer | None:
    """Choose what this person should do next among lines."""
    return choose(
        lines, skills.skills_of(session, person_id), _recent(session, person_id), local_day(now),
        _twice_blundered(session, shelf, person_id, now), _asked(session, person_id, lines),
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
            Exercise.id.not_in(select(LessonExercise.exercise_id)),
        )
        .order_by(Exercise.id.desc())
    ).first()  # fmt: skip
    if waiting is not None and (line.find is None or waiting.find == line.find):
        return waiting
    find = line.find or _turn(session, person_id, list(shelf.bank.drill(line.drill).drill.finds), line.drill)
    drawn = shelf.draw(line.drill, seed, find)
    shown_with = guidance(skills.skills_of(session, person_id).get(line.family, Skill()))
    return keep(session, shelf, person_id, drawn, reason, shown_with, now, assignment_id)


def keep(
    session: Session, shelf: Shelf, person_id: int, drawn: Drawn, reason: str, shown_with: str, now: datetime,
    assignment_id: int | None = None,
) -> Exercise:  # fmt: skip
    """Keep a drawn exercise as offered to a person, with the reason and the guidance told with it."""
    entry = shelf.bank.drill(drawn.drill)
    row = Exercise(
        person_id=person_id, edition_hash=editions.keep(session, entry, now), drill_id=entry.id,
        family=entry.drill.skill, seed=drawn.seed, find=drawn.find, snapshot=drawn.snapshot(),
        assignment_id=assignment_id, offered_at=now, reason=reason, guidance=shown_with,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row


def shown(session: Asked, shelf: Shelf, person_id: int, exercise_id: int) -> Shown:
    """Return a person's own exercise with its numbers; NotFound for anybody else's."""
    row = exercises.own(session, person_id, exercise_id)
    return Shown(row, *remade(session, shelf, row.snapshot))


def remade(session: Asked, shelf: Shelf, snapshot: dict[str, Any]) -> tuple[Mould, Drawn]:
    """Make a kept exercise again from the edition it was drawn from, whatever became of the bank."""
    return shelf.stored(editions.behind(session, shelf.bank, snapshot), snapshot)


def judged(it: Shown, decimal: str = "point") -> Verdict:
    """Judge the kept answer once more, read as it was typed (``decimal``: the house's habit, for old answers).

    Raises NotFound where there is no answer.
    """
    kept = it.row.answer
    if kept is None:
        raise NotFound(_("This exercise is not answered yet."))
    return mark(it.mould, it.drawn, kept.text, kept.decimal or decimal)


def example_for(it: Shown) -> Drawn | None:
    """Return another exercise of the same kind to show worked, at the first meeting with a family."""
    return draw(it.mould, it.row.seed + 1) if it.row.guidance == "example" else None


def take(
    session: Session, shelf: Shelf, person_id: int, exercise_id: int, text: str, key: str | None, now: datetime,
    decimal: str = "point", scratch: str = "",
) -> Verdict:  # fmt: skip
    """Mark an answer and keep it with the skill it moves and a note, all in the caller's transaction.

    ``scratch`` is what was reckoned beside it, where the trainee wants it kept.
    An unreadable answer is not kept: it can be written again. The same key sent twice is kept once.
    Raises Conflict where the exercise has another answer already.
    """
    store = session.connection()  # plain columns all along
    it = shown(store, shelf, person_id, exercise_id)
    if it.row.answer is not None:
        if key is not None and it.row.answer.key == key:
            return judged(it, decimal)
        raise Conflict(
            _("This exercise is answered already. Its first answer counts; go on to the next one.")
        )
    verdict = mark(it.mould, it.drawn, text, decimal)
    if verdict.kind == "unreadable":
        return verdict
    if not it.row.aided:
        skills.move(store, person_id, it.row.family, verdict.right, now)
    kept = {
        "exercise_id": exercise_id, "person_id": person_id, "text": text, "verdict": verdict.kind, "slip": verdict.slip,
        "key": key, "scratch": scratch[:MOST_SCRATCH] or None, "decimal": decimal, "answered_at": now,
        "unaided": not it.row.aided, "of_person": person_id, "of_drill": it.row.drill_id, "of_find": it.row.find,
    }  # fmt: skip
    try:
        store.execute(_KEEP, kept)
    except IntegrityError:
        raise Conflict(_("This answer came twice at the same moment; one of them is kept.")) from None
    audit.note(session, person_id, "practice answered", exercise_id, now)
    return verdict


def reveal(session: Session, person_id: int, exercise_id: int, rung: str, now: datetime) -> None:
    """Show hints up to a rung of the ladder; from then on this exercise does not count, whatever is loaded again.

    Raises NotFound for somebody else's exercise and for a rung that the ladder does not have.
    """
    row = session.get(Exercise, exercise_id)
    if row is None or row.person_id != person_id or rung not in RUNGS:
        raise NotFound(_("There is no such exercise."))
    hints = RUNGS.index(rung) + 1
    if row.answer is None and hints > row.hints:
        row.hints, row.aided = hints, True
        audit.note(session, person_id, f"{rung.replace('-', ' ')} shown", exercise_id, now)


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
        select(Exercise.family).join(Answer).where(Answer.person_id == person_id)
        .order_by(Answer.answered_at.desc(), Answer.id.desc()).limit(_RECENT)
    )  # fmt: skip
    return list(reversed(session.scalars(wanted).all()))


def _asked(session: Session, person_id: int, lines: Sequence[Line]) -> dict[Line, int]:
    """Count how often each line came to this person already."""
    wanted = (
        select(Exercise.drill_id, Exercise.find, func.count())
        .where(Exercise.person_id == person_id)
        .group_by(Exercise.drill_id, Exercise.find)
    )
    counts: Counter[tuple[str, str | None]] = Counter()
    for drill, find, count in session.execute(wanted):
        counts[drill, find] = count
        counts[drill, None] += count
    return {line: counts[line.drill, line.find] for line in lines}


def _twice_blundered(session: Session, shelf: Shelf, person_id: int, now: datetime) -> dict[str, str]:
    """Return, by family, the name of a blunder made twice or more in the last fortnight.

    A drill's own slip made twice brings a lesson (services/practising/lessons); a blunder of no drill is only told.
    """
    wanted = (
        select(Exercise.family, Answer.slip).join(Answer)
        .where(
            Answer.person_id == person_id, Answer.slip.in_(set(GENERAL) - {"close"}),
            Answer.answered_at >= now - timedelta(days=SLIP_DAYS),
        )
    )  # fmt: skip
    made = Counter((family, slip) for family, slip in session.execute(wanted))
    return {family: GENERAL[slip] for (family, slip), count in made.items() if slip and count >= 2}
