"""Lettering of a drawing: labels wait until the lines are drawn, then each takes a free place.

Order of choice: the asked spots, then spots around the first one with a pointing line, then a line at the foot
of the sheet. So a label never overlaps another and never leaves the sheet, whatever the numbers are.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from itertools import chain

from trainer.drawing.arrow import arrowhead
from trainer.drawing.register import Box, Register, Spot, around
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import folded, safe, width

MARGIN = 3.0
LINE = 17.0
"""Height of one line of lettering."""

_SIZES = {"tick": 12.0, "say": 13.0, "size": 13.0, "size live": 14.0, "tag": 13.0}


@dataclass(frozen=True, slots=True)
class _Label:
    text: str
    spots: tuple[Spot, ...]
    look: str
    lead: tuple[float, float] | None
    optional: bool
    tied: bool


class Lettering:
    """The words of one sheet. ``look`` turns classes into attributes for the palette of the sheet.

    ``heads``: draw the arrowheads of pointing lines here, because the sheet has no markers.
    """

    def __init__(self, look: Callable[[str, bool], str], heads: bool = False) -> None:
        self.register = Register()
        self.words: list[str] = []
        self.out: list[str] = []
        self._look = look
        self._heads = heads
        self._labels: list[_Label] = []
        self._notes: list[tuple[str, str]] = []

    def ask(
        self,
        text: str,
        spots: tuple[Spot, ...],
        look: str,
        lead: tuple[float, float] | None = None,
        optional: bool = False,
        tied: bool = False,
    ) -> None:
        """Keep a label until ``settle``. A tied one gets a pointing line if it has to stand far from its spots."""
        self._labels.append(_Label(text, spots, look, lead, optional, tied))

    def note(self, text: str, look: str) -> None:
        """Keep a line for the foot of the sheet."""
        self._notes.append((text, look))

    def settle(self, wide: float, high: float) -> float:
        """Place every label on a sheet of this size and write the notes below; the new height of the sheet."""
        page = Box(MARGIN, MARGIN, wide - MARGIN, high - MARGIN)
        for label in self._labels:
            self._place(label, page)
        self._labels.clear()
        return self._foot(wide, high)

    def _write(self, text: str, spot: Spot, look: str) -> None:
        size = _SIZES.get(look, 13.0)
        self.register.boxes.append(spot.box(width(text, size), size))
        classes = look if spot.anchor == "start" else f"{look} {spot.anchor}"
        turn = f' transform="rotate(-90 {n(spot.x)} {n(spot.y)})"' if spot.turned else ""
        attributes = self._look(classes, True)
        self.out.append(f'<text{attributes} x="{n(spot.x)}" y="{n(spot.y)}"{turn}>{safe(text)}</text>')
        self.words.append(text)

    def _place(self, label: _Label, page: Box) -> None:
        size = _SIZES.get(label.look, 13.0)
        wide = width(label.text, size)
        second: Spot | None = None
        for spot in chain(label.spots, () if label.optional else around(label.spots[0])):
            box = spot.box(wide, size)
            if not box.inside(page) or not self.register.free(box):
                continue
            if self.register.clear(box):
                self._point_and_write(label, spot, box)
                return
            second = second or spot
        if second and not label.optional:
            self._point_and_write(label, second, second.box(wide, size))
        elif not label.optional:
            self._notes.append((label.text, label.look))

    def _point_and_write(self, label: _Label, spot: Spot, box: Box) -> None:
        first, lead = label.spots[0], label.lead
        far = spot not in label.spots and math.hypot(spot.x - first.x, spot.y - first.y) > 32
        if lead is None and label.tied and far:
            lead = (first.x, first.y)
        if lead is not None:
            mid = (box.top + box.bottom) / 2
            x = box.left - 3 if lead[0] < box.left else box.right + 3 if lead[0] > box.right else lead[0]
            y = mid if x != lead[0] else (box.top - 1 if lead[1] < mid else box.bottom + 1)
            points = f"{n(lead[0])},{n(lead[1])} {n(x)},{n(y)}"
            self.out.append(f'<polyline{self._look("leader", False)} points="{points}"/>')
            if self._heads:
                angle = math.degrees(math.atan2(lead[1] - y, lead[0] - x))
                head = self._look("arrowhead", False)
                self.out.append(f'<path{head} d="{arrowhead(*lead, angle, 11, 1.9)}"/>')
        self._write(label.text, spot, label.look)

    def _foot(self, wide: float, high: float) -> float:
        room = wide - 24
        for text, look in self._notes:
            for row in folded(text, _SIZES.get(look, 13.0), room):
                high += LINE
                self._write(row, Spot(12, high - 6, "start"), look)
        self._notes.clear()
        return high
