"""Duty: current over time with its continuous equivalent, current against duty, current against time."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.plot import Plot, upward
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def duty_cycle(sheet: Sheet) -> None:
    """On and off times to scale over one cycle and the start of the next; a second load where there is one."""
    on = max(sheet.value("on"), 1e-12)
    second = sheet.value("second-on", 0)
    duty = sheet.value("duty", 0)
    period = sheet.value("period", on + sheet.value("off", on / duty - on if 0 < duty < 1 else 2 * on))
    period = max(period, on + second)
    current = abs(sheet.value("current", 1.0)) or 1.0
    other = max(sheet.value("second", 0), 0.0)
    top = upward([current, other, sheet.value("equivalent", 0)])
    plot = Plot(sheet, 30, 142, 226, 96, 1.45 * period, top)
    sheet.pen.height = 230
    for start in (0.0, period):
        _block(plot, start, on, current)
        if second > 0:
            _block(plot, start + on, second, other)
    plot.axes()
    rows = [("current", current, N_("the current")), ("second", other, N_("the second current"))]
    rows.append(("equivalent", sheet.value("equivalent", 0), N_("the continuous current with the same heat")))
    plot.levels(rows)
    _times(sheet, plot, on, second, period)


def _block(plot: Plot, start: float, time: float, current: float) -> None:
    """One load as a hatched block, cut at the end of the plot."""
    end = min(start + time, plot.across)
    (x0, y0), (x1, y1) = plot.at(start, 0), plot.at(end, current)
    plot.sheet.pen.rect(x0, y1, max(x1 - x0, 1), y0 - y1, "hatch-live")
    plot.sheet.pen.poly([(x0, y0), (x0, y1), (x1, y1), (x1, y0)], "trace")


def _times(sheet: Sheet, plot: Plot, on: float, second: float, period: float) -> None:
    """On, off and period as dimensions under the base line."""
    zero, y = plot.x, plot.y
    a, b, c = plot.at(on, 0)[0], plot.at(on + second, 0)[0], plot.at(period, 0)[0]
    sheet.dim_h("on", zero, a, y + 22, (y, y))
    sheet.dim_h("second-on", a, b, y + 46, (y, y))
    sheet.dim_h("off", b, c, y + 46, (y, y))
    sheet.dim_h("period", zero, c, y + 48 + 22, (y, y))
    sheet.put("duty", Spot(c + 14, y + 74, "start"), Spot(368, y + 74, "end"))
    sheet.scale_says = _("times to scale")
    sheet.say(_("One whole cycle and the beginning of the next."))


def pulse_train(sheet: Sheet) -> None:
    """A few pulses with pauses between them, from the first to the last."""
    count, exact = sheet.count("pulses", 4, 12)
    pulse, gap = max(sheet.value("on"), 1e-12), sheet.value("gap", 0)
    total = count * pulse + (count - 1) * gap
    plot = Plot(sheet, 30, 128, 226, 82, total / 0.94, upward([sheet.value("current", 1.0)]))
    sheet.pen.height = 214
    current = abs(sheet.value("current", 1.0)) or 1.0
    for k in range(count):
        _block(plot, k * (pulse + gap), pulse, current)
    plot.axes()
    equal = sheet.value("equivalent", 0)
    plot.levels(
        [("current", current, N_("the current")), ("equivalent", equal, N_("the continuous equivalent"))]
    )
    a, b = plot.at(pulse, 0)[0], plot.at(pulse + gap, 0)[0]
    sheet.dim_h("on", plot.x, a, plot.y + 22, (plot.y, plot.y))
    sheet.dim_h("gap", a, b, plot.y + 46, (plot.y, plot.y))
    sheet.dim_h("total", plot.x, plot.at(total, 0)[0], plot.y + 72, (plot.y, plot.y))
    if not exact:
        sheet.say(_("Fewer pulses are drawn than there are."))
    sheet.scale_says = _("times to scale")


def _hyperbola(
    sheet: Sheet, rated: tuple[float, float], wanted: tuple[float, float], top: float, across: float
) -> Plot:
    """The line of equal heat through two points: current falls as the root of the time share."""
    plot = Plot(sheet, 44, 176, 208, 140, across, top)
    sheet.pen.height = 238
    heat = rated[1] * math.sqrt(rated[0])
    start = max((heat / top) ** 2, across / 400)
    points = [
        plot.at(x, heat / math.sqrt(x)) for x in (start + (across - start) * (i / 40) ** 2 for i in range(41))
    ]
    sheet.pen.poly(points, "trace")
    plot.axes()
    for share, current in (rated, wanted):
        x, y = plot.at(share, current)
        sheet.pen.line(x, plot.y, x, y, "ghost")
        sheet.pen.line(plot.x, y, x, y, "ghost")
        sheet.pen.circle(x, y, 3.4, "wire-mark")
    return plot


def duty_curve(sheet: Sheet) -> None:
    """Current against duty with two points on the line of equal heat."""
    share, rated = max(sheet.value("rated-duty", 1.0), 1e-6), max(sheet.value("rated", 1.0), 1e-12)
    other = sheet.value("current", math.nan)
    duty = sheet.value("duty", share * (rated / other) ** 2 if other > 0 else share)
    duty = max(duty, 1e-6)
    if math.isnan(other) or other <= 0:
        other = rated * math.sqrt(share / duty)
    across = max(1.0, share, duty)
    plot = _hyperbola(sheet, (share, rated), (duty, other), upward([rated, other]) * 1.12, across)
    _marks(sheet, plot, ("rated-duty", "rated"), (share, rated))
    _marks(sheet, plot, ("duty", "current"), (duty, other))
    sheet.pen.label(_("share of time under load"), Spot(plot.x + 104, plot.y + 50), look="say")
    sheet.pen.label(_("current"), Spot(plot.x, 16, "start"), Spot(plot.x + 60, 16, "start"), look="say")
    sheet.scale_says = _("both points to scale")
    sheet.say(_("The line joins all loads with the same heat."))


def _marks(sheet: Sheet, plot: Plot, roles: tuple[str, str], at: tuple[float, float]) -> None:
    """The two numbers of a point: one under the base line, one beside the point."""
    x, y = plot.at(*at)
    sheet.put(roles[0], Spot(x, plot.y + 17), Spot(x, plot.y + 34), Spot(x + 8, plot.y + 17, "start"))
    sheet.put(roles[1], Spot(x + 9, y - 8, "start"), Spot(x + 10, y + 14, "start"), Spot(x - 9, y - 8, "end"))


def time_curve(sheet: Sheet) -> None:
    """Current against time with two points of equal I squared t."""
    i1, t1 = max(sheet.value("current", 1.0), 1e-12), max(sheet.value("time", 1.0), 1e-12)
    i2 = sheet.value("second", math.nan)
    t2 = sheet.value("second-time", t1 * (i1 / i2) ** 2 if i2 > 0 else t1)
    t2 = max(t2, 1e-12)
    if math.isnan(i2) or i2 <= 0:
        i2 = i1 * math.sqrt(t1 / t2)
    plot = _hyperbola(sheet, (t1, i1), (t2, i2), max(i1, i2) * 1.12, max(t1, t2) * 1.15)
    _marks(sheet, plot, ("time", "current"), (t1, i1))
    _marks(sheet, plot, ("second-time", "second"), (t2, i2))
    sheet.pen.label(_("time"), Spot(plot.x + 104, plot.y + 50), look="say")
    sheet.pen.label(_("current"), Spot(plot.x, 16, "start"), Spot(plot.x + 60, 16, "start"), look="say")
    sheet.scale_says = _("both points to scale")
    sheet.say(_("The line joins all pairs with the same heat."))


def shots_in_hour(sheet: Sheet) -> None:
    """One hour as a bar with the shots in it, only a few where their number is asked for or too great."""
    count, exact = sheet.count("shots", 4, 60)
    count = count if exact else min(count, 8)
    span, on = sheet.value("span", 3600.0), sheet.value("on", 5.0)
    x0, y, wide = 30.0, 42.0, 316.0
    sheet.pen.height = 142
    each = max(on / max(span, 1e-12) * wide, 1.2)
    for k in range(count):
        gap = wide / count if exact else 26.0
        sheet.pen.rect(x0 + k * gap, y, min(each, gap), 30, "hatch-live")
        sheet.pen.line(x0 + k * gap, y, x0 + k * gap, y + 30, "wire-cross")
    if not exact:
        layout.dots(sheet.pen, x0 + 26.0 * count + 26, y + 15)
    sheet.pen.rect(x0, y, wide, 30, "edge")
    if sheet.has("span"):
        sheet.dim_h("span", x0, x0 + wide, y + 62, (y + 30, y + 30))
    else:
        sheet.pen.dim_h(x0, x0 + wide, y + 62, _("one hour"), (y + 30, y + 30))
    sheet.put("on", Spot(x0, 28, "start"))
    sheet.put("shots", Spot(x0 + wide, 28, "end"))
    sheet.put("current", Spot(x0 + wide / 2, 28), Spot(x0, y + 88, "start"))
    sheet.say(_("All are drawn.") if exact else _("Only the first are drawn."))


_CURRENT = Role("current", N_("current"))
_EQUAL = Role("equivalent", N_("continuous equivalent"))
KINDS = (
    Kind(
        "duty-cycle",
        N_("Duty cycle"),
        N_("Current over time."),
        (
            Role("on", N_("time under load"), "time", True),
            Role("off", N_("time off"), "time"),
            Role("period", N_("period"), "time"),
            Role("duty", N_("share of time under load"), "share"),
            Role("current", N_("current")),
            Role("second", N_("second current")),
            Role("second-on", N_("time of the second current"), "time"),
            _EQUAL,
        ),
        duty_cycle,
        {},
    ),
    Kind(
        "pulse-train",
        N_("Pulse train"),
        N_("Current over time."),
        (
            Role("on", N_("pulse length"), "time", True),
            Role("gap", N_("pause"), "time"),
            Role("pulses", N_("pulses"), "count"),
            Role("total", N_("time from first to last pulse"), "time"),
            _CURRENT,
            _EQUAL,
            Role("duty", N_("share of time under load"), "share"),
        ),
        pulse_train,
        {},
    ),
    Kind(
        "duty-curve",
        N_("Current and duty"),
        N_("Current over the share of time under load."),
        (
            Role("rated", N_("rated current"), "current"),
            Role("rated-duty", N_("rated duty"), "share"),
            Role("current", N_("current"), "current"),
            Role("duty", N_("duty"), "share"),
        ),
        duty_curve,
        {},
    ),
    Kind(
        "time-curve",
        N_("Current and time"),
        N_("Current over time to the same heat."),
        (
            Role("current", N_("current"), "current"),
            Role("time", N_("time"), "time"),
            Role("second", N_("other current"), "current"),
            Role("second-time", N_("its time"), "time"),
        ),
        time_curve,
        {},
    ),
    Kind(
        "shots-in-hour",
        N_("Shots in the time counted"),
        N_("Time runs from left to right."),
        (
            Role("shots", N_("shots"), "count"),
            Role("on", N_("length of each"), "time"),
            Role("span", N_("time counted"), "time"),
            _CURRENT,
        ),
        shots_in_hour,
        {},
    ),
)
