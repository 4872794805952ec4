"""Knowledge questions in practice: one row for each asked, one for its answer."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Digest, Json, Key, Line, Model, Word, firsts_of, one_of

CHOICE_VERDICTS = ("right", "wrong")


class QuestionSheet(Model):
    """One question asked of one person, with the seed that ordered its options and drew its numbers."""

    __tablename__ = "question_sheet"
    __table_args__ = (Index(None, "person_id", "question_id"),)

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    edition_hash: Mapped[Digest] = mapped_column(ForeignKey("edition.hash"))
    question_id: Mapped[Line]
    topic: Mapped[Line]
    seed: Mapped[int] = mapped_column(BigInteger)
    snapshot: Mapped[Json]
    reason: Mapped[Line]
    asked_at: Mapped[datetime]

    answer: Mapped[QuestionAnswer | None] = relationship(back_populates="sheet")


class QuestionAnswer(Model):
    """The one answer to a question asked: the letter of an option as it was shown.

    ``key`` comes with the form: sent twice, it is kept once. ``is_first``: it is the person's first one to that
    question, which statistics count.
    """

    __tablename__ = "question_answer"
    __table_args__ = (
        CheckConstraint(one_of("verdict", CHOICE_VERDICTS), name="verdict"),
        UniqueConstraint("person_id", "key"),
        firsts_of("question_answer"),
    )

    id: Mapped[Key]
    sheet_id: Mapped[int] = mapped_column(ForeignKey("question_sheet.id"), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    letter: Mapped[Word]
    verdict: Mapped[Word]
    key: Mapped[Word | None]
    answered_at: Mapped[datetime]
    is_first: Mapped[bool] = mapped_column(default=False)

    sheet: Mapped[QuestionSheet] = relationship(back_populates="answer")
