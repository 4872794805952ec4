"""The pen: lines, arrows and lettering of one drawing, written as SVG text.

Coordinates are SVG units, y downwards; a sheet is 380 wide, so that a unit is about a pixel on a phone. Lines of
the classes in ``SOLID`` are kept in the register, and labels are placed last, off those lines and off each other.
Classes only (palette ``page``), or presentation attributes (palette ``paper``); never a style attribute.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import cache

from trainer.drawing import paper
from trainer.drawing.arrow import arrowhead
from trainer.drawing.lettering import Lettering
from trainer.drawing.register import Spot, chain
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import safe, width

SHEET = 380.0
SOLID = frozenset({"edge", "cable", "trace", "reach", "dim", "wire", "hatched", "limit", "leader", "contour"})


@cache
def _solid(classes: str) -> bool:
    return not SOLID.isdisjoint(classes.split())


class Pen:
    """One drawing in the making. Draw shapes, ask for labels, then ``finish``."""

    def __init__(
        self,
        fid: str,
        width: float = SHEET,
        height: float = 0.0,
        palette: str = "page",
        cls: str = "figure",
    ) -> None:
        self.fid, self.width, self.height, self.palette, self.cls = fid, width, height, palette, cls
        self.lettering = Lettering(self._look, heads=palette == "paper")
        self.register = self.lettering.register
        self._under: list[str] = []
        self._out: list[str] = []

    # ------------------------------------------------------------ shapes
    def _look(self, classes: str, text: bool = False) -> str:
        if self.palette == "paper":
            return paper.attributes(classes, self.fid, text)
        return f' class="{classes}"' if classes else ""

    def line(self, x1: float, y1: float, x2: float, y2: float, c: str) -> None:
        """A straight line of class ``c``."""
        if _solid(c):
            self.register.lines.append((x1, y1, x2, y2))
        self._out.append(f'<line{self._look(c)} x1="{n(x1)}" y1="{n(y1)}" x2="{n(x2)}" y2="{n(y2)}"/>')

    def rect(self, x: float, y: float, w: float, h: float, c: str) -> None:
        """An upright rectangle from its upper left corner."""
        if _solid(c):
            corners = [(x, y), (x + w, y), (x + w, y + h), (x, y + h), (x, y)]
            self.register.lines += chain(corners)
        self._out.append(f'<rect{self._look(c)} x="{n(x)}" y="{n(y)}" width="{n(w)}" height="{n(h)}"/>')

    def circle(self, x: float, y: float, r: float, c: str) -> None:
        """A circle; its line, not its inside, is kept free of lettering."""
        if _solid(c):
            self.register.circles.append((x, y, r))
        self._out.append(f'<circle{self._look(c)} cx="{n(x)}" cy="{n(y)}" r="{n(r)}"/>')

    def ellipse(self, x: float, y: float, rx: float, ry: float, c: str) -> None:
        """An upright ellipse; its line is kept free of lettering."""
        around_it = [
            (x + rx * math.cos(a * math.pi / 8), y + ry * math.sin(a * math.pi / 8)) for a in range(17)
        ]
        if _solid(c):
            self.register.lines += chain(around_it)
        self._out.append(f'<ellipse{self._look(c)} cx="{n(x)}" cy="{n(y)}" rx="{n(rx)}" ry="{n(ry)}"/>')

    def path(self, d: str, c: str, along: Sequence[tuple[float, float]] = ()) -> None:
        """A path as SVG path data; ``along`` are points near it that lettering keeps off."""
        self.register.lines += chain(along)
        self._out.append(f'<path{self._look(c)} d="{d}"/>')

    def poly(self, points: Sequence[tuple[float, float]], c: str, close: bool = False) -> None:
        """A line through points, closed if asked."""
        along = [*points, points[0]] if close else points
        d = "M" + "L".join(f"{n(x)} {n(y)}" for x, y in points) + ("Z" if close else "")
        self.path(d, c, along if _solid(c) else ())

    def turned(self, degrees: float, x: float, y: float, c: str, inner: str) -> None:
        """A group turned about a point by the transform attribute; ``inner`` is SVG made by another pen."""
        self._out.append(f'<g{self._look(c)} transform="rotate({n(degrees)} {n(x)} {n(y)})">{inner}</g>')

    # ------------------------------------------------------------ arrows
    def tip(self, x: float, y: float, angle: float, c: str = "live-tip", size: float = 10.0) -> None:
        """An arrowhead with its point at (x, y); ``angle`` in degrees, 0 to the right, clockwise on the sheet."""
        self._out.append(f'<path{self._look(c)} d="{arrowhead(x, y, angle, size, 0.36 * size)}"/>')

    def _slender(self, x: float, y: float, angle: float, c: str) -> None:
        """The arrowhead of a thin line, as the pages' own marker has it."""
        self._out.append(f'<path{self._look(c)} d="{arrowhead(x, y, angle, 11, 1.9)}"/>')

    def arrows(self, x1: float, y1: float, x2: float, y2: float, c: str = "dim") -> None:
        """A thin line with slender arrows: class ``dim`` at both ends, ``dim in`` only at the end."""
        self.line(x1, y1, x2, y2, c)
        if self.palette != "paper":
            return
        head = "arrowhead-live" if "live" in c.split() else "arrowhead"
        angle = math.degrees(math.atan2(y2 - y1, x2 - x1))
        self._slender(x2, y2, angle, head)
        if "in" not in c.split() and "weight" not in c.split():
            self._slender(x1, y1, angle + 180, head)

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
            self.arrows(x1, y, x2, y, c)
            end = 4.0
        else:
            self.arrows(x1 - 16, y, x1, y, f"{c} in")
            self.arrows(x2 + 16, y, x2, y, f"{c} in")
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
            self.arrows(x, y1, x, y2, c)
        else:
            self.arrows(x, y1 - 16, x, y1, f"{c} in")
            self.arrows(x, y2 + 16, x, y2, f"{c} in")
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
            f'width="{n(pitch)}" height="{n(pitch)}">'
            f'<path{self._look("grid")} d="M{n(pitch)} 0H0V{n(pitch)}"/></pattern>'
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
        if self.palette == "paper":
            body = paper.patterns(self.fid) + "\n" + body
            space = ' xmlns="http://www.w3.org/2000/svg"'
            space += f' width="{n(self.width)}" height="{n(self.height)}"'
        else:
            space = f' class="{self.cls}"'
        return (
            f'<svg{space} viewBox="0 0 {n(self.width)} {n(self.height)}" role="img" '
            f'aria-labelledby="{self.fid}-t {self.fid}-d">\n'
            f'<title id="{self.fid}-t">{safe(title)}</title>\n<desc id="{self.fid}-d">{safe(desc)}</desc>\n'
            f"{body}\n</svg>"
        )
