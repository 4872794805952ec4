"""Current through the part itself: a head shot on a round or odd section, and the field round a bar."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _heads(pen: Pen, x0: float, x1: float, y: float, high: float) -> None:
    """Contact heads with copper pads at both ends of the part."""
    pen.rect(x0 - 8, y - high, 8, 2 * high, "edge wire-solid")
    pen.rect(x1, y - high, 8, 2 * high, "edge wire-solid")
    pen.rect(x0 - 22, y - high - 8, 14, 2 * high + 16, "edge hatched")
    pen.rect(x1 + 8, y - high - 8, 14, 2 * high + 16, "edge hatched")


def head_shot(sheet: Sheet) -> None:
    """Side view between contact heads and end view; a round section, or a flat one with its perimeter."""
    pen = sheet.pen
    d = sheet.value("diameter", sheet.value("perimeter", math.pi) / math.pi)
    length = sheet.value("length", 3.4 * d)
    scale = min(162 / max(length, 1e-12), 76 / max(d, 1e-12))
    half = sheet.kept(d * scale / 2, 2.0)
    y, x0 = 40 + half + 30, 48.0
    x1 = x0 + sheet.kept(length * scale, 20)
    ex = 296.0
    pen.height = y + half + 84
    if sheet.has("length") or sheet.has("diameter"):
        sheet.squares(scale, x0, y - half)
    _heads(pen, x0, x1, y, half + 12)
    pen.rect(x0, y - half, x1 - x0, 2 * half, "edge solid")
    pen.line(x0 - 34, y, x1 + 34, y, "axis")
    inset = min(12, (x1 - x0) / 5)
    for k in (-1, 0, 1) if half > 8 else (0,):
        layout.along(pen, x0 + inset, x1 - inset, y + k * half * 0.55, "flow")
    sheet.put("current", Spot((x0 + x1) / 2, y - half - 30), Spot(x0, 22, "start"))
    sheet.put("rate", Spot((x0 + x1) / 2, y - half - 10), Spot(x0, 40, "start"))
    sheet.dim_h("length", x0, x1, y + half + 50, (y + half, y + half))
    _section(sheet, ex, y, half)
    sheet.say(
        _(
            "The current runs along the part, in the end view into the page; the field runs round it clockwise."
        )
    )


def _section(sheet: Sheet, x: float, y: float, half: float) -> None:
    """End view: the round with field lines, or a flat bar of the perimeter with the round of equal perimeter."""
    pen = sheet.pen
    if not sheet.has("perimeter"):
        for r in (half + 10, half + 20):
            layout.circling(pen, x, y, r)
        layout.cross(pen, x, y, half + 14, half + 14)
        layout.into_page(pen, x, y, half)
        sheet.dim_h("diameter", x - half, x + half, y + half + 50, (y, y))
        return
    around = math.pi * half * 2
    w, h = around * 0.34, around * 0.16
    pen.rect(x - w / 2, y - h / 2, w, h, "edge hatched")
    pen.rect(x - w / 2 - 7, y - h / 2 - 7, w + 14, h + 14, "ghost")
    pen.circle(x, y, half, "ghost")
    sheet.put("perimeter", Spot(x, y + max(half, h / 2 + 7) + 20), Spot(x + 78, y + half + 20, "end"))
    sheet.put("diameter", Spot(x, y + half + 44), Spot(x + 78, y + half + 40, "end"))
    sheet.say(_("The dashed circle has the same way round as the flat section."))


def bar_section_field(sheet: Sheet) -> None:
    """End view of a bar and under it the field: rising inside, greatest at the surface, falling outside."""
    pen = sheet.pen
    r = sheet.value("diameter") / 2
    half, cx, y, base = 34.0, 150.0, 84.0, 226.0
    pen.height = base + 34
    sheet.squares(half / max(r, 1e-12), cx, y)
    for out in (12, 26):
        layout.circling(pen, cx, y, half + out)
    pen.line(cx - 80, y, cx + 80, y, "axis")
    pen.line(cx, 8, cx, base + 8, "axis")
    layout.into_page(pen, cx, y, half)
    high = 56.0
    for way in (-1, 1):
        outside = [(cx + way * half * k / 8, base - high * 8 / k) for k in range(8, 33)]
        pen.poly([(cx, base), *outside], "trace")
        pen.line(cx + way * half, y, cx + way * half, base, "ghost")
    pen.line(cx - half * 4, base, cx + half * 4, base, "edge")
    sheet.dim_h("diameter", cx - half, cx + half, base + 20, (base, base))
    sheet.put("current", Spot(cx + 88, 34, "start"), Spot(cx + 88, 54, "start"))
    sheet.point("field", cx + half, base - high, cx + half + 44, base - high - 14)
    sheet.put("flux", Spot(cx + half + 47, base - high + 14, "start"), Spot(cx + 88, 54, "start"))
    sheet.say(_("Below, the field along the line through the middle: greatest at the surface."))


_CURRENT = Role("current", N_("current"))
KINDS = (
    Kind(
        "head-shot",
        N_("Head shot"),
        N_("Side view and end view."),
        (
            Role("diameter", N_("diameter"), "length"),
            Role("perimeter", N_("way round the section"), "length"),
            Role("length", N_("part length"), "length"),
            _CURRENT,
            Role("rate", N_("current per diameter")),
        ),
        head_shot,
        {},
    ),
    Kind(
        "bar-section-field",
        N_("Field round a bar that carries current"),
        N_("End view in section."),
        (
            Role("diameter", N_("bar diameter"), "length", True),
            _CURRENT,
            Role("field", N_("field at the surface")),
            Role("flux", N_("flux density in air at the surface")),
        ),
        bar_section_field,
        {},
    ),
)
