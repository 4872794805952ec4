"""A sling with its legs at their angle, and the loads on an outlet."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def sling(sheet: Sheet) -> None:
    """A load on sling legs; the angle of a leg to the horizontal is true."""
    pen = sheet.pen
    angle = min(max(sheet.value("angle", 60.0), 4.0), 88.0)
    rise = min(112.0, 104 * math.tan(math.radians(angle)))
    run = rise / math.tan(math.radians(angle))
    cx, top = 148.0, 40.0
    base = top + rise
    pen.height = base + 130
    pen.line(cx, 12, cx, top, "edge")
    pen.circle(cx, top, 5, "edge solid")
    for way in (-1, 1):
        pen.line(cx, top + 3, cx + way * run, base, "edge")
        pen.circle(cx + way * run, base + 3, 4, "edge solid")
    pen.rect(cx - run - 20, base + 7, 2 * run + 40, 64, "edge solid")
    pen.line(cx, 4, cx, base + 100, "axis")
    reach = min(34.0, run * 0.8)
    pen.poly(layout.arc_points(cx - run, base, reach, 0, angle), "fine")
    pen.line(cx - run, base, cx + run, base, "ghost")
    sheet.put("angle", Spot(cx - run + reach + 8, base - 8, "start"), Spot(cx - run - 26, base - 2, "end"))
    sheet.point("leg", cx + run * 0.5, top + rise * 0.5, cx + run + 26, top + 8)
    sheet.put("mass", Spot(cx, base + 44), Spot(cx + run + 30, base + 44, "start"))
    sheet.put("legs", Spot(cx + run + 30, top + 32, "start"), Spot(12, 22, "start"))
    pen.line(cx, base + 74, cx, base + 104, "edge")
    pen.tip(cx, base + 110, 90, "hatched-mark")
    sheet.put("weight", Spot(cx + 12, base + 104, "start"))
    sheet.scale_says = (
        _("the angle is true")
        if sheet.has("angle") and 4 <= sheet.value("angle") <= 88
        else _("not to scale")
    )
    sheet.say(_("Two of the legs are seen."))


def outlet_load(sheet: Sheet) -> None:
    """The plate limit of an outlet as a bar and the loads stacked in it."""
    pen = sheet.pen
    volts = max(sheet.value("voltage", 230.0), 1e-9)
    first, second = max(sheet.value("first", 0), 0.0), max(sheet.value("second", 0), 0.0) / volts
    limit = max(sheet.value("limit", first + second), 1e-9)
    x0, y, wide = 26.0, 62.0, 300.0
    scale = wide / max(limit, first + second)
    a, b = x0 + first * scale, x0 + (first + second) * scale
    pen.height = 178
    pen.rect(x0, y, max(first * scale, 0.5), 34, "hatch-live")
    pen.rect(a, y, max(b - a, 0.5), 34, "hatched-back")
    pen.rect(x0, y, max(a - x0, 0.5), 34, "edge")
    pen.rect(a, y, max(b - a, 0.5), 34, "edge")
    end = x0 + limit * scale
    pen.line(end, y - 20, end, y + 46, "limit")
    pen.line(x0, y + 34, x0 + wide + 8, y + 34, "edge")
    sheet.put("limit", Spot(end - 6, y - 10, "end"), Spot(end + 6, y - 10, "start"))
    sheet.put("first", Spot((x0 + a) / 2, y + 54), Spot(x0, y + 54, "start"))
    sheet.put("second", Spot((a + b) / 2, y + 54), Spot(a + 4, y + 72, "start"))
    sheet.dim_h("total", x0, b, y + 90, (y + 34, y + 34))
    sheet.dim_h("left", b, end, y + 90, (y + 34, y + 46))
    sheet.put("voltage", Spot(x0, 24, "start"))
    sheet.scale_says = _("currents to scale")
    sheet.say(_("The upright line is the limit on the plate."))


KINDS = (
    Kind(
        "sling",
        N_("Load on a sling"),
        N_("Side view."),
        (
            Role("angle", N_("angle of a leg to the horizontal"), "angle"),
            Role("leg", N_("load in each leg")),
            Role("mass", N_("mass of the load")),
            Role("legs", N_("legs"), "count"),
            Role("weight", N_("weight of the load")),
        ),
        sling,
        {},
    ),
    Kind(
        "outlet-load",
        N_("Loads on an outlet"),
        N_("Current runs from left to right."),
        (
            Role("voltage", N_("outlet voltage")),
            Role("first", N_("first load, in A")),
            Role("second", N_("second load, in W")),
            Role("total", N_("both together")),
            Role("limit", N_("limit on the plate")),
            Role("left", N_("left over")),
        ),
        outlet_load,
        {},
    ),
)
