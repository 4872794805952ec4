"""Which scale an instrument gets for an answer: from zero, close up, or with the needle on the stop.

The rule (ours): with w = high - low and F(x) the least of 1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10 times ten to the n
that is not under x,

1. 0 to F(1.1 max(high, answer)) if w is at least 1/20 of it;
2. otherwise, if the answer lies within 10 w of the middle, a close-up of F(max(1.25 spread, 4 w));
3. otherwise 0 to F(1.5 high); an answer beyond it stands on the stop.

An interval narrower than 1/2500 of its middle counts as that wide when the scale is chosen, so that the numerals
need no more than five figures. A single accepted number (a count) is judged from zero.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

_FULL = (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)
_STEP = {1: 0.2, 1.5: 0.5, 2: 0.5, 2.5: 0.5, 3: 0.5, 4: 1, 5: 1, 6: 1, 8: 2, 10: 2}
_NARROWEST = 1 / 2500
_LITTLE = 1e-9


@dataclass(frozen=True, slots=True)
class Scale:
    """The scale of a dial: its ends, the distance of the large ticks, and whether zero is broken off."""

    start: float
    end: float
    step: float
    close_up: bool

    @property
    def steps(self) -> int:
        """How many large steps there are."""
        return round((self.end - self.start) / self.step)

    def share(self, value: float) -> float:
        """Where a value lies, 0 at the start and 1 at the end; outside of 0 to 1 when it is off the scale."""
        return (value - self.start) / (self.end - self.start)


def full_scale(value: float) -> float:
    """The least round full scale that is not under ``value`` (which is above zero)."""
    power = 10.0 ** math.floor(math.log10(value))
    return next((lead * power for lead in _FULL if lead * power >= value * (1 - _LITTLE)), 10 * power)


def large_step(span: float) -> float:
    """The distance of the large ticks of a scale whose span came from ``full_scale``."""
    power = 10.0 ** math.floor(math.log10(span) + _LITTLE)
    return _STEP[round(span / power, 3)] * power


def choose(answer: float, low: float, high: float) -> Scale:
    """The scale for an answer and its limits; all are zero or more, ``high`` is above zero."""
    width = max(high - low, _NARROWEST * (low + high) / 2)
    end = full_scale(1.1 * max(high, answer))
    if width >= end / 20 or (low == high and answer <= 10 * high):
        return Scale(0.0, end, large_step(end), False)
    if low != high and abs(answer - (low + high) / 2) <= 10 * width:
        return _close_up(min(low, answer), max(high, answer), width)
    end = full_scale(1.5 * high)
    return Scale(0.0, end, large_step(end), False)


def _close_up(low: float, high: float, width: float) -> Scale:
    span = full_scale(max(1.25 * (high - low), 4 * width))
    step = large_step(span)
    first = max(0, math.floor(((low + high) / 2 - span / 2) / step + _LITTLE))
    start = first * step
    count = math.ceil((max(high + 0.04 * span, start + span) - start) / step - _LITTLE)
    return Scale(start, (first + count) * step, step, first > 0)
