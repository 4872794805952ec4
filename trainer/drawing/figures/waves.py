"""Currents over time: the wave forms with peak, root mean square and mean, spaced pulses, counted pulses."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final

from trainer.drawing.figures import layout
from trainer.drawing.figures.plot import Plot, upward
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


@dataclass(frozen=True, slots=True)
class _Wave:
    """One wave form of peak 1 over a period of 1, with its rms and mean over the period."""

    says: str
    f: Callable[[float], float]
    rms: float
    mean: float


def _three(x: float, full: bool) -> float:
    """Rectified three-phase: the highest phase (half wave) or the highest phase difference (full wave)."""
    step = 1 / 6 if full else 1 / 3
    return math.cos(2 * math.pi * ((x % step) - step / 2))


_ROOT3: Final = math.sqrt(3)
WAVES: Final = MappingProxyType(
    {
        "sine": _Wave(
            N_("Alternating current."), lambda x: math.sin(2 * math.pi * x), 1 / math.sqrt(2), 2 / math.pi
        ),
        "half-wave": _Wave(
            N_("Half-wave rectified current."),
            lambda x: max(0.0, math.sin(2 * math.pi * x)),
            0.5,
            1 / math.pi,
        ),
        "full-wave": _Wave(
            N_("Full-wave rectified current."),
            lambda x: abs(math.sin(2 * math.pi * x)),
            1 / math.sqrt(2),
            2 / math.pi,
        ),
        "three-phase-half-wave": _Wave(
            N_("Three-phase half-wave rectified current."),
            lambda x: _three(x, False),
            math.sqrt(0.5 + 3 * _ROOT3 / (8 * math.pi)),
            3 * _ROOT3 / (2 * math.pi),
        ),
        "three-phase-full-wave": _Wave(
            N_("Three-phase full-wave rectified current."),
            lambda x: _three(x, True),
            math.sqrt(0.5 + 3 * _ROOT3 / (4 * math.pi)),
            3 / math.pi,
        ),
        "direct": _Wave(N_("Direct current."), lambda x: 1.0, 1.0, 1.0),
    }
)
"""The wave forms; rms and mean by the closed forms over one period (derived here, checked by integration)."""


def _peak(sheet: Sheet, wave: _Wave) -> float:
    """The peak as given, else from another value of the same wave."""
    for role, factor in (("peak", 1.0), ("rms", wave.rms), ("mean", wave.mean), ("half", 2 / math.pi)):
        if sheet.has(role) and sheet.value(role) > 0:
            return sheet.value(role) / factor
    return 1.0


def waveform(sheet: Sheet) -> None:
    """Two periods of a wave form with level lines for peak, rms, mean and what a meter shows."""
    wave = WAVES[sheet.word("wave")]
    peak = _peak(sheet, wave)
    top = upward([peak, sheet.value("reading", 0), sheet.value("smooth", 0)])
    below = sheet.word("wave") == "sine"
    high = 82.0 if below else 144.0
    plot = Plot(sheet, 30, 28 + high, 212, high, 2, top)
    sheet.pen.height = plot.y + (high if below else 0) + 40
    points = [plot.at(x, peak * wave.f(x)) for x in (i / 96 for i in range(193))]
    _area(sheet, points, plot.y)
    sheet.pen.poly(points, "trace")
    plot.axes(high + 8 if below else 0)
    plot.levels(
        [
            ("peak", peak, N_("the peak")),
            ("reading", sheet.value("reading", 0), N_("what the meter shows")),
            ("smooth", sheet.value("smooth", 0), N_("the smooth direct current")),
            ("half", 2 / math.pi * peak, N_("the mean of the conducting half cycle")),
            ("rms", wave.rms * peak, N_("the root mean square")),
            ("mean", wave.mean * peak, N_("the mean")),
        ]
    )
    end = plot.y + (high if below else 0) + 22
    sheet.pen.dim_h(plot.x, plot.x + 106, end, _("one period"), (plot.y, plot.y))
    sheet.scale_says = _("currents to scale")
    sheet.say(_(wave.says))
    sheet.say(_("Two periods are drawn."))


def _area(sheet: Sheet, points: list[layout.Point], base: float) -> None:
    """The hatched area between a curve and the base line."""
    sheet.pen.poly([(points[0][0], base), *points, (points[-1][0], base)], "hatch-live", close=True)


def spaced_pulses(sheet: Sheet) -> None:
    """Half-sine pulses with pauses: pulse length and period to scale, mean and rms as level lines."""
    peak = abs(sheet.value("peak", 1.0)) or 1.0
    pulse = max(sheet.value("pulse"), 1e-12)
    rate = sheet.value("rate", 0.0)
    period = max(sheet.value("period", 1 / rate if rate > 0 else 3 * pulse), pulse)
    plot = Plot(sheet, 30, 168, 218, 128, 2.4 * period, peak)
    sheet.pen.height = 226
    for k in range(3):
        start, end = k * period, min(k * period + pulse, 2.4 * period)
        share = (end - start) / pulse
        points = [
            plot.at(start + pulse * share * i / 24, peak * math.sin(math.pi * share * i / 24))
            for i in range(25)
        ]
        _area(sheet, points, plot.y)
        sheet.pen.poly(points, "trace")
    plot.axes()
    f = pulse / period
    plot.levels(
        [
            ("peak", peak, N_("the peak")),
            ("rms", peak * math.sqrt(f / 2), N_("the root mean square")),
            ("mean", peak * 2 * f / math.pi, N_("the mean")),
        ]
    )
    first = plot.at(pulse, 0)[0]
    sheet.dim_h("pulse", plot.x, first, plot.y + 22, (plot.y, plot.y))
    sheet.dim_h("period", plot.x, plot.at(period, 0)[0], plot.y + 46, (plot.y, plot.y))
    sheet.scale_says = _("times to scale")


def counted_pulses(sheet: Sheet) -> None:
    """A shot made of half-wave pulses: all of them where they can be seen and are not asked for."""
    count, exact = sheet.count("pulses", 5, 30)
    x0, x1, y, high = 30.0, 346.0, 112.0, 74.0
    room = (x1 - x0) * (1 if exact else 0.72)
    step = room / count
    sheet.pen.height = 190
    for k in range(count):
        points = [
            (x0 + k * step + step / 2 * i / 12, y - high * math.sin(math.pi * i / 12)) for i in range(13)
        ]
        _area(sheet, points, y)
        sheet.pen.poly(points, "trace")
    if not exact:
        layout.dots(sheet.pen, x0 + room + 30, y - high / 2)
    sheet.pen.line(x0, y, x1 + 6, y, "edge")
    sheet.pen.line(x0, y, x0, y - high - 16, "edge")
    sheet.dim_h("time", x0, x1, y + 34, (y, y))
    sheet.put("pulses", Spot(x0 + 4, y + 66, "start"))
    sheet.put("frequency", Spot(x1, y + 66, "end"))
    sheet.put("current", Spot(x0 + 8, 18, "start"))
    sheet.say(_("All pulses are drawn.") if exact else _("Only the first pulses are drawn."))


_PEAK, _RMS, _MEAN = Role("peak", N_("peak")), Role("rms", N_("root mean square")), Role("mean", N_("mean"))
KINDS = (
    Kind(
        "waveform",
        N_("Current over time"),
        N_("Two periods."),
        (
            _PEAK,
            _RMS,
            _MEAN,
            Role("half", N_("mean of the conducting half cycle")),
            Role("reading", N_("what the meter shows")),
            Role("smooth", N_("smooth direct current")),
            Role("form", N_("form factor")),
        ),
        waveform,
        {"wave": tuple(WAVES)},
    ),
    Kind(
        "spaced-pulses",
        N_("Pulses with pauses"),
        N_("Current over time."),
        (
            _PEAK,
            _RMS,
            _MEAN,
            Role("pulse", N_("pulse length"), "time", True),
            Role("period", N_("period"), "time"),
            Role("rate", N_("pulses per second")),
            Role("form", N_("form factor")),
        ),
        spaced_pulses,
        {},
    ),
    Kind(
        "counted-pulses",
        N_("Pulses in a shot"),
        N_("Current over time."),
        (
            Role("pulses", N_("pulses"), "count"),
            Role("time", N_("time counted"), "time"),
            Role("frequency", N_("line frequency")),
            Role("current", N_("current")),
        ),
        counted_pulses,
        {},
    ),
)
