"""Fields of forms: a line of text, a passphrase, a day, an hour, one or some of a few words.

Labels and sentences are words of the catalogue; the form says them to the reader.
"""

from __future__ import annotations

from datetime import date, time
from typing import Any

from wtforms import Field, PasswordField, StringField
from wtforms.validators import InputRequired, Length, ValidationError

from trainer.languages import N_, _
from trainer.services.admitting.passphrases import MOST as MOST_PASSPHRASE


class AtMost(Length):  # type: ignore[misc]
    """So many characters and no more."""

    def __call__(self, form: Any, field: Any) -> None:
        """Raise ValidationError with a sentence."""
        if len(field.data or "") > self.max:
            raise ValidationError(_("Write at most %(most)s characters.", most=self.max))


class Text(StringField):  # type: ignore[misc]
    """One line of text that must be there."""

    def __init__(self, label: str, wanted: str, most: int = 200, **more: Any) -> None:
        super().__init__(label, [InputRequired(wanted), AtMost(max=most)], **more)


class Secret(PasswordField):  # type: ignore[misc]
    """A passphrase."""

    def __init__(self, label: str, wanted: str = N_("Write the passphrase."), **more: Any) -> None:
        super().__init__(label, [InputRequired(wanted), AtMost(max=MOST_PASSPHRASE)], **more)


class Day(Field):  # type: ignore[misc]
    """A date, written as 2026-11-25 or chosen in the browser's own calendar."""

    def process_formdata(self, values: list[str]) -> None:
        """Read the date. Raises ValueError with a sentence."""
        self.data = values[0].strip()[:40] if values else ""
        try:
            self.day = date.fromisoformat(self.data)
        except ValueError:
            raise ValueError(_("Write the date as year, month, day: 2026-11-25.")) from None
        if not 1950 <= self.day.year <= 2200:
            raise ValueError(_("This date is too far away. Check the year."))

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
            raise ValueError(_("Write the time as hours and minutes: 07:30.")) from None


class Choice(StringField):  # type: ignore[misc]
    """One of a few words. Others are refused by the service, which knows the rule."""

    def __init__(self, label: str, options: list[tuple[str, str]], **more: Any) -> None:
        super().__init__(label, **more)
        self.options = [(value, _(words)) for value, words in options]


class Choices(Field):  # type: ignore[misc]
    """Some of a few words."""

    def __init__(self, label: str, options: list[tuple[str, str]], **more: Any) -> None:
        super().__init__(label, **more)
        self.options = [(value, _(words)) for value, words in options]

    def process_formdata(self, values: list[str]) -> None:
        """Read what was ticked."""
        self.data = values

    @property
    def chosen(self) -> frozenset[str]:
        """What was ticked."""
        return frozenset(self.data or ())
