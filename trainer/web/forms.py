"""Forms: what is read from a page, with a sentence at each field that cannot be taken.

A form reads and checks its own text; whether a thing may be done is the service's business. What a service
refuses is shown in the form like any other fault, with everything that was typed kept.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, time
from typing import Any

from flask_wtf import FlaskForm
from wtforms import Field, FileField, PasswordField, StringField
from wtforms.validators import InputRequired, Length, ValidationError

from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.services.joining import FIRST_ROLES
from trainer.services.particulars import ROLE_WORDS
from trainer.services.passphrases import MOST as MOST_PASSPHRASE
from trainer.store.models.classes import CONTENTS, LEVELS, MODES

LEVEL_WORDS = [(level, f"Level {level}") for level in LEVELS]
CONTENT_WORDS = [(word, word) for word in CONTENTS]
MODE_WORDS = [(word, word) for word in MODES]


class Form(FlaskForm):  # type: ignore[misc]  # the library carries no types
    """Root of all forms. The token against forged forms is checked for every page before any form."""

    class Meta:
        """Settings of WTForms."""

        csrf = False

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


class Text(StringField):  # type: ignore[misc]
    """One line of text that must be there."""

    def __init__(self, label: str, wanted: str, most: int = 200, **more: Any) -> None:
        checks = [InputRequired(wanted), Length(max=most, message=f"Write at most {most} characters.")]
        super().__init__(label, checks, **more)


class Secret(PasswordField):  # type: ignore[misc]
    """A passphrase."""

    def __init__(self, label: str, wanted: str = "Write the passphrase.", **more: Any) -> None:
        most = Length(max=MOST_PASSPHRASE, message=f"Write at most {MOST_PASSPHRASE} characters.")
        super().__init__(label, [InputRequired(wanted), most], **more)


class Day(Field):  # type: ignore[misc]
    """A date, written as 2026-11-25 or chosen in the browser's own calendar."""

    def process_formdata(self, values: list[str]) -> None:
        """Read the date. Raises ValueError with a sentence."""
        self.data = values[0].strip()[:40] if values else ""
        try:
            self.day = date.fromisoformat(self.data)
        except ValueError:
            raise ValueError("Write the date as year, month, day: 2026-11-25.") from None
        if not 1950 <= self.day.year <= 2200:
            raise ValueError("This date is too far away. Check the year.")

    @property
    def iso(self) -> str:
        """The date as the browser's calendar wants it."""
        return self.data.isoformat() if isinstance(self.data, date) else self.data or ""


class Clock(Field):  # type: ignore[misc]
    """A time of day, written as 07:30."""

    def process_formdata(self, values: list[str]) -> None:
        """Read the time. Raises ValueError with a sentence."""
        self.data = values[0].strip()[:40] if values else ""
        try:
            self.moment = time.fromisoformat(self.data).replace(second=0, microsecond=0, tzinfo=None)
        except ValueError:
            raise ValueError("Write the time as hours and minutes: 07:30.") from None


class Choice(StringField):  # type: ignore[misc]
    """One of a few words. Others are refused by the service, which knows the rule."""

    def __init__(self, label: str, options: list[tuple[str, str]], **more: Any) -> None:
        super().__init__(label, **more)
        self.options = options


class Choices(Field):  # type: ignore[misc]
    """Some of a few words."""

    def __init__(self, label: str, options: list[tuple[str, str]], **more: Any) -> None:
        super().__init__(label, **more)
        self.options = options

    def process_formdata(self, values: list[str]) -> None:
        """Read what was ticked."""
        self.data = values

    @property
    def chosen(self) -> frozenset[str]:
        """What was ticked."""
        return frozenset(self.data or ())


def number(text: str) -> int:
    """The number of a thing as a form sends it back. Raises NotFound for what cannot be one."""
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise NotFound("There is no such thing. Load the page anew.")
    return int(text)


def roles(allowed: frozenset[str] | tuple[str, ...]) -> list[tuple[str, str]]:
    """Roles to tick, in the usual order."""
    return [(role, word) for role, word in ROLE_WORDS.items() if role in allowed]


class SignIn(Form):
    """Sign in."""

    works_number = Text("Works number", "Write your works number.")
    passphrase = Secret("Passphrase")


class Join(Form):
    """First passphrase, with the code of a join slip."""

    code = Text("Code on your join slip", "Write the code on your slip.", most=40)
    passphrase = Secret("A passphrase of your own", "Choose a passphrase.")


