"""A bar or tube that carries the current itself, beside the same tube over a central conductor."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.drawing.fieldpictures.graph import Graph, even_top
from trainer.drawing.fieldpictures.picture import (
    WINDOW_WORDS,
    Fact,
    FieldKind,
    field_says,
    length_says,
    metre,
    metres,
)
from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Role, Sheet
from trainer.drawing.register import Spot
from trainer.drawing.text import quantity
from trainer.fields import tube, wire
from trainer.fields.window import WINDOWS
from trainer.languages import N_, _


@dataclass(frozen=True, slots=True)
class _Setup:
    """Outer radius, bore radius, radius of the bar in the bore, all in metres, and the current."""

    outer: float
    inner: float
    bar: float
    current: float

    def head_shot(self, r: float) -> float:
        """The field at r when the tube carries the current."""
        return tube.head_shot(self.current, self.outer, self.inner, r)

    def solid(self, r: float) -> float:
        """The same for a solid bar of this diameter."""
        return tube.head_shot(self.current, self.outer, 0.0, r)

    def central(self, r: float) -> float:
        """The field at r when a bar in the bore carries it."""
        return tube.central(self.current, self.bar, r)


def _setup(sheet: Sheet) -> _Setup:
    around = metres(sheet, "perimeter", 0.0) / math.pi
    outer = metres(sheet, "diameter", around) / 2
    inner = metres(sheet, "inside", outer) / 2
    current = sheet.value("current", sheet.value("rate") * sheet.value("diameter"))
    return _Setup(outer, inner, inner / 2, current)


def facts(sheet: Sheet) -> tuple[Fact, ...]:
    """The field at the outside, which is the same for all, and at the bore, which is not."""
    it, window = _setup(sheet), WINDOWS[sheet.word("window")]
    bore = length_says(sheet, 2 * it.inner)
    far = wire.reach(it.current, window.low)
    beyond = (
        _("to %(length)s off the surface", length=length_says(sheet, far - it.outer))
        if far > it.outer
        else _("nowhere")
    )
    return (
        Fact(
            _("At the outside, solid or tube, head shot or central conductor"),
            field_says(it.head_shot(it.outer)),
        ),
        Fact(_("At a bore of %(bore)s, head shot", bore=bore), _("no field at all")),
        Fact(_("At a bore of %(bore)s, central conductor", bore=bore), field_says(it.central(it.inner))),
        Fact(_("The lower end of the window is reached in the air"), beyond),
    )


def paint(sheet: Sheet) -> None:
    """End view of the tube with the window's circles in air, and below it the field across its middle.

    A solid part is drawn solid; the bore of the tube beside which it is held is a thin line in it.
    """
    it, unit, window = _setup(sheet), metre(sheet), WINDOWS[sheet.word("window")]
    end = max(1.25 * it.outer, min(1.08 * wire.reach(it.current, window.low), 2.2 * it.outer))
    cx, scale = 206.0, 160 / end
    cy = 20 + min(end, 1.4 * it.outer) * scale
    sheet.pen.height = 2 * cy + 188
    sheet.squares(scale * unit, cx, cy)
    if sheet.has("inside"):
        layout.ring(sheet.pen, cx, cy, it.outer * scale, it.inner * scale)
    else:
        sheet.pen.circle(cx, cy, it.outer * scale, "edge hatched")
        sheet.pen.circle(cx, cy, it.inner * scale, "ghost")
    layout.cross(sheet.pen, cx, cy, it.outer * scale, it.outer * scale)
    for level, look in ((window.low, "contour"), (window.high, "flux")):
        r = wire.reach(it.current, level)
        if it.outer < r < end:
            _part_circle(sheet, cx, cy, r * scale, cy - 12, look, quantity(level / 1000, "kA/m", 2))
    _graph(sheet, it, cx - 160, end / unit, sheet.pen.height - 46)


def _part_circle(sheet: Sheet, cx: float, cy: float, r: float, room: float, look: str, says: str) -> None:
    """A circle, or its two sides where there is no room for all of it, with the field it stands for."""
    half = 180.0 if r <= room else math.degrees(math.asin(room / r))
    for middle in (0.0, 180.0) if half < 180 else (0.0,):
        sheet.pen.poly(layout.arc_points(cx, cy, r, middle - half, middle + half), look)
    x, y = layout.polar(cx, cy, r, -min(half, 30) * 0.9)
    sheet.pen.label(says, Spot(min(x + 12, 322), y + 22, "start"), look="say", lead=(x, y))


def _graph(sheet: Sheet, it: _Setup, left: float, end: float, base: float) -> None:
    """The graph stands under the drawing, at the same scale."""
    unit, window = metre(sheet), WINDOWS[sheet.word("window")]
    most = 1.4 * it.head_shot(it.outer) / 1000
    graph = Graph(sheet, left, base, 320, 118, -end, end, even_top(most, window))
    graph.band(window)
    graph.axes(_("Field, kA/m"), _("from the axis, %(unit)s", unit=sheet.unit))
    sides = [way * r / unit for r in (it.bar, it.inner, it.outer) for way in (-1, 1)]
    graph.curve(lambda r: it.solid(abs(r) * unit) / 1000, "flux", _("solid, head shot"), 0.56, sides)
    graph.curve(
        lambda r: it.central(abs(r) * unit) / 1000 if abs(r) * unit >= it.bar else math.inf,
        "fine", _("central conductor"), 0.3, sides,
    )  # fmt: skip
    graph.curve(lambda r: it.head_shot(abs(r) * unit) / 1000, "trace", _("tube, head shot"), 0.62, sides)


KIND = FieldKind(
    "tube",
    N_("Head shot and central conductor"),
    N_("End view of the part, and the field from its axis outwards."),
    (
        Role("diameter", N_("outside diameter"), "length"),
        Role("perimeter", N_("way round the section"), "length"),
        Role("inside", N_("bore"), "length"),
        Role("current", N_("current"), "current"),
        Role("rate", N_("current per diameter")),
    ),
    paint,
    {"window": WINDOW_WORDS},
    N_(
        "A long round part, the current even over its section; where the exercise has no bore, the thin circle is one "
        "of half the outside diameter, for comparison. Alternating current crowds under the surface and leaves the "
        "same field outside. A flat or notched section has more at its edges and less on its flats."
    ),
    facts,
)
