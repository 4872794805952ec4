"""Practical examinations: specimens with their private maps, one sheet a candidate, the marks of each examiner."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.classes import LEVELS
from trainer.store.models.model import Digest, Json, Key, Line, Model, Word, one_of
from trainer.store.models.people import Person


class Specimen(Model):
    """A piece with known discontinuities. Its map is never changed: a wrong one is retired and entered anew."""

    __tablename__ = "specimen"

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    code: Mapped[Word]
    title: Mapped[Line]
    private_map: Mapped[Json]
    entered_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    entered_at: Mapped[datetime]
    retired_at: Mapped[datetime | None]


class PracticalSheet(Model):
    """One candidate at one checklist with one specimen. ``pass_mark`` is in percent."""

    __tablename__ = "practical_sheet"
    __table_args__ = (
        CheckConstraint(one_of("level", LEVELS), name="level"),
        CheckConstraint("pass_mark BETWEEN 1 AND 100", name="pass_mark"),
    )

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    level: Mapped[Word]
    checklist_id: Mapped[Line]
    edition_hash: Mapped[Digest] = mapped_column(ForeignKey("edition.hash"))
    specimen_id: Mapped[int] = mapped_column(ForeignKey("specimen.id"), index=True)
    pass_mark: Mapped[int]
    begun_at: Mapped[datetime]
    closed_at: Mapped[datetime | None]
    void_reason: Mapped[Line | None]
    score: Mapped[Json | None]
    entry_id: Mapped[Word | None] = mapped_column(ForeignKey("entry.id"))

    specimen: Mapped[Specimen] = relationship()
    person: Mapped[Person] = relationship()
    examiners: Mapped[list[PracticalExaminer]] = relationship(order_by="PracticalExaminer.place")
    marks: Mapped[list[PracticalMark]] = relationship(order_by="PracticalMark.id")


class PracticalExaminer(Model):
    """Who marks a practical, first or second; neither sees the other's marks before both are done."""

    __tablename__ = "practical_examiner"
    __table_args__ = (CheckConstraint("place IN (1, 2)", name="place"), UniqueConstraint("sheet_id", "place"))

    sheet_id: Mapped[int] = mapped_column(ForeignKey("practical_sheet.id"), primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True, index=True)
    place: Mapped[int]
    done_at: Mapped[datetime | None]

    person: Mapped[Person] = relationship()


class PracticalMark(Model):
    """One press of one examiner at one point. Added, never changed: the newest of a point counts.

    ``key`` comes with the form: sent twice, it is kept once.
    """

    __tablename__ = "practical_mark"
    __table_args__ = (UniqueConstraint("examiner_id", "key"),)

    id: Mapped[Key]
    sheet_id: Mapped[int] = mapped_column(ForeignKey("practical_sheet.id"), index=True)
    examiner_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    point: Mapped[Line]
    mark: Mapped[Word]
    key: Mapped[Word | None]
    marked_at: Mapped[datetime]
