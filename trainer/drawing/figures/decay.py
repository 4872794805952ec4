"""What falls away: demagnetizing in steps, withdrawal from a coil, field on a coil's axis, depth of current."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.layout import Point
from trainer.drawing.figures.plot import Plot
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _steps(sheet: Sheet) -> tuple[list[float], bool]:
    """Share of the starting current at each step, and whether the last step is the last one there is."""
    fall, start = sheet.value("fall", math.nan), max(sheet.value("start", 1.0), 1e-12)
    off = sheet.value("off", math.nan)
    if off > 0:
        need, share = math.ceil(start / off - 1e-9), [max(0.0, 1 - k * off / start) for k in range(41)]
    else:
        rate = min(max(fall if fall > 0 else 0.2, 0.01), 0.95)
        end = min(max(sheet.value("end", start / 100), start * 1e-6), start * 0.99)
        need, share = (
            math.ceil(math.log(end / start) / math.log(1 - rate) - 1e-9),
            [(1 - rate) ** k for k in range(41)],
        )
    if sheet.unknown("steps"):
        return share[:6], False
    return share[: min(need, 40) + 1], need <= 40


def demag_decay(sheet: Sheet) -> None:
    """Current reversing and falling step by step; the envelope, the start, the end, the step asked about."""
    pen = sheet.pen
    shares, exact = _steps(sheet)
    x0, y, wide, high = 30.0, 104.0, 240.0, 72.0
    pen.height = y + high + 62
    lobe = wide / (len(shares) + (0 if exact else 3))
    tops = [(x0 + lobe * (k + 0.5), y - high * share) for k, share in enumerate(shares)]
    if len(tops) > 1:
        pen.poly(tops, "ghost")
        pen.poly([(x, 2 * y - top) for x, top in tops], "ghost")
    trace: list[Point] = [(x0, y)]
    for k, share in enumerate(shares):
        way = 1 if k % 2 else -1
        trace += [
            (x0 + lobe * (k + i / 8), y + way * high * share * math.sin(math.pi * i / 8)) for i in range(1, 9)
        ]
    pen.poly(trace, "trace")
    pen.line(x0, y, x0 + wide + 24, y, "edge")
    pen.line(x0, y - high - 10, x0, y + high + 10, "edge")
    if not exact:
        layout.dots(pen, trace[-1][0] + lobe * 1.2, y - 14)
    sheet.put("start", Spot(tops[0][0] + 10, tops[0][1] - 4, "start"), Spot(x0 + 40, 18, "start"))
    if exact and sheet.has("end"):
        sheet.point("end", *tops[-1], x0 + wide - 20, y - 44)
    sheet.put("fall", Spot(x0 + wide * 0.45, 24, "start"))
    sheet.put("off", Spot(x0 + wide * 0.45, 24, "start"))
    _asked_step(sheet, tops)
    floor = y + high + 34
    sheet.dim_h("steps", tops[0][0], tops[-1][0] if exact else x0 + wide, floor, (y + high, y))
    sheet.scale_says = _("currents to scale")
    sheet.say(_("The sign changes at each step."))
    if not exact:
        sheet.say(_("Only the first steps are drawn."))


def _asked_step(sheet: Sheet, tops: list[Point]) -> None:
    """The current after so many steps, pointed at where it stands."""
    if not sheet.has("current"):
        sheet.put("step", Spot(tops[0][0], tops[0][1]))
        return
    k = max(0, round(sheet.value("step", 1)))
    x, y = tops[min(k, len(tops) - 1)]
    sheet.pen.circle(x, y, 3.2, "wire-mark")
    sheet.point("current", x, y, x + 40, y - 22)
    sheet.put("step", Spot(x + 43, y, "start"), Spot(200, 44, "start"))


def _coil_on_axis(sheet: Sheet, x: float, y: float, r: float) -> None:
    """A short coil cut across, its axis level."""
    layout.out_of_page(sheet.pen, x, y - r, 7)
    layout.into_page(sheet.pen, x, y + r, 7)
    sheet.pen.line(x, y - r + 7, x, y + r - 7, "ghost")


def axis_field(sheet: Sheet) -> None:
    """A coil cut across, lengths to scale, and over it how the field falls along its axis."""
    pen = sheet.pen
    radius, away = sheet.value("radius"), sheet.value("distance", 0.0)
    reach = max(2.4 * radius, away * 1.12)
    scale = min(248 / max(reach, 1e-12), 38 / max(radius, 1e-12))
    x0, base, rise = 82.0, 86.0, 58.0
    r = sheet.kept(radius * scale, 8.0)
    y = base + 20 + r
    pen.height = y + r + 60
    sheet.squares(scale, x0, y)
    curve = layout.curve(
        lambda x: base - rise / (1 + ((x - x0) / max(radius * scale, 1e-9)) ** 2) ** 1.5,
        x0 - 44,
        x0 + 260,
        160,
    )
    pen.poly(curve, "trace")
    pen.line(x0 - 50, base, x0 + 268, base, "edge")
    _coil_on_axis(sheet, x0, y, r)
    pen.line(x0 - 50, y, x0 + 268, y, "axis")
    at = x0 + away * scale
    here = base - rise / (1 + (away / max(radius, 1e-12)) ** 2) ** 1.5
    pen.line(at, here, at, y, "ghost")
    pen.circle(at, y, 3.2, "wire-mark")
    pen.circle(at, here, 3.2, "wire-mark")
    sheet.point("field", at, here, at + 30, min(here - 10, base - 16))
    sheet.put("flux", Spot(at + 34, here + 12, "start"), Spot(300, 40, "start"))
    sheet.dim_h("distance", x0, at, y + r + 36, (y + r, y))
    sheet.dim_v("radius", x0 - 28, y - r, y, (x0, x0))
    sheet.put("turns", Spot(248, 22, "start"))
    sheet.put("current", Spot(248, 42, "start"))
    sheet.say(_("Above, the field along the axis: greatest in the coil, falling with the distance."))


def skin_depth(sheet: Sheet) -> None:
    """A part in section and the current under its surface, fallen to 37 percent at the depth asked about."""
    pen = sheet.pen
    depth = sheet.value("depth", 1.0)
    plot = Plot(sheet, 44, 150, 232, 112, 3.6, 1)
    pen.height = 218
    if sheet.has("depth"):
        sheet.squares(plot.wide / 3.6 / max(depth, 1e-12), plot.x, plot.y)
    points = [plot.at(x, math.exp(-x)) for x in (i * 0.06 for i in range(61))]
    a = plot.at(1, 0)[0]
    pen.rect(plot.x, plot.y, plot.wide, 22, "hatched")
    pen.poly([(plot.x, plot.y), *(p for p in points if p[0] <= a), (a, plot.y)], "hatch-fine", close=True)
    pen.poly(points, "trace")
    plot.axes()
    pen.line(a, plot.y - plot.high * 0.6, a, plot.y, "ghost")
    pen.circle(*plot.at(1, math.exp(-1)), 3.2, "wire-mark")
    sheet.dim_h("depth", plot.x, a, plot.y + 48, (plot.y + 22, plot.y + 22))
    x = plot.x + plot.wide * 0.46
    pen.label(_("surface"), Spot(plot.x - 8, plot.y - 40, "mid", True), look="say")
    for k, role in enumerate(("frequency", "permeability", "resistivity", "conductivity")):
        sheet.put(role, Spot(x, 30 + 18 * k, "start"))
    sheet.say(_("The current density falls with the depth, to one part in e at the marked depth."))


_CURRENT, _TURNS = Role("current", N_("current")), Role("turns", N_("turns"), "count")
KINDS = (
    Kind(
        "demag-decay",
        N_("Demagnetizing in steps"),
        N_("Current over time."),
        (
            Role("start", N_("starting current")),
            Role("end", N_("current to reach")),
            Role("fall", N_("fall at each step"), "share"),
            Role("off", N_("current taken off at each step")),
            Role("steps", N_("steps"), "count"),
            Role("step", N_("step asked about")),
            Role("current", N_("current at that step")),
        ),
        demag_decay,
        {},
    ),
    Kind(
        "coil-axis-field",
        N_("Field on the axis of a coil"),
        N_("Coil cut across."),
        (
            Role("radius", N_("coil radius"), "length", True),
            Role("distance", N_("distance from the middle"), "length"),
            _TURNS,
            _CURRENT,
            Role("field", N_("field there")),
            Role("flux", N_("flux density in air there")),
        ),
        axis_field,
        {},
    ),
    Kind(
        "withdrawal",
        N_("Withdrawing a part from a coil"),
        N_("Coil cut across."),
        (
            Role("radius", N_("coil radius"), "length", True),
            Role("distance", N_("distance at which the field has fallen far enough"), "length"),
            _TURNS,
            _CURRENT,
            Role("field", N_("field to reach")),
        ),
        axis_field,
        {},
    ),
    Kind(
        "skin-depth",
        N_("How deep alternating current runs"),
        N_("Section under the surface."),
        (
            Role("depth", N_("depth"), "length"),
            Role("frequency", N_("frequency")),
            Role("permeability", N_("relative permeability")),
            Role("resistivity", N_("resistivity")),
            Role("conductivity", N_("conductivity")),
        ),
        skin_depth,
        {},
    ),
)
