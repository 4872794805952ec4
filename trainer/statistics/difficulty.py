"""How hard an item is: the share of right first answers, with the interval in which the true share lies."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import NormalDist

from trainer.languages import _
from trainer.statistics.curves import chi_square_above
from trainer.statistics.enough import BIN, DIFFICULTY, percent

Z95 = NormalDist().inv_cdf(0.975)


@dataclass(frozen=True, slots=True)
class Interval:
    """A figure and the bounds between which the true one lies, 95 times in 100."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Share:
    """Right answers of all that were given."""

    right: int
    of: int

    @property
    def interval(self) -> Interval | None:
        """The share with its interval, or None below the least number."""
        return wilson(self.right, self.of) if self.of >= DIFFICULTY.show else None

    @property
    def says(self) -> str:
        """The share in plain words."""
        found = self.interval
        if found is None:
            return DIFFICULTY.says(self.of, "answers")
        return _(
            "%(right)s right. If many more like these answered, between %(low)s and %(high)s would be right. "
            "%(basis)s",
            right=percent(found.value),
            low=percent(found.low),
            high=percent(found.high),
            basis=DIFFICULTY.says(self.of, "answers"),
        )


def wilson(right: int, of: int, z: float = Z95) -> Interval:
    """The score interval of Wilson (1927) for a share; it stays within 0 and 1. Raises ValueError for none."""
    if not 0 <= right <= of or of == 0:
        raise ValueError("a share is some right of one or more")
    p, square = right / of, z * z
    middle = (p + square / (2 * of)) / (1 + square / of)
    reach = z / (1 + square / of) * math.sqrt(p * (1 - p) / of + square / (4 * of * of))
    # at 0 and at 1 the bound is met exactly; rounding must not push it past the share
    return Interval(p, 0.0 if right == 0 else middle - reach, 1.0 if right == of else middle + reach)


@dataclass(frozen=True, slots=True)
class Bin:
    """The answers to draws in which one quantity lay between two values, both included."""

    low: float
    high: float
    share: Share


def bins(answers: Sequence[tuple[float, bool]], count: int = 3) -> list[Bin]:
    """Divide answers by the value drawn into ``count`` bins of about equal numbers.

    Equal values are never parted, so there may be fewer bins; none at all for less than two values.
    """
    found = sorted(answers)
    out: list[Bin] = []
    start = 0
    for part in range(1, count + 1):
        end = max(start, round(len(found) * part / count))
        while 0 < end < len(found) and found[end][0] == found[end - 1][0]:
            end += 1
        if end > start:
            held = found[start:end]
            out.append(Bin(held[0][0], held[-1][0], Share(sum(r for _value, r in held), len(held))))
            start = end
    return out if len(out) > 1 else []


@dataclass(frozen=True, slots=True)
class Drift:
    """Whether success hangs on a quantity: chi-square over the bins, and how often chance gives as much."""

    bins: tuple[Bin, ...]
    chi_square: float
    chance: float

    @property
    def drifts(self) -> bool:
        """Whether it does, at one in a hundred, since many quantities are looked at."""
        return self.chance < 0.01

    @property
    def says(self) -> str:
        """The comparison in plain words."""
        if self.drifts:
            return _(
                "Success hangs on this value more than chance explains: two kinds of question may hide in one "
                "drill. Look at the hard end."
            )
        return _("No more apart than chance makes it %(chance)s of the time.", chance=percent(self.chance))


def drift(answers: Sequence[tuple[float, bool]]) -> Drift | None:
    """Compare the bins of a quantity; None while any bin is below its least number, or all answers are alike."""
    found = bins(answers)
    if not found or any(one.share.of < BIN.show for one in found):
        return None
    right, of = sum(one.share.right for one in found), sum(one.share.of for one in found)
    if right in (0, of):
        return None
    p = right / of
    square = sum((b.share.right - p * b.share.of) ** 2 / (b.share.of * p * (1 - p)) for b in found)
    return Drift(tuple(found), square, chi_square_above(square, len(found) - 1))
