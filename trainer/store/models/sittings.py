"""Examinations: a sitting, the paper of each candidate, what was written on it."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.classes import LEVELS
from trainer.store.models.model import Json, Key, Line, Model, Word, one_of

KINDS = ("drill", "general", "specific", "practical")
SITTING_STATES = ("planned", "open", "paused", "closed", "void")


class Sitting(Model):
    """One examination held at one time, for one or many candidates."""

    __tablename__ = "sitting"
    __table_args__ = (
        CheckConstraint(one_of("kind", KINDS), name="kind"),
        CheckConstraint(one_of("level", LEVELS), name="level"),
        CheckConstraint(one_of("state", SITTING_STATES), name="state"),
        CheckConstraint("minutes > 0", name="minutes"),
    )

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    class_id: Mapped[int | None] = mapped_column(ForeignKey("taught_class.id"), index=True)
    title: Mapped[Line]
    kind: Mapped[Word]
    level: Mapped[Word]
    plan: Mapped[Json]
    minutes: Mapped[int]
    opened_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    code: Mapped[Word]
    state: Mapped[Word]
    made_at: Mapped[datetime]
    opened_at: Mapped[datetime | None]
    closed_at: Mapped[datetime | None]

    papers: Mapped[list[Paper]] = relationship(back_populates="sitting")


class Paper(Model):
    """One candidate's paper; its deadline is the server's and holds the candidate's extra minutes.

    A paper with ``void_reason`` is not scored.
    """

    __tablename__ = "paper"
    __table_args__ = (
        UniqueConstraint("sitting_id", "person_id"),
        CheckConstraint("extra_minutes >= 0", name="extra_minutes"),
    )

    id: Mapped[Key]
    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    started_at: Mapped[datetime]
    deadline: Mapped[datetime]
    extra_minutes: Mapped[int] = mapped_column(default=0)
    extra_reason: Mapped[Line | None]
    void_reason: Mapped[Line | None]
    handed_in_at: Mapped[datetime | None]
    score: Mapped[Json | None]
    entry_id: Mapped[Word | None] = mapped_column(ForeignKey("entry.id"))
    decimal: Mapped[Word | None]  # the candidate's sign when it was started; None: the house's

    sitting: Mapped[Sitting] = relationship(back_populates="papers")
    answers: Mapped[list[PaperAnswer]] = relationship(order_by="PaperAnswer.position")


class PaperAnswer(Model):
    """One item of a paper with what the candidate has written so far; ``key`` names the page that last wrote."""

    __tablename__ = "paper_answer"
    __table_args__ = (UniqueConstraint("paper_id", "position"),)

    id: Mapped[Key]
    paper_id: Mapped[int] = mapped_column(ForeignKey("paper.id"))
    position: Mapped[int]
    exercise: Mapped[Json]
    text: Mapped[str] = mapped_column(String(2000), default="")
    key: Mapped[Word | None]
    flagged: Mapped[bool] = mapped_column(default=False)
    saved_at: Mapped[datetime | None]
    verdict: Mapped[Word | None]
