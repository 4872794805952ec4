"""The register of a drawing: where lettering already stands and where lines run.

Every label of a figure is entered here before it is written, so that "no label overlaps another, leaves the sheet
or is crossed by a line" is a property of the drawing and not a matter of luck. Coordinates are SVG units, y downwards.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from enum import IntEnum
from typing import NamedTuple

# Boxes and spots are named tuples, since every label tries many: frozen dataclasses take four times as long to make.


Segment = tuple[float, float, float, float]
"""A straight line from its first point to its second."""
Round = tuple[float, float, float]
"""A circle: its middle and its radius."""
Hollow = tuple[float, float, float, float]
"""A ring seen from its end: its middle, its outer and its inner radius."""
CLEARANCE = 1.0
"""What lettering keeps off a line at least: half of its width."""


class Box(NamedTuple):
    """An upright rectangle from (left, top) to (right, bottom)."""

    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: Box, gap: float = 0.0) -> bool:
        """True if the two share area, or come nearer to one another than ``gap``."""
        return (
            self.left < other.right + gap
            and other.left < self.right + gap
            and self.top < other.bottom + gap
            and other.top < self.bottom + gap
        )

    def inside(self, other: Box) -> bool:
        """True if no part of this box lies outside the other."""
        return (
            self.left >= other.left
            and self.right <= other.right
            and self.top >= other.top
            and self.bottom <= other.bottom
        )

    def grown(self, by: float) -> Box:
        """The box with its edges this far out."""
        left, top, right, bottom = self
        return Box(left - by, top - by, right + by, bottom + by)

    def crossed(self, line: Segment) -> bool:
        """True if the segment touches the box (clipping by parameter, Liang and Barsky's way)."""
        x1, y1, x2, y2 = line
        enter, leave = 0.0, 1.0
        for start, delta, low, high in (
            (x1, x2 - x1, self.left, self.right),
            (y1, y2 - y1, self.top, self.bottom),
        ):
            if delta == 0:
                if start < low or start > high:
                    return False
                continue
            a, b = (low - start) / delta, (high - start) / delta
            enter, leave = max(enter, min(a, b)), min(leave, max(a, b))
        return enter <= leave


def about(x: float, y: float, half: float) -> Box:
    """The square about a point."""
    return Box(x - half, y - half, x + half, y + half)


_BEFORE = {"start": 0.0, "mid": 0.5, "end": 1.0}
"""The share of a text that stands before its spot."""


class Spot(NamedTuple):
    """Where a label may stand: baseline point, anchor (start, mid, end), turned to be read from the right."""

    x: float
    y: float
    anchor: str = "mid"
    turned: bool = False

    def box(self, wide: float, size: float) -> Box:
        """The box of a text of this width and font size written here."""
        before = wide * _BEFORE[self.anchor]
        up, down = 0.76 * size, 0.22 * size
        if self.turned:
            return Box(self.x - up, self.y - (wide - before), self.x + down, self.y + before)
        return Box(self.x - before, self.y - up, self.x + wide - before, self.y + down)

    def moved(self, dx: float, dy: float) -> Spot:
        """The same spot elsewhere, read level."""
        return Spot(self.x + dx, self.y + dy, self.anchor, False)


def _reach(box: Box, x: float, y: float) -> tuple[float, float]:
    """How far the nearest and the farthest point of the box lie from (x, y)."""
    near = math.hypot(max(box.left - x, 0, x - box.right), max(box.top - y, 0, y - box.bottom))
    return near, math.hypot(max(x - box.left, box.right - x), max(y - box.top, box.bottom - y))


def _meets_circle(box: Box, x: float, y: float, r: float) -> bool:
    """True if the circle line (not its inside) touches the box."""
    near, far = _reach(box, x, y)
    return near <= r <= far


def _meets_hollow(box: Box, x: float, y: float, outer: float, inner: float) -> bool:
    """True if the box touches the ring between the two circles."""
    near, far = _reach(box, x, y)
    return near <= outer and far >= inner


@dataclass(slots=True)
class Strokes:
    """Lines of one weight: straight pieces and circles."""

    lines: list[Segment] = field(default_factory=list)
    circles: list[Round] = field(default_factory=list)

    def cross(self, box: Box) -> bool:
        """True if one runs through the box. Most lie far from it, so that is asked first."""
        left, top, right, bottom = box
        for line in self.lines:
            x1, y1, x2, y2 = line
            if (
                (x1 <= right or x2 <= right)
                and (x1 >= left or x2 >= left)
                and (y1 <= bottom or y2 <= bottom)
                and (y1 >= top or y2 >= top)
                and box.crossed(line)
            ):
                return True
        for x, y, r in self.circles:
            if (
                x - r <= right
                and x + r >= left
                and y - r <= bottom
                and y + r >= top
                and _meets_circle(box, x, y, r)
            ):
                return True
        return False


class Lies(IntEnum):
    """What a place on the sheet lies on, the worst of it."""

    CLEAR = 0
    THIN = 1
    THICK = 2


@dataclass(slots=True)
class Register:
    """Boxes of lettering, the thick and thin lines, and the hatched and coloured areas (``fills``, ``hollows``)."""

    boxes: list[Box] = field(default_factory=list)
    thick: Strokes = field(default_factory=Strokes)
    thin: Strokes = field(default_factory=Strokes)
    fills: list[Box] = field(default_factory=list)
    hollows: list[Hollow] = field(default_factory=list)

    def free(self, box: Box, gap: float = 1.0) -> bool:
        """True if no lettering stands there."""
        return not any(box.overlaps(other, gap) for other in self.boxes)

    def lined(self, box: Box) -> bool:
        """True if a line of any weight runs through the box."""
        return self.thick.cross(box) or self.thin.cross(box)

    def lies(self, box: Box) -> Lies:
        """What the box lies on: nothing, thin lines or an area, a thick line; half the width of a line is kept off."""
        box = box.grown(CLEARANCE)
        if self.thick.cross(box):
            return Lies.THICK
        return Lies.THIN if self.thin.cross(box) or self._on_area(box) else Lies.CLEAR

    def _on_area(self, box: Box) -> bool:
        left, top, right, bottom = box
        # as Box.overlaps, without a call for each of many
        for far_left, upper, far_right, lower in self.fills:
            if left < far_right and far_left < right and top < lower and upper < bottom:
                return True
        for x, y, outer, inner in self.hollows:
            if (
                x - outer <= right
                and x + outer >= left
                and y - outer <= bottom
                and y + outer >= top
                and _meets_hollow(box, x, y, outer, inner)
            ):
                return True
        return False

    def overlapping(self) -> list[tuple[Box, Box]]:
        """Every pair of labels that share area; empty in a sound drawing."""
        return [(a, b) for i, a in enumerate(self.boxes) for b in self.boxes[i + 1 :] if a.overlaps(b)]


def _rings() -> tuple[tuple[int, float, float], ...]:
    """Ring and steps away from a spot in growing rings, wider than high as words are."""
    steps = []
    for ring in range(1, 11):
        count = 8 if ring < 4 else 12
        for k in range(count):
            angle = 2 * math.pi * k / count
            steps.append((ring, 1.7 * ring * 9 * math.cos(angle), ring * 9 * math.sin(angle)))
    return tuple(steps)


_RINGS = _rings()


def around(spot: Spot) -> Iterator[tuple[int, Spot]]:
    """Spots further and further from the first, in a fixed order: the ring, and where a label might stand on it."""
    return ((ring, spot.moved(dx, dy)) for ring, dx, dy in _RINGS)


def chain(points: Iterable[tuple[float, float]]) -> Iterator[Segment]:
    """The segments of a line through the points."""
    last: tuple[float, float] | None = None
    for point in points:
        if last is not None:
            yield (*last, *point)
        last = point
