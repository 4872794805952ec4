"""The revisions of a written practice by the day from which each is in force.

An event is judged by the rules of its own day: a later revision changes what is asked from then on, never
what was decided before. Days before the first revision are judged by the published edition as it is.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from trainer.qualification.practice import WrittenPractice, under_practice
from trainer.qualification.scheme import Scheme


@dataclass(frozen=True, slots=True)
class Revisions:
    """An edition and the approved revisions that build on it, oldest first, each with its rules worked out."""

    published: Scheme
    practices: tuple[WrittenPractice, ...]
    rules: tuple[Scheme, ...]

    @classmethod
    def of(cls, published: Scheme, practices: Iterable[WrittenPractice]) -> Revisions:
        """Put the revisions in the order in which they came into force."""
        ordered = tuple(sorted(practices, key=lambda one: one.in_force))
        return cls(published, ordered, tuple(under_practice(published, one) for one in ordered))

    def practice_on(self, day: date) -> WrittenPractice | None:
        """Return the revision in force on a day, or none before the first."""
        place = self._place(day)
        return self.practices[place - 1] if place else None

    def rules_on(self, day: date) -> Scheme:
        """Return the scheme as it was to be applied on a day."""
        place = self._place(day)
        return self.rules[place - 1] if place else self.published

    def _place(self, day: date) -> int:
        return bisect_right(self.practices, day, key=lambda one: one.in_force)
