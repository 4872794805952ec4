"""Small geometry that several figures share: points on a circle, arcs, breaks, spreading labels, cut turns."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from trainer.drawing.pen import Pen
from trainer.drawing.text import coordinate as n

Point = tuple[float, float]


def polar(cx: float, cy: float, r: float, degrees: float) -> Point:
    """The point at this radius and angle, counter-clockwise from the right as a draughtsman counts."""
    a = math.radians(degrees)
    return cx + r * math.cos(a), cy - r * math.sin(a)


def arc_points(cx: float, cy: float, r: float, start: float, end: float) -> list[Point]:
    """Points along an arc, about one for every six degrees."""
    steps = max(2, math.ceil(abs(end - start) / 6))
    return [polar(cx, cy, r, start + (end - start) * i / steps) for i in range(steps + 1)]


def bent(start: Point, first: Point, second: Point, end: Point) -> list[Point]:
    """Points along the curve from ``start`` to ``end`` that is drawn towards two others on its way (after Bézier)."""
    points = []
    for t in (k / 12 for k in range(13)):
        shares = ((1 - t) ** 3, 3 * t * (1 - t) ** 2, 3 * t * t * (1 - t), t**3)
        rows = list(zip(shares, (start, first, second, end), strict=True))
        points.append((sum(s * x for s, (x, _) in rows), sum(s * y for s, (_, y) in rows)))
    return points


def annulus(cx: float, cy: float, outer: float, inner: float) -> str:
    """Path data of a ring seen from its end, the hole left open."""
    out = f"M{n(cx - outer)} {n(cy)}"
    for x in (cx + outer, cx - outer):
        out += f"A{n(outer)} {n(outer)} 0 1 0 {n(x)} {n(cy)}"
    hole = f"ZM{n(cx - inner)} {n(cy)}"
    for x in (cx + inner, cx - inner):
        hole += f"A{n(inner)} {n(inner)} 0 1 1 {n(x)} {n(cy)}"
    return out + hole + "Z"


def ring(pen: Pen, cx: float, cy: float, outer: float, inner: float) -> None:
    """A ring in section, hatched, both its circles kept free of lettering."""
    pen.path(annulus(cx, cy, outer, inner), "edge hatched")
    pen.register.thick.circles += [(cx, cy, outer), (cx, cy, inner)]
    pen.register.hollows.append((cx, cy, outer, inner))


def cross(pen: Pen, cx: float, cy: float, rx: float, ry: float) -> None:
    """Centre lines of something round, twelve units longer than it on each side."""
    pen.line(cx - rx - 12, cy, cx + rx + 12, cy, "axis")
    pen.line(cx, cy - ry - 12, cx, cy + ry + 12, "axis")


def out_of_page(pen: Pen, x: float, y: float, r: float) -> None:
    """A conductor cut across, current towards the eye: circle with a dot."""
    pen.circle(x, y, r, "wire")
    pen.circle(x, y, max(1.6, r * 0.24), "wire-mark")


def into_page(pen: Pen, x: float, y: float, r: float) -> None:
    """A conductor cut across, current away from the eye: circle with a cross."""
    pen.circle(x, y, r, "wire")
    k = r * 0.58
    pen.path(
        f"M{n(x - k)} {n(y - k)}L{n(x + k)} {n(y + k)}M{n(x + k)} {n(y - k)}L{n(x - k)} {n(y + k)}",
        "wire-cross",
    )


def torn(x: float, y1: float, y2: float) -> list[Point]:
    """The zigzag of a part broken off, from y1 down to y2."""
    m = (y1 + y2) / 2
    bite = min(7.0, abs(y2 - y1) / 4)
    return [(x, y1), (x, m - bite), (x - 4, m - bite / 2), (x + 4, m + bite / 2), (x, m + bite), (x, y2)]


def dots(pen: Pen, x: float, y: float) -> None:
    """Three dots: and so on."""
    for k in (-6, 0, 6):
        pen.circle(x + k, y, 1.4, "arrowhead")


def spread(heights: Sequence[float], gap: float, low: float, high: float) -> list[float]:
    """The same heights moved apart until they are ``gap`` apart, in their order, as near as may be to their own."""
    order = sorted(range(len(heights)), key=lambda i: heights[i])
    places = [min(max(heights[i], low), high) for i in order]
    for i in range(1, len(places)):
        places[i] = max(places[i], places[i - 1] + gap)
    over = places[-1] - high if places else 0.0
    for i in range(len(places) - 1, -1, -1):
        limit = high - gap * (len(places) - 1 - i)
        if over > 0:
            places[i] = min(places[i], limit)
    result = [0.0] * len(places)
    for place, i in zip(places, order, strict=True):
        result[i] = place
    return result


def curve(f: Callable[[float], float], start: float, end: float, steps: int = 60) -> list[Point]:
    """Points (x, f(x)) at even steps."""
    return [(x, f(x)) for x in (start + (end - start) * i / steps for i in range(steps + 1))]


def along(pen: Pen, x1: float, x2: float, y: float, c: str = "flux") -> None:
    """A level line with an arrowhead near its end: field (flux) or current (flow)."""
    pen.line(x1, y, x2, y, c)
    pen.tip(x2, y, 0 if x2 > x1 else 180, "flux-tip" if c == "flux" else "live-tip")


def circling(pen: Pen, cx: float, cy: float, r: float) -> None:
    """A field line round a current that flows away from the eye: clockwise, with one arrowhead."""
    pen.circle(cx, cy, r, "flux")
    pen.tip(cx + 5, cy - r, 0, "flux-tip")
