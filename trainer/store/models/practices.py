"""Written practices: each revision as drafted, and what the Level III said to it.

Rows are added and never changed: another wording is another revision.
"""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Json, Key, Line, Model, Word


class PracticeRevision(Model):
    """One revision of an organisation's written practice on a published edition (``based_on``).

    ``overrides`` maps each figure that it changes to its value and the reason, as text.
    """

    __tablename__ = "practice_revision"
    __table_args__ = (UniqueConstraint("organisation_id", "based_on", "revision"),)

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"))
    based_on: Mapped[Word]
    revision: Mapped[Word]
    in_force: Mapped[date]
    overrides: Mapped[Json]
    drafted_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    drafted_at: Mapped[datetime]

    decision: Mapped[PracticeDecision | None] = relationship(lazy="joined")


class PracticeDecision(Model):
    """That a revision was approved by a Level III, or not, and why not."""

    __tablename__ = "practice_decision"

    id: Mapped[Key]
    revision_id: Mapped[int] = mapped_column(ForeignKey("practice_revision.id"), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    approved: Mapped[bool]
    reason: Mapped[Line]
    decided_at: Mapped[datetime]
