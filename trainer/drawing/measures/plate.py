"""The plate of a measure: a pen whose lettering stands where the instrument maker puts it.

A figure looks for free places for its labels; an instrument has fixed ones. Both enter the same register, so
that overlapping lettering can be found by a test.
"""

from __future__ import annotations

import math

from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import safe, width

_SIZES = {"unit": 26.0, "reading": 22.0, "reading narrow": 17.0, "reading least": 13.0, "scale-num": 14.0}
_SIZES |= {"legend": 12.5, "tick": 12.0}


class Plate(Pen):
    """A pen for an instrument: fixed lettering, polar helpers, and a short form for marks inside a sentence."""

    def write(self, x: float, y: float, text: str, look: str, anchor: str = "mid") -> None:
        """Lettering exactly here. The font size follows from the class, as the style sheet has it."""
        size = _SIZES.get(look, 13.0)
        self.register.boxes.append(Spot(x, y, anchor).box(width(text, size), size))
        self.lettering.words.append(text)
        classes = look if anchor == "start" else f"{look} {anchor}"
        self._out.append(f'<text class="{classes}" x="{n(x)}" y="{n(y)}">{safe(text)}</text>')

    def free(self, x: float, y: float, text: str, look: str, anchor: str = "mid") -> bool:
        """True if lettering here would stand clear of all that is written."""
        size = _SIZES.get(look, 13.0)
        return self.register.free(Spot(x, y, anchor).box(width(text, size), size))

    def turned(self, degrees: float, x: float, y: float, inner: str) -> None:
        """A group turned about a point by the transform attribute; ``inner`` is SVG made by another pen."""
        self.raw(f'<g transform="rotate({n(degrees)} {n(x)} {n(y)})">{inner}</g>')

    def raw(self, svg: str) -> None:
        """SVG text made here from numbers, never from typed words."""
        self._out.append(svg)

    def brief(self, title: str) -> str:
        """The drawing as one SVG element with a title only: for small marks that stand inside a sentence."""
        return (
            f'<svg class="{self.cls}" viewBox="0 0 {n(self.width)} {n(self.height)}" role="img" '
            f'aria-labelledby="{self.fid}-t">\n<title id="{self.fid}-t">{safe(title)}</title>\n{self.body()}\n</svg>'
        )


def polar(x: float, y: float, r: float, degrees: float) -> tuple[float, float]:
    """A point about (x, y); degrees counter-clockwise from the right, as drawings count."""
    a = math.radians(degrees)
    return x + r * math.cos(a), y - r * math.sin(a)


def arc(x: float, y: float, r: float, start: float, end: float) -> str:
    """Path data of an arc from ``start`` to ``end`` degrees, counter-clockwise positive."""
    (x0, y0), (x1, y1) = polar(x, y, r, start), polar(x, y, r, end)
    large = int(abs(end - start) > 180)
    sweep = int(end <= start)
    return f"M{n(x0)} {n(y0)}A{n(r)} {n(r)} 0 {large} {sweep} {n(x1)} {n(y1)}"


def wedge(x: float, y: float, inner: float, outer: float, start: float, end: float) -> str:
    """Path data of a piece of a ring between two angles less than half a turn apart, start < end."""
    (x0, y0), (x1, y1) = polar(x, y, outer, start), polar(x, y, outer, end)
    (x2, y2), (x3, y3) = polar(x, y, inner, end), polar(x, y, inner, start)
    return (
        f"M{n(x0)} {n(y0)}A{n(outer)} {n(outer)} 0 0 0 {n(x1)} {n(y1)}"
        f"L{n(x2)} {n(y2)}A{n(inner)} {n(inner)} 0 0 1 {n(x3)} {n(y3)}Z"
    )
