"""The answers of a class on one number line: the accepted band, each answer a dot, the slips marked below."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from trainer.drawing.measures.numerals import limits, with_unit
from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.scale import full_scale, large_step
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.register import Spot
from trainer.drawing.text import number, quantity, width

WIDE, LEFT, RIGHT = 380.0, 22.0, 358.0
DOT = 4.5
MOST_HIGH = 14
FACTOR = 40.0
"""An answer further than this factor from the band is counted beside the line, not drawn on it."""


@dataclass(frozen=True, slots=True)
class SlipMark:
    """A recognised slip: the value it leads to, its short name, and how many made it."""

    value: float
    name: str
    count: int


def distribution(
    answers: Sequence[float],
    low: float,
    high: float,
    unit: str,
    name: str,
    slips: Sequence[SlipMark] = (),
    *,
    fid: str = "spread",
    words: Words = READER,
) -> str:
    """The answers of a class to one question, or their ratios to what was right where everyone had own numbers.

    ``low`` and ``high`` bound what is accepted, above zero. The line is even where all lies within a factor of
    eight, otherwise by factors. Empty if there is nothing to draw.
    """
    if not 0 < low <= high or not math.isfinite(high):
        return ""
    near = sorted(value for value in answers if low / FACTOR <= value <= high * FACTOR)
    marks = [slip for slip in slips if low / FACTOR <= slip.value <= high * FACTOR]
    line = _line([low, high, *near, *(slip.value for slip in marks)])
    levels = _levels([line.at(value) for value in near])
    base = 34 + (1 + max(levels, default=0)) * 2 * DOT
    plate = Plate(fid, WIDE, base + 34 + 17 * len(marks))
    _band(plate, line, low, high, base)
    _axis(plate, line, base, unit, [line.at(slip.value) for slip in marks])
    _dots(plate, line, zip(near, levels, strict=True), (low, high), base)
    # the innermost name stands highest: a name runs towards the middle, where no line of a lower one passes
    for slip in sorted(marks, key=lambda one: abs(line.at(one.value) - WIDE / 2)):
        x = line.at(slip.value)
        plate.poly([(x, base + 3), (x - 4, base + 11), (x + 4, base + 11)], "slip-mark", close=True)
        text = f"{slip.name}, {slip.count}"
        anchor = "start" if x < WIDE / 2 else "end"
        plate.label(text, Spot(x, base + 44, anchor), look="size", lead=(x, base + 11))
    return plate.finish(
        words.spread_title.format(name=name), _says(answers, near, low, high, unit, marks, words)
    )


@dataclass(frozen=True, slots=True)
class _Line:
    """A number line: where a value stands, and the values that get a numeral."""

    at: Callable[[float], float]
    ticks: tuple[float, ...]


def _line(values: Sequence[float]) -> _Line:
    least, most = min(values), max(values)
    if least > 0 and most / least > 8:
        return _by_factors(least / 1.2, most * 1.2)
    end = full_scale(1.08 * most)
    step = large_step(end)
    ticks = tuple(step * index for index in range(round(end / step) + 1))
    return _Line(lambda value: LEFT + (RIGHT - LEFT) * value / end, ticks)


def _by_factors(start: float, end: float) -> _Line:
    span = math.log(end / start)
    powers = range(math.floor(math.log10(start)), math.ceil(math.log10(end)) + 1)
    ticks = tuple(
        lead * 10.0**power for power in powers for lead in (1, 2, 5) if start <= lead * 10.0**power <= end
    )
    return _Line(lambda value: LEFT + (RIGHT - LEFT) * math.log(value / start) / span, ticks)


def _band(plate: Plate, line: _Line, low: float, high: float, base: float) -> None:
    first, last = line.at(low), line.at(high)
    if last - first < 2:
        first, last = (first + last) / 2 - 1, (first + last) / 2 + 1
    plate.rect(first, 14, last - first, base - 14, "band")


def _axis(plate: Plate, line: _Line, base: float, unit: str, taken: Sequence[float]) -> None:
    """The line with its ticks; a numeral gives way to the mark of a slip and to its pointing line."""
    plate.line(LEFT - 10, base, RIGHT + 10, base, "edge")
    for tick in line.ticks:
        x = line.at(tick)
        plate.line(x, base, x, base + 6, "fine")
        text = number(tick, 6)
        half = width(text, 12) / 2
        clear = all(abs(x - mark) > half + 6 for mark in taken)
        if clear and half < x < WIDE - half and plate.free(x, base + 24, text, "tick"):
            plate.write(x, base + 24, text, "tick")
    if unit not in ("", "1"):
        plate.write(WIDE - 4, 11, unit, "say", "end")


def _levels(places: Sequence[float]) -> list[int]:
    """How high each dot stands: dots that would touch are piled up; a full pile hides its last dots."""
    last = [-math.inf] * MOST_HIGH
    levels = []
    for x in places:
        level = next((k for k, end in enumerate(last) if x - end >= 2 * DOT - 1), MOST_HIGH - 1)
        last[level] = x
        levels.append(level)
    return levels


def _dots(
    plate: Plate,
    line: _Line,
    placed: Iterable[tuple[float, int]],
    band: tuple[float, float],
    base: float,
) -> None:
    """Each answer a dot where it is; filled inside the band, a ring outside it."""
    for value, level in placed:
        look = "answer-dot" if band[0] <= value <= band[1] else "answer-dot out"
        plate.circle(line.at(value), base - 2 - DOT - level * 2 * DOT, DOT - 0.5, look)


def _says(
    answers: Sequence[float],
    near: Sequence[float],
    low: float,
    high: float,
    unit: str,
    slips: Sequence[SlipMark],
    words: Words,
) -> str:
    first, last = limits(low, high)
    inside = sum(low <= value <= high for value in near)
    said = [
        words.spread_desc.format(answers=len(answers), inside=inside, low=first, high=with_unit(last, unit)),
        *(
            words.spread_slip.format(slip=slip.name, count=slip.count, value=quantity(slip.value, unit))
            for slip in slips
        ),
    ]
    if beyond := len(answers) - len(near):
        said.append(words.spread_beyond.format(count=beyond))
    return " ".join(said)
