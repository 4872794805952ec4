"""A prerequisite judged: the row that the pages, the command and the record show."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from fractions import Fraction
from typing import TypeVar

from trainer.languages import _, content
from trainer.qualification.counting import Counting
from trainer.qualification.entries import Application, Certificate, Entry, Level
from trainer.qualification.figure_words import figure_words
from trainer.qualification.revisions import Revisions
from trainer.qualification.scheme import UNCONFIRMED, Figure, Scheme
from trainer.qualification.words import amount, sentences

METHOD = "MT"
E = TypeVar("E", bound=Entry)


class Verdict(StrEnum):
    """The judgement of one prerequisite, or of all of them."""

    MET = "met"
    NOT_MET = "not_met"
    EXPIRED = "expired"


@dataclass(frozen=True, slots=True)
class Row:
    """One prerequisite on a day.

    ``have`` and ``need`` are exact numbers in ``unit``, or none where nothing fits. ``missing`` is the
    shortest way to a met prerequisite, empty when it is met. ``entries`` are the ids that were counted.
    """

    id: str
    verdict: Verdict
    clause: str
    says: str
    have: Fraction | None = None
    need: Fraction | None = None
    unit: str | None = None
    until: date | None = None
    missing: str = ""
    entries: tuple[str, ...] = ()
    unconfirmed: bool = False
    further: dict[str, date | None] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Case:
    """What is judged: a history on a day against a scheme (written practice applied) at a level.

    ``granted`` is the day of the first Level I certificate when Level II is judged via Level I. ``revisions``
    are those of the employer's written practice, where ``scheme`` is the one in force on the day asked.
    """

    scheme: Scheme
    level: Level
    counting: Counting
    granted: date | None
    revisions: Revisions | None = None

    @property
    def on(self) -> date:
        """The day on which the history is judged."""
        return self.counting.on

    @property
    def step(self) -> str:
        """Which set of figures is asked: I, II (via Level I, or the only set), or direct."""
        if self.level is Level.I:
            return "I"
        return "direct" if self.scheme.routes and self.granted is None else "II"

    def rules_on(self, day: date) -> Scheme:
        """Return the rules by which an event of this day is judged."""
        return self.scheme if self.revisions is None else self.revisions.rules_on(day)

    def figure(self, name: str) -> Figure | None:
        """Return the figure of a name for this step."""
        return self.scheme.figures.get(f"{name}.{self.step}")

    def certificates(self, level: Level | None = None) -> list[Certificate]:
        """Return the counting MT certificates of the family and level, oldest first."""
        return certificates_of(self.counting, self.scheme, level or self.level)

    def application(self) -> Application | None:
        """Return the newest counting application of family and level."""
        return self.counting.newest(
            entry
            for entry in self.counting.of(Application)
            if family(entry.scheme) == self.scheme.family and entry.level == self.level
        )


def certificates_of(counting: Counting, scheme: Scheme, level: Level) -> list[Certificate]:
    """Return the counting MT certificates of a scheme's family at a level, oldest first."""
    return counting.by_date(
        entry
        for entry in counting.of(Certificate)
        if entry.method == METHOD and entry.level == level and family(entry.scheme) == scheme.family
    )


def family(scheme_id: str) -> str:
    """Return a scheme id up to its first hyphen."""
    return scheme_id.partition("-")[0]


def number_row(
    identity: str,
    have: Fraction | None,
    need: Fraction,
    unit: str,
    figure: Figure,
    *,
    what: str,
    missing: str = "",
    notes: Iterable[str] = (),
    entries: Iterable[str] = (),
    most: bool = False,
    beside: Iterable[Figure | None] = (),
) -> Row:
    """Make the row of a number that must reach ``need`` (or, with ``most``, stay at or under it).

    ``beside`` are further figures that decide the row; those that rest on memory are named with it.
    """
    met = have is not None and (have <= need if most else have >= need)
    if have is None:
        held = _("nothing is recorded")
    elif unit in ("pct", "marks"):
        held = _("%(amount)s reached", amount=amount(have, unit))
    else:
        held = _("%(amount)s held", amount=amount(have, unit))
    needed = amount(need, unit)
    asked = _("at most %(amount)s asked", amount=needed) if most else _("%(amount)s asked", amount=needed)
    missing = "" if met else missing
    clause, unconfirmed = _cited(figure, beside)
    return Row(
        id=identity,
        verdict=Verdict.MET if met else Verdict.NOT_MET,
        have=have,
        need=need,
        unit=unit,
        clause=clause,
        unconfirmed=unconfirmed,
        says=sentences([f"{what}: {held}, {asked}", missing, *notes, _dispute(figure)]),
        missing=missing,
        entries=tuple(entries),
    )


def day_row(
    identity: str,
    verdict: Verdict,
    figure: Figure,
    *,
    says: Iterable[str],
    until: date | None = None,
    missing: str = "",
    entries: Iterable[str] = (),
    beside: Iterable[Figure | None] = (),
) -> Row:
    """Make the row of something that stands or runs out, without numbers; ``beside`` as in number_row."""
    missing = "" if verdict is Verdict.MET else missing
    clause, unconfirmed = _cited(figure, beside)
    return Row(
        id=identity,
        verdict=verdict,
        until=until,
        clause=clause,
        unconfirmed=unconfirmed,
        says=sentences([*says, missing, _dispute(figure)]),
        missing=missing,
        entries=tuple(entries),
    )


def _cited(figure: Figure, beside: Iterable[Figure | None]) -> tuple[str, bool]:
    """Cite the deciding figure, and name those beside it that rest on memory."""
    doubtful = [figure_words(other.key) for other in beside if other is not None and other.unconfirmed]
    clause = f"{figure.cited}; {'; '.join(doubtful)}: {_(UNCONFIRMED)}" if doubtful else figure.cited
    return clause, figure.unconfirmed or bool(doubtful)


def _dispute(figure: Figure) -> str:
    return _("sources differ: %(disputed)s", disputed=content(figure.disputed)) if figure.disputed else ""


def current_on(until: date | None, on: date) -> Verdict:
    """Judge something good through ``until``, inclusive (none: for good)."""
    return Verdict.MET if until is None or on <= until else Verdict.EXPIRED
