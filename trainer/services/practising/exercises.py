"""One stored exercise with its answer, as the pages of practice and the marking need it: a single look into the store.

Plain columns, not objects that the store keeps track of: nobody changes them, and they cost half the time.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import Any

from sqlalchemy import and_, bindparam, select

from trainer.errors import NotFound
from trainer.languages import _
from trainer.store import Asked
from trainer.store.models import Answer, ClassPlace, ClassQuestion, Exercise


@dataclass(frozen=True, slots=True)
class Given:
    """The one answer to an exercise, as it was sent, and what became of it."""

    text: str
    key: str | None
    scratch: str | None
    decimal: str | None  # the habit it was typed with; None: the house's


@dataclass(frozen=True, slots=True)
class Offered:
    """One exercise as it was offered to a person, with the numbers that were shown (``snapshot``).

    ``withheld``: it belongs to a question to the whole class whose outcome is not shown yet.
    """

    id: int
    person_id: int
    drill_id: str
    family: str
    seed: int
    find: str
    snapshot: dict[str, Any]
    assignment_id: int | None
    aided: bool
    guidance: str
    hints: int
    reason: str
    withheld: bool
    answer: Given | None


_EXERCISE, _ANSWER = Exercise.table(), Answer.table()
_PLACE, _QUESTION = ClassPlace.table(), ClassQuestion.table()
_OFFERED = [one.name for one in fields(Offered)][:-2]  # all but what other tables say, which comes last
_GIVEN = [one.name for one in fields(Given)]
_OWN = (
    select(
        *(_EXERCISE.c[name] for name in _OFFERED),
        and_(_QUESTION.c.id.is_not(None), _QUESTION.c.shown_at.is_(None)).label("withheld"),
        _ANSWER.c.id.label("answer_id"),
        *(_ANSWER.c[name] for name in _GIVEN),
    )
    .select_from(_EXERCISE)
    .outerjoin(_ANSWER, _ANSWER.c.exercise_id == _EXERCISE.c.id)
    .outerjoin(_PLACE, _PLACE.c.exercise_id == _EXERCISE.c.id)
    .outerjoin(_QUESTION, _QUESTION.c.id == _PLACE.c.question_id)
    .where(_EXERCISE.c.id == bindparam("id"), _EXERCISE.c.person_id == bindparam("person_id"))
)


def own(session: Asked, person_id: int, exercise_id: int) -> Offered:
    """Return a person's own exercise; NotFound for anybody else's."""
    row = session.execute(_OWN, {"id": exercise_id, "person_id": person_id}).first()
    if row is None:
        raise NotFound(_("There is no such exercise."))
    answer = Given(*row[-len(_GIVEN) :]) if row.answer_id is not None else None
    return Offered(*(*row[: len(_OFFERED)], bool(row.withheld), answer))
