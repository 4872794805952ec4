"""Questions to a whole class: one drill asked at one moment, a place for everyone who takes it up."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Key, Line, Model, Word
from trainer.store.models.practice import Exercise


class ClassQuestion(Model):
    """One drill's unknown put to a class. Shown: what everyone answered is open; ended: it leaves the pages."""

    __tablename__ = "class_question"

    id: Mapped[Key]
    class_id: Mapped[int] = mapped_column(ForeignKey("taught_class.id"), index=True)
    asked_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    drill_id: Mapped[Line]
    find: Mapped[Word]
    asked_at: Mapped[datetime]
    shown_at: Mapped[datetime | None]
    ended_at: Mapped[datetime | None]

    places: Mapped[list[ClassPlace]] = relationship(order_by="ClassPlace.person_id")


class ClassPlace(Model):
    """The exercise, with numbers of their own, that one person got for a question to the class."""

    __tablename__ = "class_place"

    question_id: Mapped[int] = mapped_column(ForeignKey("class_question.id"), primary_key=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    exercise_id: Mapped[int] = mapped_column(ForeignKey("exercise.id"), unique=True)

    exercise: Mapped[Exercise] = relationship()
