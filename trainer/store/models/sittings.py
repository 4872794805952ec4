"""Examinations: a sitting, the paper of each candidate, what was written on it."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.classes import LEVELS
from trainer.store.models.model import Json, Key, Line, Model, Word, one_of
from trainer.store.models.printed_papers import PrintedPaper
from trainer.store.models.seals import Seal

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
    tally: Mapped[Json | None]  # how often each question stands on its papers; sealed as they are

    papers: Mapped[list[Paper]] = relationship(back_populates="sitting")
    incidents: Mapped[list[Incident]] = relationship(order_by="Incident.id")
    seal: Mapped[Seal | None] = relationship()


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
    answers: Mapped[list[PaperAnswer]] = relationship(back_populates="paper", order_by="PaperAnswer.position")
    identity: Mapped[IdentityCheck | None] = relationship()
    printed: Mapped[PrintedPaper | None] = relationship()


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
    slip: Mapped[Line | None]  # of a drill whose value was judged wrong, "" for none known; else None

    paper: Mapped[Paper] = relationship(back_populates="answers")
    appeal: Mapped[Appeal | None] = relationship(back_populates="answer")


class IdentityCheck(Model):
    """The invigilator has seen who sits this paper. Once confirmed it stays so."""

    __tablename__ = "identity_check"

    paper_id: Mapped[int] = mapped_column(ForeignKey("paper.id"), primary_key=True)
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class Incident(Model):
    """Something that happened at an examination, as the invigilator wrote it; ``paper_id`` if it is of one paper."""

    __tablename__ = "incident"

    id: Mapped[Key]
    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"), index=True)
    paper_id: Mapped[int | None] = mapped_column(ForeignKey("paper.id"))
    says: Mapped[str] = mapped_column(String(300))
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]


class Appeal(Model):
    """A candidate's appeal against the verdict of one item, and how a second person marked the item again.

    ``was`` is the verdict at the close, ``verdict`` the second person's; None while it waits.
    """

    __tablename__ = "appeal"

    id: Mapped[Key]
    answer_id: Mapped[int] = mapped_column(ForeignKey("paper_answer.id"), unique=True)
    says: Mapped[str] = mapped_column(String(300))
    written_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    written_at: Mapped[datetime]
    was: Mapped[Word]
    verdict: Mapped[Word | None]
    reason: Mapped[str | None] = mapped_column(String(300))
    decided_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    decided_at: Mapped[datetime | None]

    answer: Mapped[PaperAnswer] = relationship(back_populates="appeal")
