"""Kept answers to questions as plain rows for the statistics: each question by itself, whatever paper it stood on.

What is shown below the least numbers is decided in the statistics room, not here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.services.admitting import entitlements
from trainer.services.examining import item_statistics
from trainer.services.examining.item_statistics import PRACTICE
from trainer.services.practising import questions
from trainer.statistics.difficulty import Share
from trainer.statistics.items import ItemFigures, Option, options, with_others
from trainer.statistics.replies import Reply
from trainer.store.models import Paper, PaperAnswer, QuestionAnswer, QuestionSheet, Sitting

_IN_PRACTICE = (
    select(
        QuestionSheet.person_id, QuestionAnswer.verdict, QuestionAnswer.letter, QuestionAnswer.answered_at,
        QuestionSheet.snapshot,
    )
    .join(QuestionAnswer).order_by(QuestionAnswer.id)
)  # fmt: skip
_ON_PAPERS = (
    select(Paper.person_id, PaperAnswer.verdict, PaperAnswer.text, Paper.started_at, PaperAnswer.exercise)
    .join(Paper, Paper.id == PaperAnswer.paper_id).join(Sitting)
    .where(Sitting.state == "closed", PaperAnswer.verdict.is_not(None)).order_by(PaperAnswer.id)
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Given:
    """One answer to a question: who, which question, right or not, the letter, when, and the question as it was asked."""

    person: int
    question: str
    right: bool
    letter: str
    at: datetime
    asked: Mapping[str, Any] = field(repr=False)

    @property
    def reply(self) -> Reply:
        """The answer as the statistics take it, by nothing but right or not."""
        return Reply(self.person, self.question, self.right)


def given(session: Session, instructor_id: int, source: str) -> list[Given]:
    """The answers of everybody who is or was in a class of the asker, oldest first; of papers the marked ones."""
    people = entitlements.taught(session, instructor_id)
    rows: Iterable[Any] = (
        session.execute(_IN_PRACTICE.where(QuestionSheet.person_id.in_(people)))
        if source == PRACTICE
        else session.execute(_ON_PAPERS.where(Paper.person_id.in_(people)))
    )
    return [
        Given(person, asked["question"], verdict == "right", letter, at, asked)
        for person, verdict, letter, at, asked in rows
        if "question" in asked
    ]


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
