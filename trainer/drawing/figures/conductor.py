"""Central conductors: in the middle of a bore, against it with its reach, in several passes, alone in air."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _inside(sheet: Sheet, outer: float) -> float:
    """Bore diameter: as given, from the wall, or three quarters of the outside."""
    inner = sheet.value("inside", outer - 2 * sheet.value("wall", outer / 8))
    return min(max(inner, outer * 0.05), outer * 0.995)


def centred(sheet: Sheet) -> None:
    """End view in section: sleeve, conductor in the middle of its bore, field round it."""
    pen, outer = sheet.pen, sheet.value("outside")
    inner = _inside(sheet, outer)
    d = min(max(sheet.value("conductor", inner / 3), inner * 0.06), inner * 0.95)
    big, scale = 84.0, 168 / max(outer, 1e-12)
    r, bar = inner * scale / 2, sheet.kept(d * scale / 2, 3)
    cx, cy = 130.0, 26 + big
    pen.height = cy + big + 52
    sheet.squares(scale, cx, cy)
    layout.ring(pen, cx, cy, big, r)
    for share in (0.4, 0.75):
        if r - bar > 16:
            layout.circling(pen, cx, cy, bar + (r - bar) * share)
    layout.cross(pen, cx, cy, big, big)
    layout.into_page(pen, cx, cy, bar)
    sheet.dim_h("outside", cx - big, cx + big, cy + big + 34, (cy, cy))
    x = cx + big + 26
    sheet.put("current", Spot(x, 40, "start"))
    sheet.put("rate", Spot(x, 60, "start"))
    sheet.point("inside", *layout.polar(cx, cy, r, 26), x, cy - 30)
    sheet.point("wall", *layout.polar(cx, cy, (r + big) / 2, -8), x, cy + 20)
    sheet.point("conductor", *layout.polar(cx, cy, bar, -30), x, cy + 52)
    sheet.say(_("The current runs into the page; the field runs round it clockwise."))


def offset(sheet: Sheet) -> None:
    """End view in section: conductor lying on the bore, the arc one shot reaches, the shots that go round."""
    pen = sheet.pen
    d = sheet.value("conductor")
    outer = sheet.value("outside", 5 * d + 2 * sheet.value("wall", d))
    outer = max(outer, d * 1.1)
    inner = max(_inside(sheet, outer), d)
    big, scale = 66.0, 132 / max(outer, 1e-12)
    r, bar = min(inner * scale / 2, big - 1), sheet.kept(d * scale / 2, 3)
    cx, cy = 150.0, 46 + big
    pen.height = cy + big + 54
    sheet.squares(scale, cx, cy)
    layout.ring(pen, cx, cy, big, r)
    layout.cross(pen, cx, cy, big, big)
    _reaches(sheet, cx, cy, big, r, min(4 * d / max(outer, 1e-12), math.pi))
    layout.into_page(pen, cx, cy - r + bar, bar)
    x = cx + big + 42
    sheet.point("conductor", *layout.polar(cx, cy - r + bar, bar, -40), x + 6, cy - 36)
    sheet.point("wall", *layout.polar(cx, cy, (r + big) / 2, -12), x + 6, cy + 44)
    sheet.put("inside", Spot(cx, cy + 25), Spot(cx, cy + r / 2))
    sheet.put("outside", Spot(cx, cy + 43), Spot(x, 60, "start"))
    sheet.put("current", Spot(x, 26, "start"), Spot(12, 26, "start"))
    sheet.put("rate", Spot(x, 44, "start"), Spot(12, 44, "start"))
    sheet.say(_("The part hangs on the conductor; the thick arc is the reach of the first shot."))


def _reaches(sheet: Sheet, cx: float, cy: float, big: float, r: float, half: float) -> None:
    """The arc of each shot outside the ring; only the first two where the number of shots is asked for."""
    pen, wide = sheet.pen, 2 * math.degrees(half)
    overlap = min(max(sheet.value("overlap", 0.1), 0), 0.9)
    need = sheet.pieces("shots", 360 / max(wide * (1 - overlap), 1))
    drawn = min(need, 1 if not sheet.has("shots") else 2 if sheet.unknown("shots") else 24)
    step = wide * (1 - overlap) if sheet.unknown("shots") else 360 / need
    for k in range(drawn):
        mid, out = 90 + k * step, big + 9 + 8 * (k % 2)
        arc = layout.arc_points(cx, cy, out, mid - wide / 2, mid + wide / 2)
        pen.poly(arc, "reach ghosted" if k else "reach")
        if drawn > 1:
            pen.label(str(k + 1), Spot(*layout.polar(cx, cy + 4.5, big + 32, mid)), look="say", optional=True)
    sheet.numbered(N_("Drawn are the shots %(numbers)s."), drawn)
    start, end = 90 + step - wide / 2, 90 + wide / 2
    if drawn > 1 and 0.5 < end - start < 180:
        outer, inner = layout.arc_points(cx, cy, big, start, end), layout.arc_points(cx, cy, r, end, start)
        pen.poly([*outer, *inner], "overlap", close=True)
    sheet.put("shots", Spot(12, cy + big + 48, "start"))
    sheet.put("reach", Spot(cx, cy + big + 48), Spot(cx + 60, cy + big + 48))


def passes(sheet: Sheet) -> None:
    """Side view in section: a sleeve with the cable led through it several times."""
    pen = sheet.pen
    count, exact = sheet.count("passes", 2, 7)
    x0, x1, top = 84.0, 236.0, 40.0 + 9 * count
    bottom = top + 12 + 14 * max(count, 3)
    pen.height = bottom + 66
    for y in (top - 16, bottom):
        pen.rect(x0, y, x1 - x0, 16, "edge hatched")
    levels = [top + (bottom - top) * (k + 0.5) / count for k in range(count)]
    for k, y in enumerate(levels):
        out, back = 22.0 + 8 * k, top - 28 - 8 * k
        pen.line(x0 - out - 8, y, x1 + out, y, "cable thin")
        pen.tip((x0 + x1) / 2 + 6, y, 0, "live-tip", 12)
        if k + 1 < count:
            left = x0 - out - 16
            pen.poly([(x1 + out, y), (x1 + out, back), (left, back), (left, levels[k + 1])], "cable thin")
    pen.line(x0 - 20, (top + bottom) / 2, x1 + 20, (top + bottom) / 2, "axis")
    sheet.put("current", Spot(12, top + 2, "start"), Spot(12, 24, "start"))
    sheet.put("passes", Spot(x1 + 46, top + 14, "start"))
    sheet.put("single", Spot((x0 + x1) / 2, bottom + 38))
    sheet.say(_("The way back outside the sleeve is left out."))
    if not exact:
        sheet.say(_("Only some passes are drawn."))


def in_air(sheet: Sheet) -> None:
    """End view: a conductor and the circle on which the field is asked for."""
    pen, r = sheet.pen, sheet.value("distance")
    d = min(sheet.value("conductor", r / 4), 2 * r)
    big, scale = 84.0, 84 / max(r, 1e-12)
    cx, cy = 128.0, 116.0
    pen.height = 232
    sheet.squares(scale, cx, cy)
    layout.circling(pen, cx, cy, big)
    pen.circle(cx, cy, big / 2, "ghost")
    layout.cross(pen, cx, cy, big, big)
    x, y = layout.polar(cx, cy, big, 35)
    pen.line(cx, cy, x, y, "dim live in" if sheet.live("distance") else "dim in")
    layout.into_page(pen, cx, cy, sheet.kept(d * scale / 2, 4))
    sheet.put("distance", Spot(x + 10, y - 2, "start"))
    sheet.put("current", Spot(cx + big + 22, cy + 26, "start"))
    sheet.put("passes", Spot(cx + big + 22, cy + 46, "start"))
    sheet.put("conductor", Spot(cx + big + 22, cy + 66, "start"))
    sheet.put("field", Spot(cx + big + 22, 24, "start"))
    sheet.put("flux", Spot(cx + big + 22, 44, "start"))
    sheet.say(_("The current runs into the page; the field runs round it clockwise."))


_CURRENT, _RATE = Role("current", N_("current")), Role("rate", N_("current per diameter"))
_BAR = Role("conductor", N_("conductor diameter"), "length")
_BORE, _WALL = Role("inside", N_("bore of the part"), "length"), Role("wall", N_("wall thickness"), "length")
KINDS = (
    Kind(
        "conductor-centred",
        N_("Central conductor in the middle of a bore"),
        N_("End view in section."),
        (Role("outside", N_("part outside diameter"), "length", True), _BORE, _WALL, _BAR, _CURRENT, _RATE),
        centred,
        {},
    ),
    Kind(
        "conductor-offset",
        N_("Central conductor against the bore"),
        N_("End view in section."),
        (
            Role("conductor", N_("conductor diameter"), "length", True),
            Role("outside", N_("part outside diameter"), "length"),
            _BORE,
            _WALL,
            _CURRENT,
            _RATE,
            Role("overlap", N_("overlap of neighbours"), "share"),
            Role("shots", N_("shots to go round"), "count"),
            Role("reach", N_("arc that one shot reaches"), "length"),
        ),
        offset,
        {},
    ),
    Kind(
        "conductor-passes",
        N_("Cable led through the part several times"),
        N_("Side view in section."),
        (
            Role("passes", N_("passes through the part"), "count"),
            _CURRENT,
            Role("single", N_("current for one pass")),
        ),
        passes,
        {},
    ),
    Kind(
        "conductor-field",
        N_("Field round a conductor"),
        N_("End view."),
        (
            Role("distance", N_("distance from the axis"), "length", True),
            _BAR,
            _CURRENT,
            Role("passes", N_("passes"), "count"),
            Role("field", N_("field there")),
            Role("flux", N_("flux density in air there")),
        ),
        in_air,
        {},
    ),
)
