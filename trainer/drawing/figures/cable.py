"""Leads: the run from pack to part, one lead and its section, leads side by side, heat in a lead."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _, pgettext


def cable_run(sheet: Sheet) -> None:
    """A pack, a lead out and a lead back, the part; the voltage taken by both, a joint where there is one."""
    pen = sheet.pen
    pen.height = 206
    x0, x1 = 96.0, 306.0
    pen.rect(22, 40, 74, 92, "edge solid")
    pen.label(_("pack"), Spot(59, 64), look="say")
    if sheet.has("length"):
        sheet.squares(210 / max(sheet.value("length"), 1e-12), x0, 56)
    for y in (56, 114):
        pen.circle(x0, y, 3, "wire-mark")
    pen.poly([(x0, 56), (x1, 56), (x1, 72)], "cable")
    pen.poly([(x0, 114), (x1, 114), (x1, 98)], "cable")
    pen.tip(x0 + 110, 56, 0, "live-tip", 13)
    pen.tip(x0 + 92, 114, 180, "live-tip", 13)
    pen.rect(x1 - 24, 72, 48, 26, "edge hatched")
    pen.label(pgettext("work piece", "part"), Spot(x1 + 29, 89, "start"), look="say")
    sheet.put("current", Spot((x0 + x1) / 2, 44), Spot(x0, 22, "start"))
    sheet.put("drop", Spot(59, 92), Spot(24, 150, "start"), Spot((x0 + x1) / 2, 24))
    sheet.put("resistance", Spot((x0 + x1) / 2 - 12, 90), Spot(x0 + 10, 24, "start"))
    if sheet.has("joint"):
        pen.rect(x0 + 44, 49, 16, 14, "edge wire-solid")
        sheet.point("joint", x0 + 52, 63, x0 + 66, 80)
    sheet.dim_h("length", x0, x1, 156, (114, 98))
    sheet.put("heat", Spot((x0 + x1) / 2, 184), Spot(22, 184, "start"))
    sheet.say(_("One lead runs out and one comes back."))


def one_lead(sheet: Sheet) -> None:
    """One lead stretched out, its section beside it, much larger."""
    pen = sheet.pen
    pen.height = 176
    x0, x1, y, ex = 24.0, 236.0, 64.0, 308.0
    if sheet.has("length"):
        sheet.squares((x1 - x0) / max(sheet.value("length"), 1e-12), x0, y)
    pen.rect(x0, y - 7, x1 - x0, 14, "edge wire-solid")
    pen.line(x0 - 12, y, x1 + 12, y, "axis")
    pen.circle(ex, y, 36, "edge wire-solid")
    layout.cross(pen, ex, y, 36, 36)
    sheet.dim_h("length", x0, x1, y + 46, (y + 7, y + 7))
    sheet.put("area", Spot(ex, y + 66), Spot(ex + 60, y + 66, "end"))
    sheet.put("resistance", Spot((x0 + x1) / 2, y - 20), Spot(x0, 24, "start"))
    sheet.put("material", Spot((x0 + x1) / 2, y - 38), Spot(x0, y + 80, "start"))
    sheet.put("leads", Spot(x0, y + 80, "start"))
    sheet.put("mass", Spot((x0 + x1) / 2, y + 80), Spot(x0, y + 98, "start"))
    sheet.say(_("The section beside the lead is drawn larger."))


def cable_section(sheet: Sheet) -> None:
    """A wire cut across, its diameter to scale on graph paper, its area written at it."""
    pen, r = sheet.pen, 72.0
    pen.height = 216
    d = sheet.value("diameter", math.sqrt(max(sheet.value("area", 1.0), 1e-12) * 4 / math.pi))
    cx, cy = 128.0, 92.0
    if sheet.has("diameter"):
        sheet.squares(2 * r / max(d, 1e-12), cx, cy)
    pen.circle(cx, cy, r, "edge wire-solid")
    layout.cross(pen, cx, cy, r, r)
    sheet.dim_h("diameter", cx - r, cx + r, cy + r + 34, (cy, cy))
    sheet.point("area", *layout.polar(cx, cy, r * 0.5, 30), cx + r + 30, cy - 50)
    sheet.point("mils", *layout.polar(cx, cy, r * 0.5, -20), cx + r + 30, cy + 16)


def parallel(sheet: Sheet) -> None:
    """Several leads side by side between two bars, the current divided among them."""
    pen = sheet.pen
    count, exact = sheet.count("leads", 2, 8)
    x0, x1, top = 88.0, 268.0, 52.0
    high = 22.0 * max(count, 2)
    pen.height = top + high + 52
    for k in range(count):
        y = top + high * (k + 0.5) / count
        pen.line(x0, y, x1, y, "cable")
        pen.tip((x0 + x1) / 2 + 6, y, 0, "live-tip", 13)
    for x in (x0 - 8, x1):
        pen.rect(x, top - 6, 8, high + 12, "edge wire-solid")
    mid = top + high / 2
    pen.line(x0 - 48, mid, x0 - 8, mid, "cable")
    pen.line(x1 + 8, mid, x1 + 48, mid, "cable")
    sheet.put("current", Spot(12, mid - 14, "start"), Spot(12, 24, "start"))
    sheet.put("leads", Spot(x1 + 16, mid - 14, "start"), Spot(x1, 24, "start"))
    sheet.put("single", Spot((x0 + x1) / 2, top - 16))
    sheet.put("together", Spot((x0 + x1) / 2, top + high + 26))
    sheet.put("heat", Spot((x0 + x1) / 2, top + high + 44), Spot(12, top + high + 44, "start"))
    sheet.say(_("All leads are alike."))
    if not exact:
        sheet.say(_("Only some of them are drawn."))


def two_leads(sheet: Sheet) -> None:
    """Two leads cut across at their spacing, go and return, pushing apart."""
    pen = sheet.pen
    spacing = sheet.value("spacing")
    scale = 150 / max(spacing, 1e-12)
    r = sheet.kept(sheet.value("radius", spacing / 8) * scale, 6, 70)
    a, b, y = 112.0, 262.0, 34.0 + r + 14
    pen.height = y + r + 74
    sheet.squares(scale, a, y)
    layout.out_of_page(pen, a, y, r)
    layout.into_page(pen, b, y, r)
    pen.line(a - r - 40, y, b + r + 40, y, "axis")
    for x, way in ((a - r, -1), (b + r, 1)):
        pen.line(x + 4 * way, y, x + 34 * way, y, "edge")
        pen.tip(x + 38 * way, y, 0 if way > 0 else 180, "hatched-mark")
    sheet.put("force", Spot(b + r + 8, y - 14, "start"), Spot(370, y - r - 14, "end"))
    sheet.put("current", Spot(a, y - r - 12), Spot(12, 22, "start"))
    sheet.dim_h("spacing", a, b, y + r + 34, (y, y))
    sheet.point("radius", *layout.polar(a, y, r, 225), a - r - 20, y + r + 20)
    sheet.put("length", Spot((a + b) / 2, y + r + 62))
    sheet.put("reactance", Spot((a + b) / 2, y - r - 12), Spot(368, 22, "end"))
    sheet.say(
        _(
            "Current comes out of the page on the left and goes into it on the right; the leads push each other apart."
        )
    )


def section_heat(sheet: Sheet) -> None:
    """A lead in section and a thermometer from its first to its last temperature."""
    pen = sheet.pen
    pen.height = 226
    cx, cy = 92.0, 106.0
    pen.circle(cx, cy, 44, "edge wire-solid")
    layout.cross(pen, cx, cy, 44, 44)
    x, top, foot = 232.0, 26.0, 178.0
    start, end = sheet.value("start", 20.0), sheet.value("end", math.nan)
    end = start + 60 if math.isnan(end) else end
    low, high = min(start, end, 0.0), max(start, end) + 1e-9
    room = foot - top - 14
    levels = [foot - 6 - room * (t - low) / (high - low) for t in (start, end)]
    pen.rect(x - 7, top, 14, foot - top, "edge solid")
    pen.circle(x, foot + 10, 13, "edge wire-solid")
    pen.rect(x - 4, levels[1], 8, foot + 2 - levels[1], "wire-solid")
    places = layout.spread(levels, 18, top + 6, foot + 4)
    for role, level, place in zip(("start", "end"), levels, places, strict=True):
        if sheet.has(role):
            pen.line(x - 7, level, x + 14, level, "fine")
            pen.line(x + 14, level, x + 24, place, "fine")
            sheet.put(role, Spot(x + 28, place + 4.5, "start"))
    sheet.put("area", Spot(cx, cy + 72))
    sheet.put("current", Spot(cx, cy - 66), Spot(12, 22, "start"))
    sheet.put("time", Spot(cx, cy + 92), Spot(12, cy + 92, "start"))
    for role, level in (("resistance", foot + 14), ("hot", top + 12)):
        sheet.put(role, Spot(x - 24, level, "end"), Spot(x + 28, foot + 26, "start"))
    sheet.scale_says = _("temperatures to scale")
    sheet.say(_("The thermometer stands at the first and at the last temperature."))


_CURRENT, _RESISTANCE = Role("current", N_("current")), Role("resistance", N_("resistance"))
_LENGTH, _AREA = Role("length", N_("length"), "length"), Role("area", N_("area of the section"))
_HEAT = Role("heat", N_("heat"))
KINDS = (
    Kind(
        "cable-run",
        N_("Leads from pack to part"),
        N_("Plan, one way to scale."),
        (
            Role("length", N_("length one way"), "length"),
            _CURRENT,
            Role("drop", N_("voltage taken by the leads")),
            _RESISTANCE,
            _HEAT,
            Role("joint", N_("resistance of the joint")),
        ),
        cable_run,
        {},
    ),
    Kind(
        "lead",
        N_("One lead"),
        N_("Side view and section."),
        (
            _LENGTH,
            _AREA,
            _RESISTANCE,
            Role("material", N_("resistivity")),
            Role("leads", N_("leads"), "count"),
            Role("mass", N_("copper mass")),
        ),
        one_lead,
        {},
    ),
    Kind(
        "cable-section",
        N_("Section of a wire"),
        N_("Wire cut across."),
        (Role("diameter", N_("wire diameter"), "length"), _AREA, Role("mils", N_("area in circular mils"))),
        cable_section,
        {},
    ),
    Kind(
        "leads-in-parallel",
        N_("Leads side by side"),
        N_("Plan."),
        (
            Role("leads", N_("leads"), "count"),
            _CURRENT,
            Role("single", N_("resistance of one lead")),
            Role("together", N_("resistance of all")),
            _HEAT,
        ),
        parallel,
        {},
    ),
    Kind(
        "two-leads",
        N_("Two leads, out and back"),
        N_("Leads cut across."),
        (
            Role("spacing", N_("spacing of the middles"), "length", True),
            Role("radius", N_("conductor radius"), "length"),
            _CURRENT,
            Role("force", N_("force per length")),
            Role("length", N_("length of the loop")),
            Role("reactance", N_("reactance")),
        ),
        two_leads,
        {},
    ),
    Kind(
        "section-heat",
        N_("Heat in a lead"),
        N_("Lead cut across and a thermometer."),
        (
            _AREA,
            _CURRENT,
            Role("time", N_("time")),
            Role("start", N_("first temperature")),
            Role("end", N_("last temperature")),
            Role("resistance", N_("resistance at the first temperature")),
            Role("hot", N_("resistance at the last temperature")),
        ),
        section_heat,
        {},
    ),
)