class First(Form):
    """The first account of an installation."""

    house = Text("Name of the employer or school", "Write the name of the employer or school.")
    name = Text("Your name", "Write your name.")
    works_number = Text("Your works number", "Write your works number, for instance TV-00.")
    passphrase = Secret("Passphrase", "Choose a passphrase.")
    roles = Choices("You are", roles(FIRST_ROLES))


class NewPassphrase(Form):
    """Another passphrase for the person who is signed in."""

    old = Secret("Passphrase until now")
    new = Secret("New passphrase", "Choose a new passphrase.")


class NewPerson(Form):
    """Enter one person."""

    works_number = Text("Works number", "Write a works number, for instance TV-07.")
    name = Text("Name", "Write the person's name.")
    email = StringField("E-mail", [Length(max=200, message="Write at most 200 characters.")])
    roles = Choices("Roles", roles(tuple(ROLE_WORDS)))


class Roles(Form):
    """What a person may be."""

    roles = Choices("Roles", roles(tuple(ROLE_WORDS)))


class RosterFile(Form):
    """A roster from a spreadsheet."""

    file = FileField("CSV or XLSX file")


class RosterRows(Form):
    """A roster that was previewed, carried along as CSV text."""

    rows = StringField("Rows")


class ClassForm(Form):
    """A class."""

    title = Text("Title", "Write a title, for instance MT-1 November.")
    level = Choice("Level", LEVEL_WORDS)
    starts_on = Day("First day")


class MeetingForm(Form):
    """One meeting of a class."""

    held_on = Day("Day")
    starts_at = Clock("Start")
    hours = Text("Hours of teaching", "Write the hours, for instance 2 or 1.5.", most=10)
    level = Choice("Outline of", LEVEL_WORDS)
    content = Choice("Content", CONTENT_WORDS)
    mode = Choice("Place", MODE_WORDS)
    subject = Text("Subject", "Write what it is about, for instance coil and cable wrap.")


class GiveForm(Form):
    """To give a set: for whom, until when, how many right answers of each drill (empty: until proven)."""

    whom = StringField("For", [Length(max=20)])
    due_on = StringField("Due on", [Length(max=40)])
    right_needed = StringField("Right answers of each", [Length(max=4)])
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
                "Write the date as year, month, day: 2026-11-25, or leave it empty."
            ) from None

    def validate_right_needed(self, field: Any) -> None:
        """Read the count, if one is written."""
        text = (field.data or "").strip()
        if text and not (text.isascii() and text.isdigit() and 1 <= int(text) <= 20):
            raise ValidationError("Write a whole number from 1 to 20, or leave it empty: until proven.")
        self.needed = int(text) if text else None


class SetForm(GiveForm):
    """A drill set: its name, and at once for whom, if that is known."""

    title = Text("Name of the set", "Write a name, such as Coils 1.", 80)


class SittingForm(Form):
    """A drill examination: title, level, minutes, pass mark, the part it counts as, what is shown afterwards."""

    title = Text("Title", "Write a title, such as Coils, drill examination.", 80)
    level = Choice("Level", LEVEL_WORDS)
    minutes = Text("Minutes", "Write the minutes.", 4, default="30")
    pass_mark = Text("Pass mark, percent", "Write the pass mark.", 4, default="80")
    part = StringField("Counts as")
    shown = Choices("After the close", [("1", "candidates see verdict and working of each item")])

    def whole(self, name: str) -> int:
        """A field's whole number; 0 (which every rule refuses) where it is none."""
        return whole(str(self[name].data or ""))


class PaperForm(Form):
    """A written examination by a paper plan: title, how many questions, minutes, pass mark, what is shown."""

    title = Text("Title", "Write a title, such as General examination, November.", 80)
    count = Text("Questions beside the drills", "Write how many questions.", 4)
    minutes = Text("Minutes", "Write the minutes.", 4)
    pass_mark = Text("Pass mark, percent", "Write the pass mark.", 4)
    shown = Choices("After the close", [("1", "candidates see verdict and reasons of each item")])

    def whole(self, name: str) -> int:
        """A field's whole number; 0 (which every rule refuses) where it is none."""
        return whole(str(self[name].data or ""))


class Voiding(Form):
    """Why something is declared void."""

    reason = Text("Reason", "Write the reason: it is kept.", 100)


def whole(text: str) -> int:
    """A whole number as typed; 0 (which every rule refuses) where it is none."""
    plain = text.strip()
    return int(plain) if plain.isascii() and plain.isdigit() and len(plain) < 5 else 0
