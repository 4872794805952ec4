"""Who there is: organisations, people, what they may do, how they come in."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import JSON, CheckConstraint, ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.languages import LANGUAGES
from trainer.store.models.model import Digest, Key, Line, Model, Word, one_of

# Three ways to use the pages, then two functions that an employer grants to somebody.
ROLES = ("trainee", "instructor", "employer", "level_iii", "examiner")
PURPOSES = ("first", "join")
DECIMALS = ("house", "point", "comma")
LENGTHS = ("drawn", "mm", "in")
TEXT_SIZES = ("usual", "large", "largest")
PAPERS = ("device", "white", "blue")
READS = ("device", *LANGUAGES)


class Organisation(Model):
    """An employer or a school. Its people are seen by its own employer only."""

    __tablename__ = "organisation"

    id: Mapped[Key]
    name: Mapped[Line] = mapped_column(unique=True)
    created_at: Mapped[datetime]


class Person(Model):
    """One person. ``works_number`` is in capitals and unique on this installation, since it signs in."""

    __tablename__ = "person"

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    works_number: Mapped[Word] = mapped_column(unique=True)
    name: Mapped[Line]
    email: Mapped[Line | None]
    passphrase_hash: Mapped[Line | None]
    created_at: Mapped[datetime]
    left_at: Mapped[datetime | None]
    erased_at: Mapped[datetime | None]

    organisation: Mapped[Organisation] = relationship()
    role_rows: Mapped[list[PersonRole]] = relationship(
        foreign_keys="PersonRole.person_id", cascade="all, delete-orphan", lazy="selectin"
    )

    @property
    def roles(self) -> frozenset[str]:
        """Everything this person may be, in the words of ROLES."""
        return frozenset(row.role for row in self.role_rows)


class PersonRole(Model):
    """That a person holds a role, and who gave it."""

    __tablename__ = "person_role"
    __table_args__ = (CheckConstraint(one_of("role", ROLES), name="role"),)

    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    role: Mapped[Word] = mapped_column(primary_key=True)
    granted_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    granted_at: Mapped[datetime]


class JoinCode(Model):
    """A code that works once: for one person's first passphrase, or for the first account of all.

    Only its hash is kept.
    """

    __tablename__ = "join_code"
    __table_args__ = (CheckConstraint(one_of("purpose", PURPOSES), name="purpose"),)

    id: Mapped[Key]
    purpose: Mapped[Word]
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    code_hash: Mapped[Digest] = mapped_column(unique=True)
    made_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    made_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    used_at: Mapped[datetime | None]


class SignInSession(Model):
    """One sign-in on one browser; ended by the person, by time, or by an instructor."""

    __tablename__ = "sign_in_session"

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    token_hash: Mapped[Digest] = mapped_column(unique=True)
    begun_at: Mapped[datetime]
    expires_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]
    came_from: Mapped[Line]
    browser: Mapped[Line]


class Habit(Model):
    """How one person wants the pages: language, decimal sign, lengths, size of the text, paper."""

    __tablename__ = "habit"
    __table_args__ = (
        CheckConstraint(one_of("decimal", DECIMALS), name="decimal"),
        CheckConstraint(one_of("lengths", LENGTHS), name="lengths"),
        CheckConstraint(one_of("text_size", TEXT_SIZES), name="text_size"),
        CheckConstraint(one_of("paper", PAPERS), name="paper"),
    )

    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    decimal: Mapped[Word]
    lengths: Mapped[Word]
    text_size: Mapped[Word]
    paper: Mapped[Word]
    language: Mapped[Word]


class Erasure(Model):
    """That the records of somebody who left are to be erased: asked by one, done by another.

    ``places`` are where others' texts named them still when it was done, without the name (services/overseeing/mentions).
    """

    __tablename__ = "erasure"

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), unique=True)
    reason: Mapped[Line]
    asked_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    asked_at: Mapped[datetime]
    done_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    done_at: Mapped[datetime | None]
    places: Mapped[list[list[str]] | None] = mapped_column(JSON)
