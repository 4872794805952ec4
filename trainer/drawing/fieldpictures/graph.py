"""A graph under the drawing: a field along a line, the window as a band, curves cut off at the top."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from trainer.drawing.fieldpictures.picture import STEELS
from trainer.drawing.figures.sheet import Sheet, square
from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.drawing.text import number
from trainer.fields.window import Window
from trainer.languages import _

Point = tuple[float, float]
_STEPS = 90


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

    def curve(
        self,
        function: Callable[[float], float],
        look: str,
        name: str = "",
        at: float = 0.5,
        corners: Sequence[float] = (),
    ) -> None:
        """A curve, cut off at the top of the graph; its name stands beside it about ``at`` across.

        ``corners``: where it bends sharply or begins. Where ``function`` gives infinity there is no curve.
        """
        steps = {self.start + (self.end - self.start) * k / _STEPS for k in range(_STEPS + 1)}
        steps.update(one for one in corners if self.start < one < self.end)
        runs: list[list[Point]] = [[]]
        last: Point | None = None
        for across in sorted(steps):
            here = (across, function(across))
            over = here[1] > self.top
            if last and over != (last[1] > self.top) and math.isfinite(here[1] + last[1]):
                share = (self.top - last[1]) / (here[1] - last[1])
                runs[-1].append((self.x(last[0] + share * (across - last[0])), self.y(self.top)))
            if over and runs[-1]:
                runs.append([])
            if not over:
                runs[-1].append((self.x(across), self.y(here[1])))
            last = here
        for line in runs:
            if len(line) > 1:
                self.pen.poly(line, look)
        kept = [point for line in runs for point in line]
        if name and kept:
            x, y = min(kept, key=lambda point: abs(point[0] - self.left - at * self.wide))
            self.pen.label(name, Spot(x + 10, y - 16, "start"), look="say", lead=(x, y))

    def steels(
        self,
        field: Callable[[float, float], float],
        what: str,
        places: tuple[float, float],
        corners: Sequence[float] = (),
    ) -> None:
        """A curve for each of the two steels: ``field(across, permeability)``, named by the text ``what`` about each place."""
        for permeability, at in zip(STEELS, places, strict=True):
            name = _(what, permeability=number(permeability))
            self.curve(lambda across, p=permeability: field(across, p), "trace", name, at, corners)  # type: ignore[misc]


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
