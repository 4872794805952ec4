"""Numerals on an instrument: as many decimals as the step needs, limits rounded inward."""

from __future__ import annotations

import math

from trainer.drawing.text import number
from trainer.formulas.writing import NARROW

_SUPER = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")
_SLACK = 1e-9
"""Relative: binary fractions a hair beside a round number count as that number."""


def multiplier(end: float) -> int:
    """The power of ten, a multiple of three, that the scale is printed in: 0 unless numbers get long."""
    if 0.01 <= end < 100_000:
        return 0
    return 3 * math.floor(math.log10(end) / 3 + _SLACK)


def times_ten(power: int) -> str:
    """The multiplier as instruments print it, such as × 10³; empty for none."""
    return f"× 10{str(power).translate(_SUPER)}" if power else ""


def numeral(value: float, step: float) -> str:
    """One numeral of a scale with this step."""
    decimals = max(0, -math.floor(math.log10(step) + _SLACK))
    return number(round(value, decimals), 12)


def inward(low: float, high: float, digits: int = 4) -> tuple[float, float]:
    """The limits rounded inward to ``digits`` figures, so that what is shown is accepted.

    More figures are taken where the interval is too narrow for so few.
    """
    size = max(abs(low), abs(high))
    if size == 0:
        return low, high
    for figures in range(digits, 13):
        power = 10.0 ** (figures - 1 - math.floor(math.log10(size)))
        first = math.ceil(low * power - _SLACK * abs(low) * power) / power
        last = math.floor(high * power + _SLACK * abs(high) * power) / power
        if first < last or (first == last and low == high):
            return first, last
    return low, high


def limits(low: float, high: float) -> tuple[str, str]:
    """The two limits as numbers for a person, rounded inward."""
    first, last = inward(low, high)
    return number(first, 12), number(last, 12)


def with_unit(words: str, unit: str) -> str:
    """Words that end in a number, with the unit after them; no unit for a pure number."""
    return words if unit in ("", "1") else f"{words}{NARROW}{unit}"
