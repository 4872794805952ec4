"""Which entries count on a day: verified, not reversed, and over by then.

The rules are the house's own (history format, sections 2 to 4): an entry is verified when somebody
entitled to it countersigned it who neither entered it nor is the person concerned.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

from trainer.languages import N_, _
from trainer.qualification.entries import Absence, Entry, Reversal
from trainer.qualification.reading.fields import listed
from trainer.qualification.reading.history import History

E = TypeVar("E", bound=Entry)

ROLE_WORDS = {
    "trainee": N_("the trainee"),
    "clerk": N_("a clerk"),
    "instructor": N_("an instructor"),
    "supervisor": N_("the supervisor"),
    "referee": N_("a referee"),
    "examiner": N_("the examiner"),
    "vision_tester": N_("the vision tester"),
    "level_iii": N_("the Level III"),
    "employer": N_("the employer"),
    "body": N_("the certification body"),
}


def in_words(roles: Iterable[str]) -> str:
    """Name roles for a sentence: the supervisor, the Level III or the employer."""
    chosen = set(roles)
    return listed(_(words) for role, words in ROLE_WORDS.items() if role in chosen)


@dataclass(frozen=True, slots=True)
class Unverified:
    """An entry over by the day that counts for nothing, and why."""

    entry: Entry
    why: str


@dataclass(frozen=True, slots=True)
class Counting:
    """A history on a day: what counts, what is unverified, what is not over yet, what was reversed."""

    on: date
    person: str | None
    entries: tuple[Entry, ...]
    unverified: tuple[Unverified, ...]
    later: tuple[Entry, ...]
    reversed: tuple[Entry, ...]
    places: dict[str, int]

    def of(self, kind: type[E]) -> list[E]:
        """Return the counting entries of a kind in the order of the file."""
        return [entry for entry in self.entries if isinstance(entry, kind)]

    def by_date(self, entries: Iterable[E]) -> list[E]:
        """Sort by day, then by place in the file."""
        return sorted(entries, key=lambda entry: (entry.last or entry.first, self.places[entry.id]))

    def newest(self, entries: Iterable[E]) -> E | None:
        """Return the entry with the latest day, of several the last in the file."""
        ordered = self.by_date(entries)
        return ordered[-1] if ordered else None

    def waiting(self, kind: type[E]) -> list[tuple[E, str]]:
        """Return the unverified entries of a kind, each with the reason."""
        return [(item.entry, item.why) for item in self.unverified if isinstance(item.entry, kind)]


def counting_on(history: History, on: date) -> Counting:
    """Sort the entries of a history by whether they count on a day."""
    by_id = {entry.id: entry for entry in history.entries}
    reasons = {entry.id: why_unverified(entry, history.person, by_id) for entry in history.entries}
    gone = {
        entry.reverses for entry in history.entries if isinstance(entry, Reversal) and not reasons[entry.id]
    }
    counting, unverified, later, cancelled = [], [], [], []
    for entry in history.entries:
        why = reasons[entry.id]
        if entry.id in gone:
            cancelled.append(entry)
        elif why:
            unverified.append(Unverified(entry, why))
        elif over_on(entry) > on:
            later.append(entry)
        else:
            counting.append(entry)
    return Counting(
        on,
        history.person,
        tuple(counting),
        tuple(item for item in unverified if over_on(item.entry) <= on),
        tuple(later),
        tuple(cancelled),
        {entry.id: place for place, entry in enumerate(history.entries)},
    )


def over_on(entry: Entry) -> date:
    """Return the day from which an entry counts: its last day, but an absence from its first."""
    return entry.first if isinstance(entry, Absence) or entry.last is None else entry.last


def entitled(entry: Entry, by_id: dict[str, Entry]) -> frozenset[str]:
    """Return the roles that may countersign an entry; a reversal's are those of what it reverses."""
    return by_id[entry.reverses].entitled if isinstance(entry, Reversal) else entry.entitled


def why_unverified(entry: Entry, person: str | None, by_id: dict[str, Entry]) -> str | None:
    """Say why an entry is unverified; none if it is verified."""
    roles, signed = entitled(entry, by_id), entry.countersigned_by
    if not roles:
        return _("nobody can countersign own practice")
    if signed is None:
        return _("nobody countersigned it")
    if signed.person == entry.entered_by.person:
        return _("%(person)s entered it and countersigned it as well", person=signed.person)
    if signed.person == person:
        return _("the person concerned countersigned it")
    if signed.role not in roles:
        return _(
            "%(role)s may not countersign it; %(roles)s may",
            role=_(ROLE_WORDS[signed.role]),
            roles=in_words(roles),
        )
    return None
