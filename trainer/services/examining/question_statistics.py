"""Kept answers to questions as plain rows for the statistics: each question by itself, whatever paper it stood on.

What is shown below the least numbers is decided in the statistics room, not here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from sqlalchemy import case, func, null, select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.services.admitting import entitlements
from trainer.services.examining import item_statistics
from trainer.services.examining.item_statistics import PRACTICE
from trainer.services.examining.marked_answers import Marked, marked
from trainer.services.keeping.moments import local_day
from trainer.services.practising import questions
from trainer.statistics.difficulty import Share
from trainer.statistics.items import ItemFigures, Option, options, with_others
from trainer.statistics.replies import Reply
from trainer.store.models import QuestionAnswer, QuestionSheet


@dataclass(frozen=True, slots=True)
class Given:
    """One answer to a question: who, which question, right or not, the letter, and the question as it was asked.

    ``asked`` is empty where nobody wants to know about that question.
    """

    person: int
    question: str
    right: bool
    letter: str
    asked: Mapping[str, Any] = field(repr=False)

    @property
    def reply(self) -> Reply:
        """The answer as the statistics take it, by nothing but right or not."""
        return Reply(self.person, self.question, self.right)


@dataclass(frozen=True, slots=True)
class Use:
    """How often one question was answered, and on which days first and last."""

    answered: int
    first: date | None
    last: date | None


def given(session: Session, instructor_id: int, source: str, question_id: str = "") -> list[Given]:
    """The answers of everybody who is or was in a class of the asker, oldest first; of practice the first ones.

    Of papers they are the marked ones. How it was asked comes with the answers to ``question_id`` alone.
    """
    people = entitlements.taught(session, instructor_id)
    if source == PRACTICE:
        return _practice(session, people, question_id)
    return [
        Given(
            one.person, one.item["question"], one.right, one.text,
            one.item if one.item["question"] == question_id else {},
        )
        for one in _on_papers(session, people)
    ]  # fmt: skip


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
        moments = [
            one.started_at for one in _on_papers(session, people) if one.item["question"] == question_id
        ]
        count, days = len(moments), [min(moments), max(moments)] if moments else []
    first, last = [local_day(at) for at in days if at] or (None, None)
    return Use(count, first, last)


def by_question(answers: Iterable[Given]) -> dict[str, Share]:
    """Each question with its share of right first answers."""
    return item_statistics.shares(one.reply for one in answers)


def figures(answers: Iterable[Given], question_id: str) -> ItemFigures:
    """How hard one question is, and how it goes with what else its people answered."""
    replies = [one.reply for one in answers]
    share = item_statistics.shares(replies).get(question_id, Share(0, 0))
    return ItemFigures(question_id, share, with_others(replies, question_id))


def chosen(session: Session, shelf: Shelf, answers: Iterable[Given], question_id: str) -> list[Option]:
    """The options of a question by how often they were chosen first, each known by its text; "" for no answer.

    Where numbers are drawn a wrong option is known by its reason, and the right one has no name.
    """
    replies = []
    for one in answers:
        reply = one.reply
        if one.question == question_id:
            asked = questions.stored(session, shelf, one.asked)
            choice = asked.choice(one.letter)
            if choice is not None and not (asked.drawn and choice.right):
                reply = replace(reply, chosen=choice.because if asked.drawn else choice.text)
        replies.append(reply)
    return options(replies, question_id)


def _practice(session: Session, people: set[int], question_id: str) -> list[Given]:
    asked = case((QuestionSheet.question_id == question_id, QuestionSheet.snapshot), else_=null())
    wanted = (
        select(
            QuestionSheet.person_id, QuestionSheet.question_id, QuestionAnswer.verdict, QuestionAnswer.letter, asked
        )
        .join(QuestionAnswer)
        .where(QuestionAnswer.is_first, QuestionAnswer.person_id.in_(people))
        .order_by(QuestionAnswer.id)
    )  # fmt: skip
    return [
        Given(person, question, verdict == "right", letter, snapshot or {})
        for person, question, verdict, letter, snapshot in session.execute(wanted)
    ]


def _on_papers(session: Session, people: set[int]) -> Iterator[Marked]:
    return (one for one in marked(session, people) if "question" in one.item)
