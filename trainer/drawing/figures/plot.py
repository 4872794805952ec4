"""Axes of a plot over time or distance: a level base, an upright axis, levels with their names at the right."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.drawing.figures.layout import Point, spread
from trainer.drawing.figures.sheet import Sheet
from trainer.drawing.register import Spot
from trainer.languages import _


@dataclass(frozen=True, slots=True)
class Plot:
    """A field of the sheet: origin at (x, y), so wide and so high; ``across`` and ``top`` are its end values."""

    sheet: Sheet
    x: float
    y: float
    wide: float
    high: float
    across: float
    top: float

    def at(self, across: float, up: float) -> Point:
        """Where these values stand on the sheet."""
        return (
            self.x + self.wide * min(max(across / self.across, -0.02), 1.1),
            self.y - self.high * min(max(up / self.top, -1.15), 1.15),
        )

    def axes(self, below: float = 0.0) -> None:
        """The base line and the upright axis, with zero."""
        pen = self.sheet.pen
        pen.line(self.x, self.y, self.x + self.wide + 8, self.y, "edge")
        pen.line(self.x, self.y + below, self.x, self.y - self.high - 10, "edge")
        pen.label("0", Spot(self.x - 6, self.y + 4.5, "end"), look="tick", optional=True)

    def levels(self, rows: list[tuple[str, float, str]], words: bool = True) -> None:
        """Level lines with their numbers at the right, moved apart where they would meet.

        ``rows``: role, value, what it is in a word of the catalogue. Roles the exercise has not are left out.
        """
        rows = [row for row in rows if self.sheet.has(row[0])]
        pen, end = self.sheet.pen, self.x + self.wide
        heights = [self.at(0, row[1])[1] for row in rows]
        places = spread(heights, 18, self.y - self.high - 8, self.y + 8) if rows else []
        for (role, _value, says), level, place in zip(rows, heights, places, strict=True):
            live = self.sheet.live(role)
            pen.line(self.x, level, end + 4, level, "flow" if live else "axis")
            pen.line(end + 4, level, end + 12, place, "fine")
            self.sheet.put(role, Spot(end + 15, place + 4.5, "start"))
            if words:
                self.sheet.say(_("A level line marks %(what)s.", what=_(says)))


def upward(values: list[float]) -> float:
    """The greatest of the values that can be drawn, one if there is none."""
    return max([value for value in values if value > 0], default=1.0)
