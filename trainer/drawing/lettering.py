"""Lettering of a drawing: labels wait until the lines are drawn, then each takes the best place there is.

Asked spots come first, then spots around the first one; a spot on a line or a hatched area costs more than a way to
a clear one, a thick line more than a thin one. What still lies on a line gets a plate in the colour of the sheet,
and what finds no room stands at the foot. So a label never overlaps another, leaves the sheet or is crossed by a
line, whatever the numbers are.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final, NamedTuple

from trainer.drawing.register import CLEARANCE, Box, Lies, Register, Spot, Strokes, about, around
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import folded, safe, width

MARGIN = 3.0
LINE = 17.0
"""Height of one line of lettering."""

_SIZES = {"tick": 12.0, "say": 13.0, "size": 13.0, "size live": 14.0, "tag": 13.0}
_COST: Final = (0.0, 4.0, 14.0)
"""What lying on nothing, a thin or a thick line (`Lies`) costs, in rings of the way that a label would go to lie clear."""
_SHORT, _ALONG, _OVER = 6.0, 1.0, 14.0
"""What a pointing line costs that is too short for its arrow, at each of two places on a line, through other words."""
_ARROW = 13.0  # length of a pointing line that shows its arrow
_AIR = 3.0  # between a pointing line and its words

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class _Label:
    text: str
    spots: tuple[Spot, ...]
    look: str
    lead: Point | None
    optional: bool
    tied: bool

    def places(self) -> Iterator[tuple[float, Spot]]:
        """Spots with the cost of the way to them, rising. A pointing line makes a long way as good as a short one."""
        for k, spot in enumerate(self.spots):
            yield k / 4, spot
        if not self.optional:
            first, pace = self.spots[0], 0.5 if self.lead else 1.0
            for ring, spot in around(first):
                yield 2 + pace * ring, spot

    def pointing(self, spot: Spot) -> Point | None:
        """Where the pointing line begins if the words stand here; a tied label has one only far from its spots."""
        first = self.spots[0]
        far = spot not in self.spots and math.hypot(spot.x - first.x, spot.y - first.y) > 32
        return (first.x, first.y) if self.lead is None and self.tied and far else self.lead


class _Placed(NamedTuple):
    text: str
    look: str
    spot: Spot
    box: Box
    lead: Point | None
    lies: Lies


class Lettering:
    """The words of one sheet."""

    def __init__(self) -> None:
        self.register = Register()
        self.words: list[str] = []
        self.out: list[str] = []
        self._labels: list[_Label] = []
        self._placed: list[_Placed] = []
        self._pointing = Strokes()
        self._notes: list[tuple[str, str]] = []

    def ask(
        self,
        text: str,
        spots: tuple[Spot, ...],
        look: str,
        lead: Point | None = None,
        optional: bool = False,
        tied: bool = False,
    ) -> None:
        """Keep a label until ``settle``. A tied one gets a pointing line if it has to stand far from its spots."""
        self._labels.append(_Label(text, spots, look, lead, optional, tied))

    def note(self, text: str, look: str) -> None:
        """Keep a line for the foot of the sheet, folded at plain spaces; no-break spaces are written as plain ones."""
        self._notes.append((text, look))

    def settle(self, wide: float, high: float) -> float:
        """Place every label on a sheet of this size and write the notes below; the new height of the sheet."""
        page = Box(MARGIN, MARGIN, wide - MARGIN, high - MARGIN)
        for label in self._labels:
            self._place(label, page)
        self._labels.clear()
        for placed in self._placed:
            # besides what it lay on when it was placed there may be pointing lines of others since
            if placed.lies or self._pointing.cross(placed.box.grown(CLEARANCE)):
                self._lay_plate(placed.box)
            self._write(placed.text, placed.spot, placed.look)
        self._placed.clear()
        return self._foot(wide, high)

    def _place(self, label: _Label, page: Box) -> None:
        placed = self._best(label, page)
        if placed:
            self._placed.append(placed)
            self.register.boxes.append(placed.box)
            if placed.lead:
                self._point(placed.lead, placed.box)
        elif not label.optional:
            self._notes.append((label.text, label.look))

    def _best(self, label: _Label, page: Box) -> _Placed | None:
        """The cheapest of the places of a label, None where there is no room; no place after it can be cheaper."""
        size = _SIZES.get(label.look, 13.0)
        wide = width(label.text, size)
        least, best = math.inf, None
        for way, spot in label.places():
            if least <= way:
                break
            box = spot.box(wide, size)
            over = max(page.left - box.left, 0.0) + min(page.right - box.right, 0.0)
            if over and not label.optional:
                spot = Spot(spot.x + over, spot.y, spot.anchor, spot.turned)  # pushed back onto the sheet
                box = spot.box(wide, size)
            if not box.inside(page) or not self.register.free(box):
                continue
            lies, lead = self.register.lies(box), label.pointing(spot)
            if label.optional and lies is Lies.THICK:
                continue
            cost = way + _COST[lies] + (self._detour(lead, box) if lead else 0.0)
            if cost < least:
                least, best = cost, _Placed(label.text, label.look, spot, box, lead, lies)
        return best

    def _detour(self, lead: Point, box: Box) -> float:
        """What is wrong with a pointing line from here to the words: too short, along a line, through other words."""
        x, y = _tail(lead, box)
        cost = 0.0 if math.hypot(x - lead[0], y - lead[1]) >= _ARROW else _SHORT
        for share in (0.5, 0.8):
            at = (lead[0] + share * (x - lead[0]), lead[1] + share * (y - lead[1]))
            cost += _ALONG * self.register.lined(about(*at, 2))
        return cost + _OVER * sum(other.crossed((*lead, x, y)) for other in self.register.boxes)

    def _point(self, lead: Point, box: Box) -> None:
        """A pointing line: an arrow on the line it names, a dot inside the area it names."""
        (x, y), (a, b) = lead, _tail(lead, box)
        look = "leader" if self.register.lined(about(x, y, 2)) else "leader dot"
        for strokes in (self.register.thin, self._pointing):
            strokes.lines.append((x, y, a, b))
        self.out.append(f'<polyline class="{look}" points="{n(x)},{n(y)} {n(a)},{n(b)}"/>')

    def _lay_plate(self, box: Box) -> None:
        self.out.append(
            f'<rect class="plate" x="{n(box.left)}" y="{n(box.top)}" '
            f'width="{n(box.right - box.left)}" height="{n(box.bottom - box.top)}"/>'
        )

    def _write(self, text: str, spot: Spot, look: str) -> None:
        classes = look if spot.anchor == "start" else f"{look} {spot.anchor}"
        turn = f' transform="rotate(-90 {n(spot.x)} {n(spot.y)})"' if spot.turned else ""
        self.out.append(f'<text class="{classes}" x="{n(spot.x)}" y="{n(spot.y)}"{turn}>{safe(text)}</text>')
        self.words.append(text)

    def _foot(self, wide: float, high: float) -> float:
        room = wide - 24
        for text, look in self._notes:
            size = _SIZES.get(look, 13.0)
            for row in folded(text, size, room):
                high += LINE
                spot = Spot(12, high - 6, "start")
                self.register.boxes.append(spot.box(width(row, size), size))
                self._write(row.replace("\u00a0", " "), spot, look)
        self._notes.clear()
        return high


def _tail(lead: Point, box: Box) -> Point:
    """Where a pointing line from ``lead`` meets the words: beside them at half their height, else over or under them."""
    x, y = lead
    middle = (box.top + box.bottom) / 2
    if box.left <= x <= box.right:
        return x, box.top - 2 if y < middle else box.bottom + 2
    return box.left - _AIR if x < box.left else box.right + _AIR, middle
