"""Forms: what is read from a page, with a sentence at each field that cannot be taken.

A form reads and checks its own text; whether a thing may be done is the service's business. What a service
refuses is shown in the form like any other fault, with everything that was typed kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from typing import Any

from flask_wtf import FlaskForm
from wtforms import FileField, StringField
from wtforms.validators import ValidationError

from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.languages import N_, _
from trainer.services.admitting.joining import FIRST_ROLES
from trainer.services.admitting.particulars import ROLE_WORDS
from trainer.store.models.classes import CONTENTS, LEVELS, MODES
from trainer.web.asking.form_fields import AtMost, Choice, Choices, Clock, Day, Secret, Text

__all__ = [
    "AtMost", "Choice", "Choices", "ClassForm", "Clock", "Day", "First", "Form", "GiveForm", "Join", "MeetingForm",
    "NewPassphrase", "NewPerson", "PaperForm", "Roles", "RosterFile", "RosterRows", "Secret", "SetForm", "SignIn",
    "SittingForm", "Text", "Voiding", "number", "roles", "whole",
]  # fmt: skip

LEVEL_WORDS = list(zip(LEVELS, (N_("Level I"), N_("Level II")), strict=True))
CONTENT_WORDS = list(zip(CONTENTS, (N_("theory"), N_("practical")), strict=True))
MODE_WORDS = list(zip(MODES, (N_("classroom"), N_("laboratory")), strict=True))


class Form(FlaskForm):  # type: ignore[misc]  # the library carries no types
    """Root of all forms. The token against forged forms is checked for every page before any form.

    Labels and sentences stand in the classes as words of the catalogue; here they are said to the reader.
    """

    class Meta:
        """Settings of WTForms."""

        csrf = False

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for field in self:
            field.label.text = _(field.label.text)

    def validate(self, *args: Any, **more: Any) -> bool:
        """Check every field; what is wrong with one is a sentence in the reader's language."""
        fine = bool(super().validate(*args, **more))
        for field in self:
            field.errors = [_(says) for says in field.errors]
        return fine

    @contextmanager
    def taking(self, field: str = "") -> Iterator[None]:
        """What a service refuses inside goes to ``field`` (or the first one) instead of an error page."""
        try:
            yield
        except (Refused, Conflict, Unreadable) as fault:
            self.say(str(fault), field)

    def say(self, sentence: str, field: str = "") -> None:
        """Write a fault at a field, or at the first one."""
        at: Any = self[field] if field else next(iter(self))
        at.errors = [*at.errors, sentence]


def number(text: str) -> int:
    """The number of a thing as a form sends it back. Raises NotFound for what cannot be one."""
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise NotFound(_("There is no such thing. Load the page anew."))
    return int(text)


def roles(allowed: frozenset[str] | tuple[str, ...]) -> list[tuple[str, str]]:
    """Roles to tick, in the usual order."""
    return [(role, _(word)) for role, word in ROLE_WORDS.items() if role in allowed]


class SignIn(Form):
    """Sign in."""

    works_number = Text(N_("Works number"), N_("Write your works number."))
    passphrase = Secret(N_("Passphrase"))


class Join(Form):
    """First passphrase, with the code of a join slip."""

    code = Text(N_("Code on your join slip"), N_("Write the code on your slip."), most=40)
    passphrase = Secret(N_("A passphrase of your own"), N_("Choose a passphrase."))


class First(Form):
    """The first account of an installation."""

    house = Text(N_("Name of the employer or school"), N_("Write the name of the employer or school."))
    name = Text(N_("Your name"), N_("Write your name."))
    works_number = Text(N_("Your works number"), N_("Write your works number, for instance TV-00."))
    passphrase = Secret(N_("Passphrase"), N_("Choose a passphrase."))
    roles = Choices(N_("You are"), roles(FIRST_ROLES))


class NewPassphrase(Form):
    """Another passphrase for the person who is signed in."""

    old = Secret(N_("Passphrase until now"))
    new = Secret(N_("New passphrase"), N_("Choose a new passphrase."))


class NewPerson(Form):
    """Enter one person."""

    works_number = Text(N_("Works number"), N_("Write a works number, for instance TV-07."))
    name = Text(N_("Name"), N_("Write the person's name."))
    email = StringField(N_("E-mail"), [AtMost(max=200)])
    roles = Choices(N_("Roles"), roles(tuple(ROLE_WORDS)))


class Roles(Form):
    """What a person may be."""

    roles = Choices(N_("Roles"), roles(tuple(ROLE_WORDS)))


