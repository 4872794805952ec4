"""A scheme: the figures and rules of one edition, each with the place where it was read.

A scheme is a table of figures under fixed names. Which figures it holds decides which prerequisites it
judges: no figure, no row, and nothing is filled in by analogy. A written practice replaces figures under
the same names.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction

from trainer.languages import N_, _, content
from trainer.qualification.entries import PARTS, Level
from trainer.qualification.figure_words import figure_words

STATUSES = ("seen", "seen-2", "memory", "ours", "practice")
UNCONFIRMED = N_("unconfirmed, check your copy")


@dataclass(frozen=True, slots=True)
class Quantity:
    """What a figure of a name must be: a number in one of some units, one of some words, or a flag."""

    units: tuple[str, ...] = ()
    words: tuple[str, ...] = ()


def _by_level(name: str, *units: str) -> dict[str, Quantity]:
    return {f"{name}.{step}": Quantity(units) for step in ("I", "II", "direct")}


_PERCENT, _COUNT = Quantity(("pct",)), Quantity(("n",))
_FLAG = Quantity(words=("true", "false"))

# Every figure a scheme can hold. A name that is not here is a fault of the scheme file.
QUANTITIES: dict[str, Quantity] = {
    **_by_level("training", "h", "days"),
    **_by_level("training_educated", "h"),
    "training.practical_most": _PERCENT,
    # any: all modes count; tracked: computer and web only with hours, content and examination on record;
    # practical_in_person: practical content counts only where people meet.
    "training.electronic": Quantity(words=("any", "tracked", "practical_in_person")),
    "education.reduction_most": _PERCENT,
    **_by_level("experience_method", "h", "months", "days"),
    **_by_level("experience_total", "h"),
    "experience.month_hours": Quantity(("h",)),
    "experience.day_hours": Quantity(("h",)),
    "experience.day_most_hours": Quantity(("h",)),
    "two_methods.percent": _PERCENT,
    "two_methods.least_percent": _PERCENT,
    "two_methods.least_months": Quantity(("months",)),
    "general.questions": _COUNT,
    "specific.questions": _COUNT,
    "practical.specimens.I": _COUNT,
    "practical.specimens.II": _COUNT,
    "practical.checkpoints": _COUNT,
    **{f"{part}.pass": _PERCENT for part in PARTS},
    # together: marks of all specimens over what could be reached; each: the weakest specimen decides,
    # and at Level II the written instruction is judged beside the specimens.
    "practical.judged": Quantity(words=("together", "each")),
    "composite.pass": _PERCENT,
    "weights": Quantity(words=("equal",)),
    "retest.days": Quantity(("days",)),
    "retest.months": Quantity(("months",)),
    "retest.most": _COUNT,
    "retest.years": Quantity(("years",)),
    "retest.waiver": _FLAG,
    "recertification.days": Quantity(("days",)),
    "recertification.months": Quantity(("months",)),
    "recertification.most": _COUNT,
    "before_examination": _FLAG,
    "results.years": Quantity(("years",)),
    "vision_near.months": Quantity(("months",)),
    # The coarsest chart taken; unset: the document's chart was not read, the finer ones are taken.
    "vision_near.chart": Quantity(words=("jaeger_1", "jaeger_2", "any", "unset")),
    "vision_near.distance": Quantity(("cm",)),
    "vision_near.day": Quantity(words=("asked", "application")),
    "vision_colour.years": Quantity(("years",)),
    "vision_colour.once": _FLAG,
    "certificate.years": Quantity(("years",)),
    "certificate.ends_with_employment": _FLAG,
    "rehire.months": Quantity(("months",)),
    "interruption.months": Quantity(("months",)),
    "absence.years": Quantity(("years",)),
    "absence.sum_days": Quantity(("days",)),
    # Only an employer's written practice sets these two.
    "laboratory.percent": _PERCENT,
    "education.reduction_percent": _PERCENT,
}


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: its value and unit, and how far it can be trusted before somebody opens the document.

    ``status``: seen (text of the document or of its body read), seen-2 (restated by a third party),
    memory (recalled, not read), ours (this house settles it), practice (the employer's written practice).
    ``clause_read`` tells whether the clause number itself was read.
    """

    key: str
    value: Fraction | str
    unit: str
    document: str
    edition: str
    status: str
    confidence: str
    clause: str | None = None
    clause_read: bool = False
    basis: str | None = None
    sources: tuple[str, ...] = ()
    note: str | None = None
    disputed: str | None = None

    @property
    def unconfirmed(self) -> bool:
        """Say whether the figure rests on memory and must be checked in the user's own copy."""
        return self.status == "memory"

    @property
    def cited(self) -> str:
        """Name the document, edition and clause for a person, and say so when it is unconfirmed."""
        if self.status == "ours":
            return _("house rule: %(rule)s", rule=content(self.note) if self.note else figure_words(self.key))
        place = f"{self.document}, {self.edition}"
        if self.clause:
            unread = _("number not read")
            place += f", {self.clause}" if self.clause_read else f", {self.clause} ({unread})"
        elif self.status != "practice":
            place += ", " + _("clause not read")
        return f"{place}; {_(UNCONFIRMED)}" if self.unconfirmed else place


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure was read."""

    id: str
    what: str
    kind: str


@dataclass(frozen=True, slots=True)
class Scheme:
    """One edition of a document, as figures."""

    id: str
    document: str
    edition: str
    nature: str
    levels: tuple[Level, ...]
    overrides: str
    figures: Mapping[str, Figure]
    sources: Mapping[str, Source]
    not_judged: tuple[str, ...] = ()
    weights: tuple[Fraction, Fraction, Fraction] = (Fraction(1), Fraction(1), Fraction(1))
    practice: str | None = None

    @property
    def family(self) -> str:
        """Return the id up to the first hyphen: certificates of one family count for each other."""
        return self.id.partition("-")[0]

    @property
    def routes(self) -> bool:
        """Say whether Level II can be reached via Level I or direct (else there is one set of figures)."""
        return Level.I in self.levels

    def prose(self) -> Iterator[str]:
        """Yield its sentences that pages show: house rules, and where sources differ."""
        for figure in self.figures.values():
            said = figure.note if figure.status == "ours" else None
            yield from (text for text in (said, figure.disputed) if text)

    def holds(self, key: str) -> bool:
        """Say whether there is a figure of this name."""
        return key in self.figures

    def figure(self, key: str) -> Figure:
        """Return a figure that the scheme is known to hold."""
        return self.figures[key]

    def number(self, key: str) -> Fraction | None:
        """Return the value of a number, or none."""
        figure = self.figures.get(key)
        return figure.value if figure is not None and isinstance(figure.value, Fraction) else None

    def count(self, key: str) -> int | None:
        """Return the value of a whole number, or none."""
        value = self.number(key)
        return None if value is None else int(value)

    def whole(self, key: str) -> int:
        """Return a whole number that the scheme is known to hold."""
        value = self.figures[key].value
        assert isinstance(value, Fraction)
        return int(value)

    def word(self, key: str) -> str | None:
        """Return the value of a word, or none."""
        figure = self.figures.get(key)
        return figure.value if figure is not None and isinstance(figure.value, str) else None

    def flag(self, key: str) -> bool:
        """Say whether a flag is set."""
        return self.word(key) == "true"

    def hours_in(self, unit: str) -> Fraction:
        """Return how many hours one unit (h, days, months) of training or experience has."""
        named = {"days": "experience.day_hours", "months": "experience.month_hours"}.get(unit)
        hours = self.number(named) if named else None
        return Fraction(1) if hours is None else hours

    def with_figures(self, figures: Mapping[str, Figure]) -> Scheme:
        """Return the scheme with some figures replaced or added."""
        return replace(self, figures={**self.figures, **figures})

    def unconfirmed(self) -> list[Figure]:
        """Return the figures that rest on memory."""
        return [figure for figure in self.figures.values() if figure.unconfirmed]
