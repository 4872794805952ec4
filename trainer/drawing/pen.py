"""The pen: lines, arrows and lettering of one drawing, written as SVG text.

Coordinates are SVG units, y downwards; a sheet is 380 wide, so that a unit is about a pixel on a phone. Every line
and every hatched or coloured area is kept in the register by its class, and labels are placed last, off them and off
each other. Classes only, never a style attribute.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from trainer.drawing.arrow import arrowhead
from trainer.drawing.lettering import Lettering
from trainer.drawing.register import Box, Spot, Strokes, chain
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import safe, width

SHEET = 380.0
THICK = frozenset(
    ["edge", "cable", "trace", "reach", "reach-end", "dim", "wire", "limit", "contour", "weight"]
)
"""Classes of lines that lettering keeps off by all means."""
_BARE = frozenset(
    [
        "hatched-back",
        "hatched-ok",
        "hatch-fine",
        "hatch-live",
        "overlap",
        "particles",
        "wire-mark",
        "arrowhead",
    ]
)
FILLED = _BARE | {"hatched", "band", "wire", "wire-far", "wire-solid"}
"""Classes of areas with a hatching or a colour; the bare ones have no line round them."""


class _Kept(NamedTuple):
    """What a shape of some classes is to lettering: an area, a line, a thick one."""

    filled: bool
    lined: bool
    thick: bool


@cache
def _kept(classes: str) -> _Kept:
    names = frozenset(classes.split())
    return _Kept(not names.isdisjoint(FILLED), not names <= _BARE | {"solid"}, not names.isdisjoint(THICK))


class Pen:
    """One drawing in the making. Draw shapes, ask for labels, then ``finish``."""

    def __init__(self, fid: str, width: float = SHEET, height: float = 0.0, cls: str = "figure") -> None:
        self.fid, self.width, self.height, self.cls = fid, width, height, cls
        self.lettering = Lettering()
        self.register = self.lettering.register
        self._under: list[str] = []
        self._out: list[str] = []

    # ------------------------------------------------------------ shapes
    def _strokes(self, c: str, area: Box | None = None) -> Strokes | None:
        """Where the lines of this class are kept; the area is kept too if the class fills it."""
        kept = _kept(c)
        if area and kept.filled:
            self.register.fills.append(area)
        if not kept.lined:
            return None
        return self.register.thick if kept.thick else self.register.thin

    def line(self, x1: float, y1: float, x2: float, y2: float, c: str) -> None:
        """A straight line of class ``c``."""
        if strokes := self._strokes(c):
            strokes.lines.append((x1, y1, x2, y2))
        self._out.append(f'<line class="{c}" x1="{n(x1)}" y1="{n(y1)}" x2="{n(x2)}" y2="{n(y2)}"/>')

    def rect(self, x: float, y: float, w: float, h: float, c: str) -> None:
        """An upright rectangle from its upper left corner."""
        right, foot = x + w, y + h
        if strokes := self._strokes(c, Box(x, y, right, foot)):
            strokes.lines += (
                (x, y, right, y),
                (right, y, right, foot),
                (right, foot, x, foot),
                (x, foot, x, y),
            )
        self._out.append(f'<rect class="{c}" x="{n(x)}" y="{n(y)}" width="{n(w)}" height="{n(h)}"/>')

    def circle(self, x: float, y: float, r: float, c: str) -> None:
        """A circle; inside it lettering may stand unless the class fills it."""
        if _kept(c).filled:
            self.register.hollows.append((x, y, r, 0))
        if strokes := self._strokes(c):
            strokes.circles.append((x, y, r))
        self._out.append(f'<circle class="{c}" cx="{n(x)}" cy="{n(y)}" r="{n(r)}"/>')

    def ellipse(self, x: float, y: float, rx: float, ry: float, c: str) -> None:
        """An upright ellipse."""
        if strokes := self._strokes(c, Box(x - rx, y - ry, x + rx, y + ry)):
            turns = [a * math.pi / 12 for a in range(25)]
            strokes.lines += chain([(x + rx * math.cos(a), y + ry * math.sin(a)) for a in turns])
        self._out.append(f'<ellipse class="{c}" cx="{n(x)}" cy="{n(y)}" rx="{n(rx)}" ry="{n(ry)}"/>')

    def path(self, d: str, c: str) -> None:
        """A path as SVG path data, which lettering does not keep off."""
        self._out.append(f'<path class="{c}" d="{d}"/>')

    def poly(self, points: Sequence[tuple[float, float]], c: str, close: bool = False) -> None:
        """A line through points, closed if asked."""
        xs, ys = [x for x, _ in points], [y for _, y in points]
        if strokes := self._strokes(c, Box(min(xs), min(ys), max(xs), max(ys))):
            strokes.lines += chain([*points, points[0]] if close else points)
        self.path("M" + "L".join([f"{n(x)} {n(y)}" for x, y in points]) + ("Z" if close else ""), c)

    # ------------------------------------------------------------ arrows
    def tip(self, x: float, y: float, angle: float, c: str = "live-tip", size: float = 10.0) -> None:
        """An arrowhead with its point at (x, y); ``angle`` in degrees, 0 to the right, clockwise on the sheet."""
        a = math.radians(angle)
        self.register.thick.lines.append((x, y, x - size * math.cos(a), y - size * math.sin(a)))
        self.path(arrowhead(x, y, angle, size, 0.36 * size), c)

    def dim_h(
        self,
        x1: float,
        x2: float,
        y: float,
        text: str,
        ext: tuple[float | None, float | None] = (None, None),
        live: bool = False,
    ) -> None:
        """A level dimension from x1 to x2 at y; ``ext`` are the heights its extension lines come from."""
        x1, x2 = min(x1, x2), max(x1, x2)
        for x, start in zip((x1, x2), ext, strict=True):
            if start is not None and abs(y - start) > 4:
                way = 1 if y > start else -1
                self.line(x, start + 3 * way, x, y + 5 * way, "ext")
        c, look = ("dim live", "size live") if live else ("dim", "size")
        mid = (x1 + x2) / 2
        if x2 - x1 >= 30:
            self.line(x1, y, x2, y, c)
            end = 4.0
        else:
            self.line(x1 - 16, y, x1, y, f"{c} in")
            self.line(x2 + 16, y, x2, y, f"{c} in")
            self.line(x1, y, x2, y, "ext")
            end = 20.0
        over = [Spot(mid, y - 5), Spot(mid, y + 15)]
        beside = [Spot(x2 + end, y + 4.5, "start"), Spot(x1 - end, y + 4.5, "end")]
        roomy = x2 - x1 >= width(text, 14) + 2
        self._tie(text, over + beside if roomy else beside + over, look)

    def dim_v(
        self,
        x: float,
        y1: float,
        y2: float,
        text: str,
        ext: tuple[float | None, float | None] = (None, None),
        live: bool = False,
        side: str = "left",
    ) -> None:
        """An upright dimension from y1 to y2 at x. Its text stands turned on the left, level on the right."""
        y1, y2 = min(y1, y2), max(y1, y2)
        for y, start in zip((y1, y2), ext, strict=True):
            if start is not None and abs(x - start) > 4:
                way = 1 if x > start else -1
                self.line(start + 3 * way, y, x + 5 * way, y, "ext")
        c, look = ("dim live", "size live") if live else ("dim", "size")
        if y2 - y1 >= 26:
            self.line(x, y1, x, y2, c)
        else:
            self.line(x, y1 - 16, x, y1, f"{c} in")
            self.line(x, y2 + 16, x, y2, f"{c} in")
            self.line(x, y1, x, y2, "ext")
        m = (y1 + y2) / 2
        level = (Spot(x + 7, m + 4.5, "start"), Spot(x - 7, m + 4.5, "end"))
        turned = (Spot(x - 5, m, "mid", True), Spot(x + 14, m, "mid", True))
        fits = width(text, 14) < y2 - y1 + 24
        spots = (turned[0], level[1], level[0], turned[1]) if side == "left" else (*level, *turned)
        if side == "left" and not fits:
            spots = (level[1], level[0], turned[0], turned[1])
        self._tie(text, list(spots), look)

    def _tie(self, text: str, spots: list[Spot], look: str) -> None:
        """The words of a dimension: where they must stand apart, a pointing line ties them to it."""
        if text:
            self.lettering.ask(text, tuple(spots), look, tied=True)

    def leader(self, x: float, y: float, tx: float, ty: float, text: str, look: str = "size") -> None:
        """A pointing line from (x, y) with its words near (tx, ty); it is drawn to where they come to stand."""
        anchor = "start" if tx >= x else "end"
        self.label(text, Spot(tx, ty + 4.5, anchor), look=look, lead=(x, y))

    # ------------------------------------------------------------ lettering
    def label(
        self,
        text: str,
        *spots: Spot,
        look: str = "size",
        lead: tuple[float, float] | None = None,
        optional: bool = False,
    ) -> None:
        """Ask for a label at the first of these spots that is free; at the foot of the sheet if none is near.

        An optional label (a tick) is left out instead. ``lead`` draws a pointing line from there to the words.
        """
        if text:
            self.lettering.ask(text, spots, look, lead, optional)

    def note(self, text: str, look: str = "say") -> None:
        """A line of words at the foot of the sheet."""
        if text:
            self.lettering.note(text, look)

    def paper(self, pitch: float, x: float, y: float) -> None:
        """Graph paper over the whole sheet, a line through (x, y), one square ``pitch`` wide."""
        self._under.append(
            f'<pattern id="{self.fid}-paper" patternUnits="userSpaceOnUse" x="{n(x)}" y="{n(y)}" '
            f'width="{n(pitch)}" height="{n(pitch)}"><path class="grid" d="M{n(pitch)} 0H0V{n(pitch)}"/></pattern>'
        )
        self._under.append(
            f'<rect x="0" y="0" width="{n(self.width)}" height="{n(self.height)}" fill="url(#{self.fid}-paper)"/>'
        )

    def words(self) -> tuple[str, ...]:
        """Every text written on the sheet so far; complete after ``finish``."""
        return tuple(self.lettering.words)

    def body(self) -> str:
        """Place the labels and give the shapes and words without the frame of an SVG element."""
        self.height = self.lettering.settle(self.width, self.height)
        return "\n".join((*self._under, *self._out, *self.lettering.out))

    def finish(self, title: str, desc: str) -> str:
        """The drawing as one SVG element with title and description. The sheet grows for words at its foot."""
        body = self.body()
        return (
            f'<svg class="{self.cls}" viewBox="0 0 {n(self.width)} {n(self.height)}" role="img" '
            f'aria-labelledby="{self.fid}-t {self.fid}-d">\n'
            f'<title id="{self.fid}-t">{safe(title)}</title>\n<desc id="{self.fid}-d">{safe(desc)}</desc>\n'
            f"{body}\n</svg>"
        )
