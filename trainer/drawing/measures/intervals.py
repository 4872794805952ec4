"""Figures with the bounds between which the true ones lie, one under the other on one scale: a dot on a bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import cut, quantity, width

WIDE, LEFT, RIGHT = 380.0, 14.0, 366.0
PITCH, FOOT = 42.0, 26.0
END = 5.0


@dataclass(frozen=True, slots=True)
class Row:
    """One figure: its name, the figure, its bounds, and a short remark that stands at the right."""

    name: str
    value: float
    low: float
    high: float
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Axis:
    """The scale of all rows: its ends, the values with a numeral, times what and with which unit they are written."""

    start: float
    end: float
    ticks: tuple[float, ...]
    times: int
    unit: str
    digits: int
    limit: float | None = None

    def at(self, value: float) -> float:
        """Where a value stands; beyond the ends it stands at the end."""
        share = (min(max(value, self.start), self.end) - self.start) / (self.end - self.start)
        return LEFT + (RIGHT - LEFT) * share

    def say(self, value: float) -> str:
        """A value as the scale writes it."""
        return quantity(round(self.times * value, self.digits) + 0.0, self.unit)


SHARES = Axis(0.0, 1.0, (0.0, 0.25, 0.5, 0.75, 1.0), 100, "%", 0)
CORRELATIONS = Axis(-1.0, 1.0, (-1.0, -0.5, 0.0, 0.5, 1.0), 1, "", 2, 0.0)


def intervals(
    rows: Sequence[Row], axis: Axis, title: str, *, fid: str = "intervals", words: Words = READER
) -> str:
    """The rows on the scale, in the order given. Empty without rows."""
    if not rows:
        return ""
    base = PITCH * len(rows) + 4
    plate = Plate(fid, WIDE, base + FOOT)
    _scale(plate, axis, base)
    for index, row in enumerate(rows):
        _row(plate, axis, row, PITCH * index + 4)
    said = (
        words.interval_row.format(
            name=row.name, value=axis.say(row.value), low=axis.say(row.low), high=axis.say(row.high)
        )
        for row in rows
    )
    return plate.finish(title, " ".join(said))


def _scale(plate: Plate, axis: Axis, base: float) -> None:
    for tick in axis.ticks:
        x = axis.at(tick)
        plate.line(x, 2, x, base, "grid")
        plate.line(x, base, x, base + 6, "fine")
        text = axis.say(tick)
        half = width(text, 12) / 2
        plate.write(min(max(x, 2 + half), WIDE - 2 - half), base + 20, text, "tick")
    plate.line(LEFT - 6, base, RIGHT + 6, base, "edge")
    if axis.limit is not None:
        plate.line(axis.at(axis.limit), 2, axis.at(axis.limit), base, "limit")


def _row(plate: Plate, axis: Axis, row: Row, top: float) -> None:
    remark = cut(row.remark, 12, 110)
    room = WIDE - 2 * LEFT - width(remark, 12) - 10
    plate.write(LEFT, top + 14, cut(row.name, 13, room), "size", "start")
    if remark:
        plate.write(RIGHT, top + 14, remark, "tick", "end")
    y, low, high = top + 28, axis.at(row.low), axis.at(row.high)
    plate.line(low, y, high, y, "edge")
    for end in (low, high):
        plate.line(end, y - END, end, y + END, "edge")
    plate.circle(axis.at(row.value), y, 4.5, "answer-dot")