class RosterFile(Form):
    """A roster from a spreadsheet."""

    file = FileField(N_("CSV or XLSX file"))


class RosterRows(Form):
    """A roster that was previewed, carried along as CSV text."""

    rows = StringField(N_("Rows"))


class ClassForm(Form):
    """A class."""

    title = Text(N_("Title"), N_("Write a title, for instance MT-1 November."))
    level = Choice(N_("Level"), LEVEL_WORDS)
    starts_on = Day(N_("First day"))


class MeetingForm(Form):
    """One meeting of a class."""

    held_on = Day(N_("Day"))
    starts_at = Clock(N_("Start"))
    hours = Text(N_("Hours of teaching"), N_("Write the hours, for instance 2 or 1.5."), most=10)
    level = Choice(N_("Outline of"), LEVEL_WORDS)
    content = Choice(N_("Content"), CONTENT_WORDS)
    mode = Choice(N_("Place"), MODE_WORDS)
    subject = Text(N_("Subject"), N_("Write what it is about, for instance coil and cable wrap."))


class GiveForm(Form):
    """To give a set: for whom, until when, how many right answers of each drill (empty: until proven)."""

    whom = StringField(N_("For"), [AtMost(max=20)])
    due_on = StringField(N_("Due on"), [AtMost(max=40)])
    right_needed = StringField(N_("Right answers of each"), [AtMost(max=4)])
    due: date | None = None
    needed: int | None = None

    @property
    def whose(self) -> tuple[int | None, int | None]:
        """The class or the person it is for, or neither."""
        kind, _, text = (self.whom.data or "").partition("-")
        if not kind:
            return None, None
        return (number(text), None) if kind == "class" else (None, number(text))

    def validate_due_on(self, field: Any) -> None:
        """Read the day, if one is written."""
        text = (field.data or "").strip()
        try:
            self.due = date.fromisoformat(text) if text else None
        except ValueError:
            raise ValidationError(
                _("Write the date as year, month, day: 2026-11-25, or leave it empty.")
            ) from None

    def validate_right_needed(self, field: Any) -> None:
        """Read the count, if one is written."""
        text = (field.data or "").strip()
        if text and not (text.isascii() and text.isdigit() and 1 <= int(text) <= 20):
            raise ValidationError(_("Write a whole number from 1 to 20, or leave it empty: until proven."))
        self.needed = int(text) if text else None


class SetForm(GiveForm):
    """A drill set: its name, and at once for whom, if that is known."""

    title = Text(N_("Name of the set"), N_("Write a name, such as Coils 1."), 80)


class SittingForm(Form):
    """A drill examination: title, level, minutes, pass mark, the part it counts as, what is shown afterwards."""

    title = Text(N_("Title"), N_("Write a title, such as Coils, drill examination."), 80)
    level = Choice(N_("Level"), LEVEL_WORDS)
    minutes = Text(N_("Minutes"), N_("Write the minutes."), 4, default="30")
    pass_mark = Text(N_("Pass mark, percent"), N_("Write the pass mark."), 4, default="80")
    part = StringField(N_("Counts as"))
    shown = Choices(N_("After the close"), [("1", N_("candidates see verdict and working of each item"))])

    def whole(self, name: str) -> int:
        """A field's whole number; 0 (which every rule refuses) where it is none."""
        return whole(str(self[name].data or ""))


class PaperForm(Form):
    """A written examination by a paper plan: title, how many questions, minutes, pass mark, what is shown."""

    title = Text(N_("Title"), N_("Write a title, such as General examination, November."), 80)
    count = Text(N_("Questions beside the drills"), N_("Write how many questions."), 4)
    minutes = Text(N_("Minutes"), N_("Write the minutes."), 4)
    pass_mark = Text(N_("Pass mark, percent"), N_("Write the pass mark."), 4)
    shown = Choices(N_("After the close"), [("1", N_("candidates see verdict and reasons of each item"))])

    def whole(self, name: str) -> int:
        """A field's whole number; 0 (which every rule refuses) where it is none."""
        return whole(str(self[name].data or ""))


class Voiding(Form):
    """Why something is declared void."""

    reason = Text(N_("Reason"), N_("Write the reason: it is kept."), 100)


def whole(text: str) -> int:
    """A whole number as typed; 0 (which every rule refuses) where it is none."""
    plain = text.strip()
    return int(plain) if plain.isascii() and plain.isdigit() and len(plain) < 5 else 0
