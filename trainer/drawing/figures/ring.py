"""Rings: wound with turns, its mean path and section."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def ring(sheet: Sheet) -> None:
    """Plan of a ring with turns wound round it and its mean path; the section beside it."""
    pen = sheet.pen
    mean = sheet.value("radius", sheet.value("path", 2 * math.pi) / (2 * math.pi))
    r, cx, cy = 66.0, 116.0, 116.0
    scale = r / max(mean, 1e-12)
    half = 17.0
    pen.height = 226
    if sheet.has("radius") or sheet.has("path"):
        sheet.squares(scale, cx, cy)
    pen.circle(cx, cy, r + half, "edge")
    pen.circle(cx, cy, r - half, "edge")
    pen.circle(cx, cy, r, "axis")
    layout.cross(pen, cx, cy, r + half, r + half)
    count, exact = sheet.count("turns", 5, 28)
    around = 150 if not exact else 330
    for k in range(count):
        angle = 105 + around * k / max(count, 1)
        a, b = layout.polar(cx, cy, r - half - 3, angle), layout.polar(cx, cy, r + half + 3, angle + 5)
        pen.line(*a, *b, "cable")
    x, y = layout.polar(cx, cy, r, 40)
    pen.line(cx, cy, x, y, "dim live in" if sheet.live("radius") else "dim in")
    right = cx + r + half + 30
    sheet.point("radius", (cx + x) / 2, (cy + y) / 2, right, cy - 52)
    sheet.point("path", *layout.polar(cx, cy, r, 8), right, cy - 24)
    sheet.point("section", *layout.polar(cx, cy, r + half - 3, -14), right, cy + 20)
    sheet.put("turns", Spot(right, cy + 46, "start"))
    sheet.put("current", Spot(right, cy + 66, "start"))
    sheet.put("field", Spot(right, 24, "start"))
    sheet.put("flux", Spot(right, 44, "start"))
    sheet.say(_("The dash-dot circle is the mean path."))
    if not exact:
        sheet.say(_("The turns are drawn only in part."))


def ring_as_turn(sheet: Sheet) -> None:
    """A ring as the one turn of a transformer: primary coil, iron core through ring and coil, current in the ring."""
    pen = sheet.pen
    top, bottom = 52.0, 170.0
    pen.height = 226
    pen.rect(60, top, 250, bottom - top, "edge hatched")
    pen.rect(86, top + 24, 198, bottom - top - 48, "edge solid")
    count, exact = sheet.count("turns", 5, 9)
    for k in range(count):
        y = top + 30 + (bottom - top - 60) * (k + 0.5) / count
        pen.line(54, y + 2, 92, y - 2, "cable")
    middle, behind = (top + bottom) / 2, 68
    for start, end in ((-180, 0), (0, behind), (180 - behind, 180)):
        around = [math.radians(start + (end - start) * k / 12) for k in range(13)]
        pen.poly([(297 + 34 * math.cos(a), middle - 13 * math.sin(a)) for a in around], "trace")
    pen.tip(302, middle + 13, 0)
    sheet.put("turns", Spot(98, (top + bottom) / 2 - 6, "start"))
    sheet.put("primary", Spot(98, (top + bottom) / 2 + 16, "start"))
    sheet.put("current", Spot(300, bottom + 22), Spot(300, top - 14))
    sheet.put("perimeter", Spot(300, bottom + 42), Spot(200, bottom + 22))
    sheet.put("field", Spot(300, top - 14), Spot(200, top - 14))
    sheet.say(
        _("The ring round the right leg of the core is the one secondary turn; the coil is on the left leg.")
    )
    if not exact:
        sheet.say(_("The turns are drawn only in part."))


_TURNS, _FIELD = Role("turns", N_("turns"), "count"), Role("field", N_("field"))
KINDS = (
    Kind(
        "ring",
        N_("Ring with turns wound round it"),
        N_("View along the axis."),
        (
            Role("radius", N_("mean radius"), "length"),
            Role("path", N_("mean path"), "length"),
            _TURNS,
            Role("current", N_("current")),
            _FIELD,
            Role("flux", N_("flux density in air")),
            Role("section", N_("section of the ring")),
        ),
        ring,
        {},
    ),
    Kind(
        "ring-as-turn",
        N_("Ring as the secondary turn of a core"),
        N_("View from the side, the core hatched."),
        (
            _TURNS,
            Role("primary", N_("primary current")),
            Role("current", N_("current in the ring")),
            Role("perimeter", N_("way round the section of the ring")),
            _FIELD,
        ),
        ring_as_turn,
        {},
    ),
)
