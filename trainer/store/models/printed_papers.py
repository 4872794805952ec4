"""Examinations on paper: numbered papers as they were printed, and their marks as they were typed."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Json, Key, Model, Word


class PrintedPaper(Model):
    """One numbered paper of an examination; ``paper_id`` once its marks are taken for a candidate."""

    __tablename__ = "printed_paper"
    __table_args__ = (UniqueConstraint("sitting_id", "number"),)

    id: Mapped[Key]
    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"))
    number: Mapped[int]
    items: Mapped[Json]
    printed_at: Mapped[datetime]
    paper_id: Mapped[int | None] = mapped_column(ForeignKey("paper.id"), unique=True)

    typed: Mapped[list[TypedMarks]] = relationship(order_by="TypedMarks.id")


class TypedMarks(Model):
    """The marks of a printed paper as somebody typed them, in the first or second turn. Added, never changed."""

    __tablename__ = "typed_marks"
    __table_args__ = (CheckConstraint("turn IN (1, 2)", name="turn"),)

    id: Mapped[Key]
    printed_id: Mapped[int] = mapped_column(ForeignKey("printed_paper.id"), index=True)
    turn: Mapped[int]
    works_number: Mapped[Word]
    marks: Mapped[str] = mapped_column(String(4000))
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
