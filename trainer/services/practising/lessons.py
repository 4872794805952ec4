"""A lesson on one slip: who made it twice gets it side by side with the right way, and three exercises on just that.

Everything in it comes from the drill's file: the slip's name and words, its value, what it touches in the figure.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.bank.drill import Slip
from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise as Drawn
from trainer.drills.mistaken import mistaken
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.drills.verdict import Verdict
from trainer.errors import Conflict, NotFound
from trainer.languages import _
from trainer.practice import reasons
from trainer.services.keeping import audit
from trainer.services.practising import practice
from trainer.store.models import Answer, Exercise, Lesson, LessonExercise

EXERCISES = 3
_TWICE = 2


@dataclass(frozen=True, slots=True)
class Waiting:
    """A lesson that comes before the next exercise: begun already (``id``), or due."""

    drill_id: str
    slip: Slip
    title: str
    id: int | None = None


@dataclass(frozen=True, slots=True)
class Shown:
    """A lesson with the exercise in which the slip was made last, and its answer judged for this slip alone."""

    row: Lesson
    slip: Slip
    done: int
    mould: Mould
    drawn: Drawn
    wrong: Verdict

    @property
    def left(self) -> int:
        """Exercises still to come."""
        return EXERCISES - self.done


def waiting(session: Session, shelf: Shelf, person_id: int, now: datetime) -> Waiting | None:
    """Return the lesson a person is in, or the one that is due because a slip was made twice."""
    unfinished = (
        select(Lesson)
        .outerjoin(LessonExercise, LessonExercise.lesson_id == Lesson.id)
        .outerjoin(Answer, Answer.exercise_id == LessonExercise.exercise_id)
        .where(Lesson.person_id == person_id)
        .group_by(Lesson.id)
        .having(func.count(Answer.id) < EXERCISES)
        .order_by(Lesson.id)
    )
    for row in session.scalars(unfinished):
        slip = _slip(shelf, row.drill_id, row.slip)
        if slip is not None:
            return Waiting(row.drill_id, slip, _title(shelf, row.drill_id), row.id)
    for drill_id, slip_id in _twice_made(session, person_id, now):
        slip = _slip(shelf, drill_id, slip_id)
        if slip is not None and _finds(shelf, drill_id, slip_id):
            return Waiting(drill_id, slip, _title(shelf, drill_id))
    return None


def begin(session: Session, person_id: int, wait: Waiting, now: datetime) -> int:
    """Begin the lesson that is due, or go on with the one begun; return its number."""
    if wait.id is not None:
        return wait.id
    row = Lesson(person_id=person_id, drill_id=wait.drill_id, slip=wait.slip.id, begun_at=now)
    session.add(row)
    session.flush()
    audit.note(session, person_id, "lesson begun", row.id, now)
    return row.id


def shown(session: Session, shelf: Shelf, person_id: int, lesson_id: int, decimal: str = "point") -> Shown:
    """Return a person's own lesson with the exercise that brought it; NotFound for anybody else's."""
    row = _own(session, person_id, lesson_id)
    slip = _slip(shelf, row.drill_id, row.slip)
    made = _last_made(session, row)
    if slip is None or made is None:
        raise NotFound(_("The drill of this lesson is no longer in the bank."))
    it = practice.shown(session, shelf, person_id, made.id)
    wrong = Verdict(
        "wrong", lambda: (slip.name, (slip.says,)), practice.judged(it, decimal).value, (slip.id,)
    )
    return Shown(row, slip, _done(session, row.id), it.mould, it.drawn, wrong)


def exercise(session: Session, shelf: Shelf, person_id: int, lesson_id: int, seed: int, now: datetime) -> int:
    """Draw the next exercise of a lesson, one that the slip would spoil; return its number.

    One that waits unanswered comes again. Raises Conflict once the lesson is over.
    """
    row = _own(session, person_id, lesson_id)
    done = _done(session, row.id)
    if done >= EXERCISES:
        raise Conflict(_("This lesson is over. Go on to the next exercise."))
    open_one = session.scalars(
        select(Exercise.id)
        .join(LessonExercise).outerjoin(Answer)
        .where(LessonExercise.lesson_id == row.id, Answer.id.is_(None))
    ).first()  # fmt: skip
    if open_one is not None:
        return open_one
    slip = _slip(shelf, row.drill_id, row.slip)
    finds = _finds(shelf, row.drill_id, row.slip)
    if slip is None or not finds:
        raise NotFound(_("The drill of this lesson is no longer in the bank."))
    reason = reasons.of_lesson(done + 1, EXERCISES, slip.name)
    made = _last_made(session, row)
    first = [made.find] if made is not None and made.find in finds else []
    turns = list(dict.fromkeys([*first, *finds]))
    drawn = _drawn(shelf, row, turns[done % len(turns)], seed)
    kept = practice.keep(session, shelf, person_id, drawn, reason, "plain", now)
    session.add(LessonExercise(exercise_id=kept.id, lesson_id=row.id))
    session.flush()
    return kept.id


def of_exercise(session: Session, exercise_id: int) -> tuple[int, int] | None:
    """Return the lesson an exercise was given in and how many are left in it, or None."""
    row = session.get(LessonExercise, exercise_id)
    return (row.lesson_id, EXERCISES - _done(session, row.lesson_id)) if row is not None else None


def _own(session: Session, person_id: int, lesson_id: int) -> Lesson:
    row = session.get(Lesson, lesson_id)
    if row is None or row.person_id != person_id:
        raise NotFound(_("There is no such lesson."))
    return row


def _done(session: Session, lesson_id: int) -> int:
    wanted = (
        select(func.count())
        .select_from(LessonExercise)
        .join(Answer, Answer.exercise_id == LessonExercise.exercise_id)
        .where(LessonExercise.lesson_id == lesson_id)
    )
    return session.scalar(wanted) or 0


def _twice_made(session: Session, person_id: int, now: datetime) -> Sequence[tuple[str, str]]:
    """Return the drills' slips made twice in unaided answers since the last lesson on them, newest first."""
    begun = (
        select(Lesson.drill_id, Lesson.slip, func.max(Lesson.begun_at))
        .where(Lesson.person_id == person_id)
        .group_by(Lesson.drill_id, Lesson.slip)
    )
    last = {(drill, slip): at for drill, slip, at in session.execute(begun)}
    wanted = (
        select(Exercise.drill_id, Answer.slip, Answer.answered_at)
        .join(Answer)
        .where(
            Answer.person_id == person_id, Exercise.aided.is_(False), Answer.slip.is_not(None),
            Answer.answered_at >= now - timedelta(days=practice.SLIP_DAYS),
            Exercise.id.not_in(select(LessonExercise.exercise_id)),
        )
        .order_by(Answer.id.desc())
    )  # fmt: skip
    made: Counter[tuple[str, str]] = Counter()
    for drill, slips, at in session.execute(wanted):
        for slip in (slips or "").split("+"):
            since = last.get((drill, slip))
            made[drill, slip] += since is None or at > since
    return [key for key, count in made.items() if count >= _TWICE]


