"""The heading of an entry: the fields of every kind, its days, and what is known while a list is read."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import TypedDict

from trainer.languages import _
from trainer.qualification.entries import Entry, Signature
from trainer.qualification.reading.fields import Fields, listed, quoted
from trainer.qualification.reading.notation import Plain
from trainer.qualification.words import unit_words


class Heading(TypedDict):
    """The fields that every entry has, read."""

    id: str
    first: date
    last: date | None
    ranged: bool
    entered_by: Signature
    countersigned_by: Signature | None
    kept: dict[str, Plain]


@dataclass(frozen=True, slots=True)
class Known:
    """What is known while a list is read: ids of schemes (none: any), and the entries before this one."""

    schemes: Collection[str] | None
    before: dict[str, Entry]

    def scheme(self, fields: Fields, name: str) -> str:
        """Read the id of a scheme that is known."""
        text = fields.text(name)
        if self.schemes is not None and text not in self.schemes:
            raise fields.amiss(
                name,
                _(
                    "scheme %(text)s is not known; write %(schemes)s",
                    text=quoted(text),
                    schemes=listed(sorted(self.schemes)),
                ),
            )
        return text

    def earlier(self, fields: Fields, name: str) -> Entry:
        """Read the id of an entry that stands earlier in the list."""
        text = fields.text(name)
        if text not in self.before:
            raise fields.amiss(
                name,
                _(
                    "%(name)s names %(text)s, which stands nowhere earlier in the list; name one that does",
                    name=name,
                    text=quoted(text),
                ),
            )
        return self.before[text]


def span(heading: Heading) -> int:
    """Number of days of an entry, both ends counted."""
    return ((heading["last"] or heading["first"]) - heading["first"]).days + 1


def within_days(fields: Fields, name: str, hours: Fraction, days: int) -> None:
    """Refuse more than 24 hours a day."""
    if hours > 24 * days:
        where = _("a day") if days == 1 else f"{days} {unit_words('days')}"
        raise fields.amiss(
            name,
            _(
                "more than %(most)s h do not fit into %(where)s; mend %(name)s or the days",
                most=24 * days,
                where=where,
                name=name,
            ),
        )


Reader = Callable[[Fields, Heading, Known], Entry]
