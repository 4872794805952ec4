"""Kept answers to questions as plain rows for the statistics: each question by itself, whatever paper it stood on.

What is shown below the least numbers is decided in the statistics room, not here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.services.admitting import entitlements
from trainer.services.examining import item_statistics
from trainer.services.examining.item_statistics import PRACTICE
from trainer.services.examining.marked_answers import marked, outcomes
from trainer.services.keeping.moments import local_day
from trainer.services.practising import questions
from trainer.statistics.difficulty import Share
from trainer.statistics.items import ItemFigures, Met, Option, elsewhere, options, with_others
from trainer.statistics.replies import Reply
from trainer.store.models import QuestionAnswer, QuestionSheet


@dataclass(frozen=True, slots=True)
class Given:
    """One person's first answer to a question: right or not, the letter, and the question as it was asked.

    ``elsewhere`` is the share right of the person's first answers to other questions.
    """

    person: int
    right: bool
    letter: str
    asked: Mapping[str, Any] = field(repr=False)
    elsewhere: float = 0.0


@dataclass(frozen=True, slots=True)
class Use:
    """How often one question was answered, and on which days first and last."""

    answered: int
    first: date | None
    last: date | None


def by_question(session: Session, instructor_id: int, source: str) -> dict[str, Share]:
    """Each question with its share of right first answers of everybody who is or was in a class of the asker."""
    people = entitlements.taught(session, instructor_id)
    if source == PRACTICE:
        right = func.count().filter(QuestionAnswer.verdict == "right")
        wanted = (
            select(QuestionSheet.question_id, right, func.count()).join(QuestionAnswer)
            .where(QuestionAnswer.is_first, QuestionAnswer.person_id.in_(people)).group_by(QuestionSheet.question_id)
        )  # fmt: skip
        return {question: Share(right, of) for question, right, of in session.execute(wanted)}
    return item_statistics.shares(
        Reply(one.person, one.item, one.right) for one in outcomes(session, people, "question")
    )


def of_question(session: Session, instructor_id: int, source: str, question_id: str) -> list[Given]:
    """The first answers to one question of everybody who is or was in a class of the asker; of papers the marked ones."""
    people = entitlements.taught(session, instructor_id)
    look = _in_practice if source == PRACTICE else _written
    firsts, whole = look(session, people, question_id)
    return [replace(one, elsewhere=elsewhere(whole[one.person], Share(one.right, 1))) for one in firsts]


def use(session: Session, instructor_id: int, source: str, question_id: str) -> Use:
    """The history of a question among the asker's people, in practice or on closed papers."""
    people = entitlements.taught(session, instructor_id)
    if source == PRACTICE:
        wanted = (
            select(func.count(), func.min(QuestionAnswer.answered_at), func.max(QuestionAnswer.answered_at))
            .join(QuestionSheet)
            .where(QuestionSheet.question_id == question_id, QuestionSheet.person_id.in_(people))
        )
        count, *days = session.execute(wanted).one()
    else:
        moments = [one.started_at for one in marked(session, people, "question", question_id)]
        count, days = len(moments), [min(moments), max(moments)] if moments else []
    first, last = [local_day(at) for at in days if at] or (None, None)
    return Use(count, first, last)


def figures(answers: Sequence[Given], question_id: str) -> ItemFigures:
    """How hard one question is, and how it goes with what else its people answered."""
    share = Share(sum(one.right for one in answers), len(answers))
    return ItemFigures(
        question_id, share, with_others([Met(one.right, "", one.elsewhere) for one in answers])
    )


def chosen(session: Session, shelf: Shelf, answers: Iterable[Given]) -> list[Option]:
    """The options of a question by how often they were chosen first, each known by its text; "" for no answer.

    Where numbers are drawn a wrong option is known by its reason, and the right one has no name.
    """
    found = []
    for one in answers:
        asked = questions.stored(session, shelf, one.asked)
        choice = asked.choice(one.letter)
        name = ""
        if choice is not None and not (asked.drawn and choice.right):
            name = choice.because if asked.drawn else choice.text
        found.append(Met(one.right, name, one.elsewhere))
    return options(found)


def _in_practice(
    session: Session, people: set[int], question_id: str
) -> tuple[list[Given], dict[int, Share]]:
    """First answers to a question, and how many first ones each person gave to all questions."""
    wanted = (
        select(QuestionSheet.person_id, QuestionAnswer.verdict, QuestionAnswer.letter, QuestionSheet.snapshot)
        .join(QuestionAnswer)
        .where(
            QuestionSheet.question_id == question_id, QuestionSheet.person_id.in_(people), QuestionAnswer.is_first
        )
        .order_by(QuestionAnswer.id)
    )  # fmt: skip
    rows = session.execute(wanted)
    firsts = [Given(person, verdict == "right", letter, asked) for person, verdict, letter, asked in rows]
    return firsts, item_statistics.totals(session, QuestionAnswer, people)


def _written(session: Session, people: set[int], question_id: str) -> tuple[list[Given], dict[int, Share]]:
    """The same of closed papers."""
    firsts: dict[int, Given] = {}
    for one in marked(session, people, "question", question_id):
        firsts.setdefault(one.person, Given(one.person, one.right, one.text, one.kept))
    return list(firsts.values()), item_statistics.written_totals(session, people, "question")
