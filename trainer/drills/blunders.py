"""Blunders that belong to no drill: a factor of 25.4, a decimal point, pi, a square, a value upside down."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from trainer.drills.exercise import Interval
from trainer.formulas.writing import rounded
from trainer.languages import N_

NEAR = 0.002
"""Share within which a value is taken for that of a mistake that no drill lists by itself."""
_ROUNDED = 0.006  # share of a value beyond which nothing that is it to three figures can lie


@dataclass(frozen=True, slots=True)
class Blunder:
    """A named blunder and what it makes of the right value."""

    id: str
    name: str
    says: str
    makes: Callable[[float], float]


def _times(factor: float) -> Callable[[float], float]:
    return lambda value: value * factor


_INCH = N_("Inches and millimetres differ by 25.4. Bring all lengths to one unit before you begin.")
_POINT = N_(
    "The figures fit, the decimal point does not. Estimate the size first: a rough sum in the head finds this."
)
_TWO = N_(
    "A factor of 2 is missing or too many: a radius for a diameter, one way for out and back, one side for both."
)
_PI = N_(
    "A factor of pi is missing or too many. Look at whether a circumference, a diameter or an area was wanted."
)

BLUNDERS: tuple[Blunder, ...] = (
    Blunder("inch-for-millimetre", N_("a factor of 25.4"), _INCH, _times(25.4)),
    Blunder("millimetre-for-inch", N_("a factor of 25.4"), _INCH, _times(1 / 25.4)),
    *(
        Blunder("decimal-point", N_("the decimal point"), _POINT, _times(10.0**power))
        for power in (1, -1, 2, -2, 3, -3)
    ),
    Blunder("twice", N_("twice the value"), _TWO, _times(2)),
    Blunder("half", N_("half the value"), _TWO, _times(0.5)),
    Blunder("pi-too-many", N_("a factor of pi"), _PI, _times(math.pi)),
    Blunder("pi-missing", N_("a factor of pi"), _PI, _times(1 / math.pi)),
    Blunder(
        "square", N_("the square of the value"),
        N_("That is the square of the right value. A square root was left out at the end."), lambda v: v * v,
    ),
    Blunder(
        "root", N_("the root of the value"),
        N_("That is the square root of the right value. One root too many was taken."), lambda v: math.sqrt(abs(v)),
    ),
    Blunder(
        "upside-down", N_("the value upside down"),
        N_("That is one over the right value. Top and bottom were exchanged."), lambda v: 1 / v,
    ),
)  # fmt: skip


GENERAL: dict[str, str] = {b.id: b.name for b in BLUNDERS} | {"close": N_("close, but outside")}
"""Names of what is recognised in any drill, by the word that is kept with an answer; words of the catalogue."""


def blunder(answer: float, right: Interval, value: float) -> Blunder | None:
    """Return the blunder that turns the right answer into this value, the nearest one first."""
    if answer == 0 or value == 0:
        return None
    found = [(abs(b.makes(answer) / value - 1), i, b) for i, b in enumerate(BLUNDERS)]
    _, _, nearest = min(found)
    return nearest if written_for(nearest.makes(answer), value, NEAR) and not right.holds(value) else None


def written_for(wrong: float, value: float, near: float) -> bool:
    """Tell whether somebody who got ``wrong`` may have written ``value``: close to it, or it to three figures."""
    gap = abs(value - wrong)
    return gap <= near * abs(wrong) or (
        gap <= _ROUNDED * abs(wrong) and rounded(wrong, 3) == rounded(value, 6)
    )
