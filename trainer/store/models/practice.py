"""Practice: what was set, what was asked, what was answered, how far each skill has come."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, String, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Digest, Json, Key, Line, Model, Word, firsts_of, one_of

RULES = ("right", "proven")
VERDICTS = ("right", "wrong", "unreadable")
STATES = ("begun", "steady", "proven")


class Edition(Model):
    """The content of an item as it stood when it was asked; its name is the hash of that content."""

    __tablename__ = "edition"

    hash: Mapped[Digest] = mapped_column(primary_key=True)
    drill_id: Mapped[Line] = mapped_column(index=True)
    content: Mapped[str] = mapped_column(Text)
    kept_at: Mapped[datetime]


class DrillSet(Model):
    """Items that an instructor puts together, to be set for a class or a person."""

    __tablename__ = "drill_set"

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    made_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    title: Mapped[Line]
    made_at: Mapped[datetime]
    retired_at: Mapped[datetime | None]

    lines: Mapped[list[DrillSetLine]] = relationship(
        order_by="DrillSetLine.position", cascade="all, delete-orphan"
    )


class DrillSetLine(Model):
    """One drill of a set; without ``find`` the program chooses what is asked for."""

    __tablename__ = "drill_set_line"
    __table_args__ = (UniqueConstraint("set_id", "position"),)

    id: Mapped[Key]
    set_id: Mapped[int] = mapped_column(ForeignKey("drill_set.id"))
    position: Mapped[int]
    drill_id: Mapped[Line]
    find: Mapped[Word | None]


class Assignment(Model):
    """That a set is to be done by a class or by one person, until when, and what ends it."""

    __tablename__ = "assignment"
    __table_args__ = (
        CheckConstraint(one_of("rule", RULES), name="rule"),
        CheckConstraint("(class_id IS NULL) <> (person_id IS NULL)", name="for_one"),
        CheckConstraint("rule = 'proven' OR right_needed > 0", name="right_needed"),
    )

    id: Mapped[Key]
    set_id: Mapped[int] = mapped_column(ForeignKey("drill_set.id"), index=True)
    class_id: Mapped[int | None] = mapped_column(ForeignKey("taught_class.id"), index=True)
    person_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"), index=True)
    due_on: Mapped[date | None]
    rule: Mapped[Word]
    right_needed: Mapped[int | None]
    assigned_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    assigned_at: Mapped[datetime]
    withdrawn_at: Mapped[datetime | None]

    drill_set: Mapped[DrillSet] = relationship()


class Exercise(Model):
    """One drawn item offered to one person, with the numbers that were shown."""

    __tablename__ = "exercise"
    __table_args__ = (
        Index(None, "person_id", "drill_id", "find", "aided"),
        Index(None, "person_id", "offered_at"),
    )

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    edition_hash: Mapped[Digest] = mapped_column(ForeignKey("edition.hash"))
    drill_id: Mapped[Line]
    family: Mapped[Line]
    seed: Mapped[int] = mapped_column(BigInteger)
    find: Mapped[Word]
    snapshot: Mapped[Json]
    assignment_id: Mapped[int | None] = mapped_column(ForeignKey("assignment.id"), index=True)
    offered_at: Mapped[datetime]
    aided: Mapped[bool] = mapped_column(default=False)
    guidance: Mapped[Word] = mapped_column(default="plain")
    hints: Mapped[int] = mapped_column(default=0)  # rungs of practice/ladder.py shown before the answer
    reason: Mapped[Line]

    edition: Mapped[Edition] = relationship()
    answer: Mapped[Answer | None] = relationship(back_populates="exercise")


class Answer(Model):
    """The one answer to an exercise. ``key`` comes with the form: sent twice, it is kept once.

    ``is_first``: it is the person's first one to that find of that drill without help, which statistics count.
    """

    __tablename__ = "answer"
    __table_args__ = (
        CheckConstraint(one_of("verdict", VERDICTS), name="verdict"),
        UniqueConstraint("person_id", "key"),
        Index(None, "person_id", "answered_at"),
        firsts_of("answer"),
    )

    id: Mapped[Key]
    exercise_id: Mapped[int] = mapped_column(ForeignKey("exercise.id"), unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    text: Mapped[str] = mapped_column(String(2000))
    verdict: Mapped[Word]
    slip: Mapped[Line | None]
    key: Mapped[Word | None]
    scratch: Mapped[str | None] = mapped_column(String(4000))  # what was reckoned, where it was to be kept
    decimal: Mapped[Word | None]  # the habit it was typed with; None: the house's
    answered_at: Mapped[datetime]
    is_first: Mapped[bool] = mapped_column(default=False)

    exercise: Mapped[Exercise] = relationship(back_populates="answer")


class SkillState(Model):
    """How far one person's skill in one family of drills has come; recomputable from the answers.

    ``first_right``: whether the first one was right, which tells of the family and not of practice.
    """

    __tablename__ = "skill_state"
    __table_args__ = (CheckConstraint(one_of("state", STATES), name="state"),)

    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    family: Mapped[Line] = mapped_column(primary_key=True)
    state: Mapped[Word]
    theta: Mapped[float]
    answers: Mapped[int]
    first_right: Mapped[bool]
    due_on: Mapped[date | None]
    data: Mapped[Json]
    changed_at: Mapped[datetime]


class Lesson(Model):
    """A lesson on one slip that a person made twice. It ends with its last exercise."""

    __tablename__ = "lesson"

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    drill_id: Mapped[Line]
    slip: Mapped[Line]
    begun_at: Mapped[datetime]


class PrintedSheet(Model):
    """Exercises printed for one person to work on paper, with what is needed to make them and their key again."""

    __tablename__ = "printed_sheet"

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    made_at: Mapped[datetime]
    items: Mapped[Json]


class LessonExercise(Model):
    """That an exercise was given in a lesson."""

    __tablename__ = "lesson_exercise"

    exercise_id: Mapped[int] = mapped_column(ForeignKey("exercise.id"), primary_key=True)
    lesson_id: Mapped[int] = mapped_column(ForeignKey("lesson.id"), index=True)
