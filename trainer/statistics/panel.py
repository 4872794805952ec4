"""A pass mark set by a panel: each judge says of each item how many of a hundred just competent people get it right.

The method is Angoff's (1971); the error is that of the mean over judges (as in MacCann and Stanley 2004).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from statistics import stdev

from trainer.errors import Refused
from trainer.formulas.writing import amount
from trainer.languages import _
from trainer.statistics.enough import PANEL

MOST_JUDGES, MOST_ITEMS, MOST_TEXT = 60, 200, 40_000


@dataclass(frozen=True, slots=True)
class PanelFigures:
    """What a panel holds: its pass mark in items, exact, and how far another panel's might lie from it."""

    items: int
    judges: tuple[Fraction, ...]
    by_item: tuple[float, ...]
    spread: tuple[float, ...]

    @property
    def cut(self) -> Fraction:
        """The mean of the judges' pass marks, in items."""
        return sum(self.judges, Fraction(0)) / len(self.judges)

    @property
    def percent(self) -> Fraction:
        """The pass mark in percent; not rounded up."""
        return 100 * self.cut / self.items

    @property
    def error(self) -> float | None:
        """The standard error of the pass mark in items; None for a panel below the least number."""
        if len(self.judges) < PANEL.show:
            return None
        return self.apart / math.sqrt(len(self.judges))

    @property
    def apart(self) -> float:
        """The standard deviation of the judges' pass marks, in items; 0 for one judge."""
        return stdev(map(float, self.judges)) if len(self.judges) > 1 else 0.0

    @property
    def says(self) -> str:
        """The pass mark in plain words."""
        judges = len(self.judges)
        share = amount(float(self.percent), "percent")
        basis = PANEL.says(judges, "judges")
        mark = _(
            "The panel's pass mark is %(cut)s of %(items)s items, %(share)s.",
            cut=format(float(self.cut), ".2f"),
            items=self.items,
            share=share,
        )
        if self.error is None:
            none = _("No error is given: %(basis)s", basis=basis[:1].lower() + basis[1:])
            return f"{mark} {none}"
        rest = _(
            "Another panel like this one would come within %(within)s items of it 19 times in 20. %(basis)s "
            "Whether it is rounded up is for your written practice to say.",
            within=format(2 * self.error, ".2f"),
            basis=basis,
        )
        return f"{mark} {rest}"


def figures(ratings: Sequence[Sequence[Fraction]]) -> PanelFigures:
    """The figures of a panel: one row of ratings in percent for each judge, one rating for each item."""
    rows = [[rating / 100 for rating in row] for row in ratings]
    columns = list(zip(*rows, strict=True))
    return PanelFigures(
        len(columns), tuple(sum(row, Fraction(0)) for row in rows),
        tuple(float(sum(column) / len(column)) for column in columns),
        tuple(stdev(map(float, column)) if len(column) > 1 else 0.0 for column in columns),
    )  # fmt: skip


def read_ratings(text: str) -> list[list[Fraction]]:
    """Read a panel's sheet: one line a judge, percent with spaces or semicolons between.

    Raises Refused with the line's number.
    """
    lines = [line.replace(";", " ").split() for line in text[:MOST_TEXT].splitlines() if line.strip()]
    if not lines:
        raise Refused(_("Write one line for each judge, with one percentage for each item."))
    if len(lines) > MOST_JUDGES or len(lines[0]) > MOST_ITEMS:
        raise Refused(
            _(
                "At most %(most_judges)s judges and %(most_items)s items.",
                most_judges=MOST_JUDGES,
                most_items=MOST_ITEMS,
            )
        )
    for number, words in enumerate(lines, 1):
        if len(words) != len(lines[0]):
            raise Refused(
                _(
                    "Line %(number)s has %(words)s ratings, line 1 has %(lines)s. Mend one.",
                    number=number,
                    words=len(words),
                    lines=len(lines[0]),
                )
            )
    return [[_percent(number, word) for word in words] for number, words in enumerate(lines, 1)]


def _percent(number: int, word: str) -> Fraction:
    plain = word.removesuffix("%").replace(",", ".")
    whole, _point, rest = plain.partition(".")
    if not (plain.isascii() and whole.isdigit() and (rest.isdigit() or not rest) and len(plain) < 8):
        raise Refused(
            _(
                "Line %(number)s: '%(word)s' is no percentage. Write one like 75 or 62.5.",
                number=number,
                word=word[:20],
            )
        )
    value = Fraction(plain.rstrip("."))
    if value > 100:
        raise Refused(_("Line %(number)s: %(word)s is above 100 %%.", number=number, word=word[:20]))
    return value
