"""Taught courses: who is in them, when they met, who was there."""

from __future__ import annotations

from datetime import date, datetime, time
from decimal import Decimal

from sqlalchemy import CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Key, Line, Model, Word, one_of
from trainer.store.models.people import Person

LEVELS = ("I", "II")
CONTENTS = ("theory", "practical")
MODES = ("classroom", "laboratory")
PRESENCES = ("present", "absent", "part")


class TaughtClass(Model):
    """A course that one instructor teaches."""

    __tablename__ = "taught_class"
    __table_args__ = (CheckConstraint(one_of("level", LEVELS), name="level"),)

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    instructor_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    title: Mapped[Line]
    level: Mapped[Word]
    starts_on: Mapped[date]
    created_at: Mapped[datetime]
    closed_at: Mapped[datetime | None]

    meetings: Mapped[list[Meeting]] = relationship(
        back_populates="taught_class", order_by="Meeting.held_on, Meeting.starts_at, Meeting.id"
    )


class ClassMember(Model):
    """That a person is, or was, on the roster of a class."""

    __tablename__ = "class_member"

    class_id: Mapped[int] = mapped_column(ForeignKey("taught_class.id"), primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True, index=True)
    joined_at: Mapped[datetime]
    left_at: Mapped[datetime | None]

    person: Mapped[Person] = relationship()


class Meeting(Model):
    """One dated meeting of a class. Confirmed: its attendance has gone to the ledger and stands."""

    __tablename__ = "meeting"
    __table_args__ = (
        CheckConstraint(one_of("level", LEVELS), name="level"),
        CheckConstraint(one_of("content", CONTENTS), name="content"),
        CheckConstraint(one_of("mode", MODES), name="mode"),
    )

    id: Mapped[Key]
    class_id: Mapped[int] = mapped_column(ForeignKey("taught_class.id"), index=True)
    held_on: Mapped[date]
    starts_at: Mapped[time]
    hours: Mapped[Decimal]
    level: Mapped[Word]
    content: Mapped[Word]
    mode: Mapped[Word]
    subject: Mapped[Line]
    made_at: Mapped[datetime]
    confirmed_at: Mapped[datetime | None]
    confirmed_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))

    taught_class: Mapped[TaughtClass] = relationship(back_populates="meetings")
    attendances: Mapped[list[Attendance]] = relationship()


class Attendance(Model):
    """Whether one person was at one meeting; ``hours`` only where it was a part of it."""

    __tablename__ = "attendance"
    __table_args__ = (CheckConstraint(one_of("presence", PRESENCES), name="presence"),)

    meeting_id: Mapped[int] = mapped_column(ForeignKey("meeting.id"), primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True, index=True)
    presence: Mapped[Word]
    hours: Mapped[Decimal | None]
    noted_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    noted_at: Mapped[datetime]
    entry_id: Mapped[Word | None] = mapped_column(ForeignKey("entry.id"))
