"""Work out which answers are right: the exact value, every documented path, and what the source allows.

A path is the working done with each intermediate kept, rounded or cut to the figures the drill asks
for (four, or three where it says so). The accepted interval holds all of them, the result given to
three figures, and at least the share that the drill always allows; whole numbers and bands from a
document stand as they are.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from trainer.drills.exercise import Interval
from trainer.drills.mould import Mould
from trainer.formulas.writing import rounded

_MOST_PATHS = 64
_THIRD = 0.005  # share of a value by which rounding to three figures moves it at most


class Inseparable(ValueError):
    """This draw cannot tell right from wrong and must be drawn again."""


def accepted(
    mould: Mould, given: Sequence[float], fair: bool = True
) -> tuple[float, dict[str, float], Interval, Interval]:
    """Return the answer, the values of the steps, the accepted and the computed interval.

    Raises ArithmeticError or ValueError where the working has no value, Inseparable where a fair draw is
    wanted and a whole number depends on how intermediates were rounded; else each of them is accepted.
    """
    values = list(given)
    for function in mould.step_functions:
        values.append(function(*values))
    steps = dict(zip((s.symbol for s in mould.steps), values[len(given) :], strict=True))
    if mould.band:
        return _band(mould, given, steps)
    answer = values[-1]
    low, high = _reached(mould, given, answer)
    if mould.whole:
        if low != high and fair:
            raise Inseparable
        return answer, steps, Interval(low, high), Interval(low, high)
    computed = _computed(mould, answer, low, high)
    return answer, steps, _documented(mould, answer, computed), computed


def _band(
    mould: Mould, given: Sequence[float], steps: dict[str, float]
) -> tuple[float, dict[str, float], Interval, Interval]:
    low, high = (steps.get(t, 0.0) for t in mould.targets)
    if not low < high:
        raise Inseparable
    for other in mould.alternatives:
        if other.when is None or other.when(*given):
            bottom, top = other.function(*given)
            low, high = min(low, bottom), max(high, top)
    band = Interval(low, high)
    return (steps[mould.targets[0]] + steps[mould.targets[1]]) / 2, steps, band, band


def _reached(mould: Mould, given: Sequence[float], answer: float) -> tuple[float, float]:
    """Return the least and the greatest value that any documented path or alternative reaches."""
    allowed = (w for w in mould.alternatives if w.when is None or w.when(*given))
    ends = [answer, *_paths(mould, given), *(way.function(*given)[0] for way in allowed)]
    return min(ends), max(ends)


def _paths(mould: Mould, given: Sequence[float]) -> list[float]:
    if len(mould.step_functions) == 1:
        return []  # nothing on the way that could be rounded
    figures = mould.read.drill.accept.figures
    states: list[tuple[float, ...]] = [tuple(given)]
    for function, whole in zip(mould.step_functions[:-1], mould.whole_steps, strict=False):
        grown: list[tuple[float, ...]] = []
        cut = len(states) * 3 <= _MOST_PATHS
        for state in states:
            value = function(*state)
            if whole:
                grown.append((*state, value))
                continue
            near = rounded(value, figures)
            grown.append((*state, value))
            if near != value:
                grown.append((*state, near))
                if cut:
                    grown.append((*state, _cut(value, near, figures)))
        states = grown
    last = mould.step_functions[-1]
    return [last(*state) for state in states]


def _cut(value: float, near: float, figures: int) -> float:
    """Cut a value to significant figures, given the value rounded to them."""
    if abs(near) <= abs(value):
        return near
    unit = 10.0 ** (math.floor(math.log10(abs(near))) - figures + 1)
    return rounded(near - math.copysign(unit, near), figures)


def _computed(mould: Mould, answer: float, low: float, high: float) -> Interval:
    accept = mould.read.drill.accept
    room = max(accept.within * abs(answer), accept.absolute or 0.0)
    bottom, top = min(low, answer - room), max(high, answer + room)
    if bottom > low - _THIRD * abs(low):
        bottom = min(bottom, rounded(low, 3))
    if top < high + _THIRD * abs(high):
        top = max(top, rounded(high, 3))
    if answer > 0:
        bottom = max(bottom, 0.0)
    return Interval(bottom, top)


def _documented(mould: Mould, answer: float, computed: Interval) -> Interval:
    """Widen to the tolerance that the document itself gives for this find."""
    accept = mould.read.drill.accept
    if accept.document is None or mould.find not in accept.document_finds:
        return computed
    room = accept.document * abs(answer)
    return Interval(min(computed.low, answer - room), max(computed.high, answer + room))
