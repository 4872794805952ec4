"""Direction and strength of a field: the useful component, an indicator with marks, H and B in air, meters."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _arrow(sheet: Sheet, x1: float, y1: float, x2: float, y2: float, c: str = "flux") -> None:
    """A field arrow from the first point to the second."""
    sheet.pen.line(x1, y1, x2, y2, c)
    tip = "flux-tip" if c == "flux" else "live-tip"
    if math.hypot(x2 - x1, y2 - y1) > 4:
        sheet.pen.tip(x2, y2, math.degrees(math.atan2(y2 - y1, x2 - x1)), tip)


def field_angle(sheet: Sheet) -> None:
    """A flaw, the field crossing it at its angle, and the part of the field square to the flaw."""
    pen = sheet.pen
    angle = min(max(sheet.value("angle", 45.0), 0.0), 180.0)
    x, size = 130.0, 100.0
    y = 40 + size * math.sin(math.radians(angle))
    pen.height = y + 54
    pen.rect(x - 74, y - 3, 190, 6, "particles")
    pen.line(x - 74, y, x + 116, y, "cable thin")
    a, b = layout.polar(x, y, size, angle)
    _arrow(sheet, x, y, a, b)
    _arrow(sheet, a, y, a, b, "flow")
    if 8 < angle < 172:
        pen.poly(layout.arc_points(x, y, 34, 0, angle), "fine")
    mid = math.radians(angle / 2)
    sheet.put(
        "angle", Spot(x + 42 * math.cos(mid), y - 42 * math.sin(mid) + 4, "start"), Spot(x + 40, y + 22)
    )
    sheet.put("field", Spot((x + a) / 2 - 12, (y + b) / 2 - 8, "end"), Spot(12, 22, "start"))
    sheet.put("useful", Spot(max(a, x) + 12, (y + b) / 2 - 4, "start"), Spot(240, 40, "start"))
    pen.label(_("flaw"), Spot(x - 58, y + 20), look="say")
    sheet.scale_says = _("angle and arrows to scale")
    sheet.say(_("The upright arrow is the part of the field that crosses the flaw."))


def field_indicator(sheet: Sheet) -> None:
    """A dial indicator on the part, marks to both sides of zero, the needle on the marks read."""
    pen = sheet.pen
    marks, per = sheet.value("marks", 6.0), 10.0
    cx, cy, r = 128.0, 136.0, 92.0
    pen.height = 222
    pen.circle(cx, cy - 24, 100, "edge solid")
    span = max(per, math.ceil(abs(marks))) if not sheet.unknown("marks") else per
    for k in range(-10, 11):
        angle = 90 - k * 6
        a, b = layout.polar(cx, cy, r - 22, angle), layout.polar(cx, cy, r - (12 if k % 5 else 6), angle)
        pen.line(*a, *b, "edge" if k % 5 == 0 else "fine")
    pen.label("0", Spot(cx, cy - r + 42), look="tick")
    turn = 90 - 60 * min(max(marks / span, -1), 1)
    pen.line(cx, cy, *layout.polar(cx, cy, r - 24, turn), "cable thin")
    pen.circle(cx, cy, 5, "edge solid")
    sheet.put("marks", Spot(256, 60, "start"))
    sheet.put("rate", Spot(256, 82, "start"))
    sheet.put("field", Spot(256, 104, "start"))
    sheet.scale_says = _("needle in proportion") if span == per else _("needle at the end of the scale")
    sheet.say(_("The needle stands away from zero by the marks read."))


def field_in_air(sheet: Sheet) -> None:
    """A field strength meter with its probe on the surface of a part, field lines along it."""
    pen = sheet.pen
    pen.height = 178
    pen.rect(30, 124, 236, 28, "edge hatched")
    for k in range(3):
        layout.along(pen, 36, 262, 112 - 12 * k)
    pen.rect(140, 76, 12, 44, "edge wire-solid")
    pen.line(146, 76, 146, 46, "edge")
    pen.rect(106, 14, 80, 34, "edge solid")
    pen.label(_("probe"), Spot(158, 74, "start"), look="say")
    for k, role in enumerate(("field", "flux", "peak", "crest")):
        sheet.put(role, Spot(204, 24 + 18 * k, "start"))
    sheet.say(_("The probe stands on the surface and measures the field along it in air."))


def ammeter_scale(sheet: Sheet) -> None:
    """An ammeter scale with reading and error band; a test meter under it where there is one."""
    pen = sheet.pen
    reading, test = sheet.value("reading", 1.0), sheet.value("test", 0.0)
    full = max(sheet.value("full", 1.15 * max(reading, test)), reading, test, 1e-12)
    x0, wide, y = 28.0, 318.0, 76.0
    has_test = sheet.has("test")
    pen.height = 196 if has_test else 140
    error = abs(sheet.value("error", full * sheet.value("accuracy", 0) / 100 if sheet.has("accuracy") else 0))
    _scale_line(sheet, x0, y, wide, reading / full)
    at, half = x0 + wide * reading / full, min(error / full * wide, wide)
    if error > 0 and not sheet.unknown("error"):
        left, right = max(at - half, x0), min(at + half, x0 + wide)
        pen.rect(left, y - 20, max(right - left, 1), 12, "band")
    sheet.put("reading", Spot(at, y + 36), Spot(x0, y + 36, "start"))
    sheet.put("error", Spot(at, y - 32), Spot(at - 30, y - 32, "end"))
    if sheet.has("full"):
        sheet.put("full", Spot(x0 + wide, y - 48, "end"), Spot(x0 + wide, 18, "end"))
    sheet.put("accuracy", Spot(x0, 20, "start"))
    if has_test:
        _scale_line(sheet, x0, y + 78, wide, test / full)
        sheet.put("test", Spot(x0 + wide * test / full, y + 114), Spot(x0, y + 114, "start"))
        pen.label(_("test meter"), Spot(x0 + wide, y + 64, "end"), look="say")
        pen.label(_("panel"), Spot(x0 + wide, y - 26, "end"), look="say")
    sheet.scale_says = _("readings to scale")
    sheet.say(_("The needle stands on the reading."))


def _scale_line(sheet: Sheet, x: float, y: float, wide: float, share: float) -> None:
    """A level scale with tick marks without numbers, and a needle at this share of it."""
    pen = sheet.pen
    pen.line(x, y, x + wide, y, "edge")
    for k in range(21):
        at = x + wide * k / 20
        pen.line(at, y - (9 if k % 5 == 0 else 5), at, y, "edge" if k % 5 == 0 else "fine")
    at = x + wide * min(max(share, 0), 1)
    pen.poly([(at, y), (at - 4.5, y + 14), (at + 4.5, y + 14)], "live-tip", close=True)
    pen.label("0", Spot(x, y + 16), look="tick", optional=True)


KINDS = (
    Kind(
        "field-angle",
        N_("Field across a flaw"),
        N_("View from above."),
        (
            Role("angle", N_("angle between field and flaw"), "angle"),
            Role("field", N_("field")),
            Role("useful", N_("part of the field that crosses the flaw")),
        ),
        field_angle,
        {},
    ),
    Kind(
        "field-indicator",
        N_("Field indicator"),
        N_("Face of the indicator."),
        (Role("marks", N_("marks read")), Role("rate", N_("field per mark")), Role("field", N_("field"))),
        field_indicator,
        {},
    ),
    Kind(
        "field-probe",
        N_("Field strength meter on a part"),
        N_("Side view, the part in section."),
        (
            Role("field", N_("field along the surface")),
            Role("flux", N_("flux density in air")),
            Role("peak", N_("peak of the field")),
            Role("crest", N_("crest factor")),
        ),
        field_in_air,
        {},
    ),
    Kind(
        "ammeter-scale",
        N_("Ammeter scale"),
        N_("The scale laid flat."),
        (
            Role("full", N_("full scale")),
            Role("reading", N_("reading")),
            Role("test", N_("reading of the test meter")),
            Role("accuracy", N_("error in percent of full scale")),
            Role("error", N_("error")),
        ),
        ammeter_scale,
        {},
    ),
)
