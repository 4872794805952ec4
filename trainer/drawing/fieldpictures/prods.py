"""Two prods on a plate seen from above: contours of the field on the surface, and the field across the middle."""

from __future__ import annotations

import math

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
from trainer.fields import plate
from trainer.fields.window import WINDOWS
from trainer.languages import N_, _

_NEAR = 0.025  # m round each prod that ISO 9934-1 leaves out


def _current(sheet: Sheet) -> float:
    return sheet.value("current", sheet.value("rate") * sheet.value("spacing"))


def facts(sheet: Sheet) -> tuple[Fact, ...]:
    """The field in the middle, how wide it suffices across the middle, and near a contact."""
    spacing, current, window = metres(sheet, "spacing"), _current(sheet), WINDOWS[sheet.word("window")]
    squared = current * spacing / (2 * math.pi * window.low) - spacing**2 / 4
    wide = (
        _("%(length)s in all", length=length_says(sheet, 2 * math.sqrt(squared)))
        if squared > 0
        else _("nowhere there")
    )
    return (
        Fact(_("In the middle between the prods"), field_says(plate.on_surface(current, spacing, 0.0, 0.0))),
        Fact(_("Across the middle the lower end of the window is reached over"), wide),
        Fact(
            _("Close to a contact, 25 mm from it towards the other"),
            field_says(plate.on_surface(current, spacing, spacing / 2 - min(_NEAR, spacing / 4), 0.0)),
        ),
    )


def paint(sheet: Sheet) -> None:
    """View from above with contours, and below it the field along the line across the middle."""
    spacing, current, window = metres(sheet, "spacing"), _current(sheet), WINDOWS[sheet.word("window")]
    lines = {level: plate.contour(current, spacing, level) for level in (window.low, window.high)}
    points = [point for line in lines[window.low] for point in line]
    wide = max([point[0] for point in points] + [0.75 * spacing])
    tall = max([point[1] for point in points] + [0.3 * spacing])
    scale = min(170 / wide, 112 / tall)
    cx, cy = 190.0, 20 + tall * scale
    sheet.pen.height = cy + tall * scale + 206
    sheet.squares(scale * metre(sheet), cx - spacing * scale / 2, cy)
    for level, look in ((window.low, "contour"), (window.high, "flux")):
        for line in lines[level]:
            sheet.pen.poly([(cx + x * scale, cy - y * scale) for x, y in line], look)
        x, y = max((p for line in lines[level] for p in line), key=lambda p: p[0] + p[1])
        says = quantity(level / 1000, "kA/m", 2)
        at = (cx + x * scale, cy - y * scale)
        sheet.pen.label(says, Spot(min(at[0] + 14, 318), at[1] - 6, "start"), look="say", lead=at)
    half = spacing * scale / 2
    sheet.pen.line(cx - half, cy, cx + half, cy, "axis")
    layout.into_page(sheet.pen, cx - half, cy, 6)
    layout.out_of_page(sheet.pen, cx + half, cy, 6)
    _graph(sheet, spacing, current, tall, sheet.pen.height - 46)


def _graph(sheet: Sheet, spacing: float, current: float, tall: float, base: float) -> None:
    unit, window = metre(sheet), WINDOWS[sheet.word("window")]
    end = 1.1 * max(tall, spacing / 2) / unit
    most = plate.on_surface(current, spacing, 0.0, 0.0) / 1000
    graph = Graph(sheet, 46, base, 320, 108, -end, end, even_top(most, window))
    graph.band(window)
    graph.axes(_("Field, kA/m"), _("across the middle, %(unit)s", unit=sheet.unit))
    graph.curve(lambda y: plate.on_surface(current, spacing, 0.0, y * unit) / 1000, "trace")


KIND = FieldKind(
    "prods",
    N_("Field between and around the prods"),
    N_("View from above, and the field across the middle."),
    (
        Role("spacing", N_("prod spacing"), "length", True),
        Role("current", N_("current"), "current"),
        Role("rate", N_("current per spacing")),
        Role("thickness", N_("section thickness"), "length"),
    ),
    paint,
    {"window": WINDOW_WORDS},
    N_(
        "The plate is wide and flat, of one thickness, the prods stand upright and their leads run straight up; then "
        "the field on the surface is that of two long wires, whatever the thickness. So the picture says why the "
        "current goes with the spacing; that documents give thin sections less is theirs, not the model's. Edges, the "
        "weld and leads lying near change it."
    ),
    facts,
)