def _last_made(session: Session, row: Lesson) -> Exercise | None:
    """Return the newest exercise in which the slip was made before its lesson began."""
    wanted = (
        select(Exercise)
        .join(Answer)
        .where(
            Exercise.person_id == row.person_id, Exercise.drill_id == row.drill_id,
            Answer.slip.contains(row.slip), Answer.answered_at <= row.begun_at,
        )
        .order_by(Answer.id.desc())
    )  # fmt: skip
    found = session.scalars(wanted)
    return next((one for one in found if one.answer and row.slip in (one.answer.slip or "").split("+")), None)


def _slip(shelf: Shelf, drill_id: str, slip_id: str) -> Slip | None:
    entry = shelf.bank.drills.get(drill_id)
    return next((s for s in entry.drill.slips if s.id == slip_id), None) if entry else None


def _title(shelf: Shelf, drill_id: str) -> str:
    return shelf.bank.drill(drill_id).drill.title


def _place(shelf: Shelf, drill_id: str, slip_id: str) -> int:
    return [s.id for s in shelf.bank.drill(drill_id).drill.slips].index(slip_id)


def _finds(shelf: Shelf, drill_id: str, slip_id: str) -> list[str]:
    """Return the finds of a drill that this slip would spoil."""
    place, drill = _place(shelf, drill_id, slip_id), shelf.bank.drill(drill_id).drill
    return [find for find in drill.finds if shelf.mould(drill_id, find).slips[place] is not None]


def _drawn(shelf: Shelf, row: Lesson, find: str, seed: int) -> Drawn:
    """Draw an exercise in which the slip gives another value than the right way does."""
    mould = shelf.mould(row.drill_id, find)
    found = mistaken(mould, seed, row.slip)
    return found[0] if found is not None else draw(mould, seed)
