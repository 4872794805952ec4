"""A graph under the drawing: a field along a line, the window as a band, curves cut off at the top."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from trainer.drawing.fieldpictures.picture import STEELS
from trainer.drawing.figures.sheet import Sheet, square
from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.drawing.text import number
from trainer.fields.window import Window
from trainer.languages import _

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Graph:
    """A graph on a sheet: its left and base in px, its size, and the values at its ends.

    Across goes a length in the unit of the drawing from ``start`` to ``end``, upwards from 0 to ``top``.
    """

    sheet: Sheet
    left: float
    base: float
    wide: float
    high: float
    start: float
    end: float
    top: float

    @property
    def pen(self) -> Pen:
        """The pen of the sheet."""
        return self.sheet.pen

    def x(self, across: float) -> float:
        """Where a value across stands."""
        return self.left + self.wide * (across - self.start) / (self.end - self.start)

    def y(self, up: float) -> float:
        """Where a value upwards stands, cut off at the top."""
        return self.base - self.high * min(max(up / self.top, 0.0), 1.0)

    def axes(self, upward: str, across: str) -> None:
        """Both axes with ticks and what they measure."""
        pen = self.pen
        pen.line(self.left, self.base, self.left + self.wide, self.base, "edge")
        pen.line(self.left, self.base, self.left, self.base - self.high, "edge")
        pen.label(upward, Spot(self.left - 30, self.base - self.high - 9, "start"), look="say")
        pen.label(across, Spot(self.left + self.wide, self.base + 32, "end"), look="say")
        for value in _steps(0.0, self.top, self.high, 2.2):
            y = self.y(value)
            pen.line(self.left - 5, y, self.left, y, "fine")
            pen.label(number(value), Spot(self.left - 7, y + 4, "end"), look="tick", optional=True)
        for value in _steps(self.start, self.end, self.wide, 2.6):
            x = self.x(value)
            pen.line(x, self.base, x, self.base + 5, "fine")
            pen.label(number(value), Spot(x, self.base + 17), look="tick", optional=True)

    def band(self, window: Window, scale: float = 1000.0) -> None:
        """The window as a hatched band; ``scale`` turns its A/m into what goes upwards."""
        low, high = window.low / scale, window.high / scale
        if low < self.top:
            y = self.y(high)
            self.pen.rect(self.left, y, self.wide, self.y(low) - y, "band")

    def curve(self, function: Callable[[float], float], look: str, name: str = "", at: float = 0.5) -> None:
        """A curve, left out where it goes over the top; its name stands beside it about ``at`` across."""
        steps = 90
        line: list[Point] = []
        kept: list[Point] = []
        for k in range(steps + 1):
            across = self.start + (self.end - self.start) * k / steps
            value = function(across)
            if value > self.top:
                self._stroke(line, look)
                line = []
                continue
            line.append((self.x(across), self.y(value)))
            kept.append(line[-1])
        self._stroke(line, look)
        if name and kept:
            x, y = min(kept, key=lambda point: abs(point[0] - self.left - at * self.wide))
            self.pen.label(name, Spot(x + 10, y - 16, "start"), look="say", lead=(x, y))

    def steels(self, field: Callable[[float, float], float], what: str, places: tuple[float, float]) -> None:
        """A curve for each of the two steels: ``field(across, permeability)``, named by the text ``what`` about each place."""
        for permeability, at in zip(STEELS, places, strict=True):
            name = _(what, permeability=number(permeability))
            self.curve(lambda across, p=permeability: field(across, p), "trace", name, at)  # type: ignore[misc]

    def upright(self, across: float, name: str = "") -> None:
        """A centre line at a value across, with a word at its top."""
        x = self.x(across)
        self.pen.line(x, self.base, x, self.base - self.high, "axis")
        if name:
            self.pen.label(name, Spot(x, self.base - self.high - 6), look="say")

    def _stroke(self, line: list[Point], look: str) -> None:
        if len(line) > 1:
            self.pen.poly(line, look)


def _steps(start: float, end: float, px: float, sparse: float) -> list[float]:
    """Round values between two ends, so far apart that their figures do not meet."""
    step = square(px / (end - start) / sparse)
    if step == 0:
        return []
    first = int(start / step - 1e-9) if start < 0 else int(start / step + 1 - 1e-9)
    return [k * step for k in range(first, int(end / step + 1e-9) + 1)]


def even_top(most: float, window: Window, scale: float = 1000.0) -> float:
    """How high a graph goes: over its highest value and its window, but not more than three windows."""
    return min(max(1.1 * most, 1.2 * window.high / scale), 3 * window.high / scale)
