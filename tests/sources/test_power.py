"""Waveforms, duty, cable, outlet, lifting and demagnetization against published figures and second ways."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import yaml
from scipy.integrate import quad, solve_ivp

from tests.banks import shipped_shelf
from trainer.drills.work import Worked, work

ROWS: list[dict[str, Any]] = yaml.safe_load(Path(__file__).with_name("power.yaml").read_text("utf-8"))
MU0 = 4e-7 * math.pi


def solved(drill: str, find: str, unit: str | None = None, **given: str) -> Worked:
    """Work one find of a drill of the bank."""
    return work(shipped_shelf(), drill, given, find, unit)


def value(drill: str, find: str, unit: str | None = None, **given: str) -> float:
    """The value of one find, in its working unit or the one named."""
    return solved(drill, find, unit, **given).value


def _name(row: dict[str, Any]) -> str:
    return f"{row['example']}-{row['find']}"


@pytest.mark.parametrize("row", ROWS, ids=_name)
def test_worked_example(row: dict[str, Any]) -> None:
    """Each drill gives the figure of the document and clause named in its row, to the printed rounding."""
    unit = row["expect"]["unit"]
    got = work(shipped_shelf(), row["drill"], row["given"], row["find"], unit).value
    assert got == pytest.approx(row["expect"]["value"], abs=row["within"]), (row["document"], row["clause"])


@pytest.mark.parametrize("row", [r for r in ROWS if r.get("published_error")], ids=_name)
def test_printed_error_is_known(row: dict[str, Any]) -> None:
    """Where a document prints another figure than its relation gives, the two really differ."""
    assert abs(row["published"] - row["expect"]["value"]) > 1e-4 * row["published"]


def _integrated(wave: Callable[[float], float], breaks: list[float]) -> tuple[float, float]:
    """Mean and rms of a wave of period 1 by numerical integration."""
    mean = quad(wave, 0, 1, points=breaks, limit=200)[0]
    square = quad(lambda x: wave(x) ** 2, 0, 1, points=breaks, limit=200)[0]
    return mean, math.sqrt(square)


def _phases(x: float) -> list[float]:
    return [math.sin(2 * math.pi * (x - k / 3)) for k in range(3)]


WAVES: dict[str, tuple[Callable[[float], float], list[float]]] = {
    "sine-rms": (lambda x: abs(math.sin(2 * math.pi * x)), [0.5]),
    "half-wave": (lambda x: max(0.0, math.sin(2 * math.pi * x)), [0.5]),
    "three-phase-half-wave": (lambda x: max(_phases(x)), [(1 + 4 * k) / 12 for k in range(3)]),
    "three-phase-full-wave": (
        lambda x: (max(_phases(x)) - min(_phases(x))) / math.sqrt(3),
        [k / 6 for k in range(1, 6)] + [(2 * k + 1) / 12 for k in range(6)],
    ),
}


@pytest.mark.parametrize("drill", WAVES)
def test_wave_by_integration(drill: str) -> None:
    """Mean and rms of each wave form agree with the integral over the phases themselves."""
    mean, rms = _integrated(*WAVES[drill])
    assert value(drill, "Iav", Ip="1000 A") == pytest.approx(1000 * mean, rel=1e-6)
    assert value(drill, "Irms", Ip="1000 A") == pytest.approx(1000 * rms, rel=1e-6)


def test_half_cycle_mean_by_integration() -> None:
    """The mean of the conducting half cycle is the integral over that half (ASME V T-775, as reported)."""
    mean = 2 * quad(lambda x: math.sin(2 * math.pi * x), 0, 0.5)[0]
    assert value("half-wave", "Ihalf", Ip="1000 A") == pytest.approx(1000 * mean, rel=1e-9)
    assert value("half-wave-test-meter", "I", M="450 A") == pytest.approx(
        value("half-wave", "Ihalf", Iav="450 A"), rel=1e-9
    )


@pytest.mark.parametrize(("tp", "period"), [(0.01, 0.04), (0.008, 0.025), (0.005, 0.06)])
def test_spaced_pulses_by_integration(tp: float, period: float) -> None:
    """Mean and rms of spaced half-sine pulses agree with the integral over one period."""
    area = quad(lambda t: math.sin(math.pi * t / tp), 0, tp)[0]
    square = quad(lambda t: math.sin(math.pi * t / tp) ** 2, 0, tp)[0]
    given = {"Ip": "2000 A", "tp": f"{tp} s", "T": f"{period} s"}
    assert value("spaced-pulses", "Iav", **given) == pytest.approx(2000 * area / period, rel=1e-9)
    assert value("spaced-pulses", "Irms", **given) == pytest.approx(
        2000 * math.sqrt(square / period), rel=1e-9
    )


def test_factors_of_the_half_wave_table() -> None:
    """From a half-wave reading: peak 3.142 or 1.571 times, rms 1.571 or 0.785 times (own derivation)."""
    assert value("half-wave", "Ip", Iav="1000 A") == pytest.approx(3142, abs=0.5)
    assert value("half-wave", "Ip", Ihalf="1000 A") == pytest.approx(1571, abs=0.5)
    assert value("half-wave", "Irms", Iav="1000 A") == pytest.approx(1571, abs=0.5)
    assert value("half-wave", "Irms", Ihalf="1000 A") == pytest.approx(785, abs=0.5)


@pytest.mark.parametrize(
    ("percent", "printed"),
    [
        (100, 1.0),
        (90, 0.95),
        (80, 0.89),
        (70, 0.84),
        (60, 0.78),
        (50, 0.71),
        (40, 0.63),
        (30, 0.55),
        (20, 0.45),
    ],
)
def test_nec_multipliers_are_accepted(percent: int, printed: float) -> None:
    """Every multiplier printed in NEC 2008, Table 630.11(A), without motor-generator, is marked right."""
    worked = solved("duty-multiplier", "m", D=f"{percent} percent")
    assert worked.exercise.accepted.holds(printed)
    assert worked.value == pytest.approx(math.sqrt(percent / 100), rel=1e-12)


def test_ammeter_tolerance_low_on_the_scale() -> None:
    """Ten percent of a 5000 A scale (ASME V T-761) is 500 A, half of a reading of 1000 A."""
    assert value("ammeter-error", "e", FS="5000 A", p="10 percent") == pytest.approx(500)
    assert value("ammeter-error", "rel", FS="5000 A", p="10 percent", I="1000 A") == pytest.approx(50)


def test_pulses_of_a_shot() -> None:
    """Half a second at 60 Hz holds thirty half-wave pulses, not the fifteen found in print."""
    assert value("pulses-in-shot", "n", f="60 Hz", t="0.5 s") == pytest.approx(30)


def test_several_loads_by_integration() -> None:
    """The equivalent of two shots is the rms of the current over the cycle, summed second by second."""
    course = [3000.0] * 3 + [1200.0] * 10 + [0.0] * 47
    rms = math.sqrt(sum(i * i for i in course) / len(course))
    given = {"I1": "3000 A", "t1": "3 s", "I2": "1200 A", "t2": "10 s", "T": "60 s"}
    assert value("duty-several-loads", "Ieq", **given) == pytest.approx(rms, rel=1e-12)


def test_pulse_train_by_counting() -> None:
    """Duty and equivalent of a train agree with a course of tenths of seconds."""
    course = ([2000.0] * 8 + [0.0] * 15) * 3 + [2000.0] * 8
    rms = math.sqrt(sum(i * i for i in course) / len(course))
    given = {"n": "4", "tp": "0.8 s", "gap": "1.5 s", "I": "2000 A"}
    assert value("duty-pulse-train", "T", **given) == pytest.approx(len(course) / 10)
    assert value("duty-pulse-train", "Ieq", **given) == pytest.approx(rms, rel=1e-12)


@pytest.mark.parametrize(("current", "shot"), [(2400, 12), (2800, 8), (3000, 20)])
def test_shots_fill_the_hour(current: int, shot: int) -> None:
    """The heat of the shots stays within the rated heat of an hour, and one more would not."""
    n = value("duty-shots-per-hour", "n", I=f"{current} A", t=f"{shot} s", Ir="3600 A", Dr="0.25")
    allowed = 3600**2 * 0.25 * 3600
    assert n * current**2 * shot <= allowed < (n + 1) * current**2 * shot


def test_wait_keeps_the_rated_heat() -> None:
    """Time on and wait together have the mean heat of the plate: the invented pack, 3600 A at 25 percent."""
    wait = value("duty-off-time", "toff", I="3000 A", ton="10 s", Ir="3600 A", Dr="0.25")
    assert 3000**2 * 10 / (10 + wait) == pytest.approx(3600**2 * 0.25, rel=1e-12)


def test_wait_is_never_negative() -> None:
    """A current that could flow without a pause asks for no wait."""
    assert value("duty-off-time", "toff", I="600 A", ton="10 s", Ir="3600 A", Dr="0.25") == 0


def test_gauge_4_0() -> None:
    """AWG: 5 mils times 92 to the power of (36 - n)/39 with n = -3 gives 460 mils, 211 600 cmil, 107.2 mm2."""
    mils = 5 * 92 ** ((36 + 3) / 39)
    given = {"d": f"{mils * 0.0254:.6f} mm"}
    assert value("wire-area", "cmil", **given) == pytest.approx(211600, rel=1e-6)
    assert value("wire-area", "A", **given) == pytest.approx(107.22, abs=0.005)


def test_circular_mils_by_pint() -> None:
    """Circular mils and square millimetres of one wire agree by pint's own registry."""
    import pint

    registry: Any = pint.UnitRegistry()
    area = registry.Quantity(value("wire-area", "A", d="3.7 mm"), "mm**2")
    assert value("wire-area", "cmil", d="3.7 mm") == pytest.approx(
        area.to("circular_mil").magnitude, rel=1e-6
    )


@pytest.mark.parametrize(("area", "most"), [(50, 0.387), (70, 0.268), (95, 0.193), (120, 0.153)])
def test_iec_60228_class_2_is_the_greatest(area: int, most: float) -> None:
    """The nominal area stays below the greatest resistance of IEC 60228 class 2 (as reported), by under 12 %."""
    nominal = value("cable-resistance", "R", rho="0.017241 ohm*mm2/m", L="1 km", A=f"{area} mm2")
    assert 0.88 * most < nominal < most


def test_both_resistance_forms_agree() -> None:
    """Metric form and foot form give the same lead the same resistance: 10.37 is 1.7241e-8 ohm metre."""
    metric = value("cable-resistance", "R", rho="0.017241 ohm*mm2/m", L="100 ft", A="211600 cmil")
    foot = value("cable-resistance-cmil", "R", K="10.371 ohm*cmil/ft", L="100 ft", A="211600 cmil")
    assert metric == pytest.approx(foot, rel=1e-4)


@pytest.mark.parametrize("t", [5, 12, 30, 40])
def test_factor_undoes_the_rounded_coefficient(t: int) -> None:
    """The factor of IEC 60228 brings a resistance warmed with 0.004 per kelvin back to 20 degC exactly."""
    warm = value("cable-hot-resistance", "R2", R1="1 ohm", T1="20 degC", T2=f"{t} degC", alpha="0.004 1/K")
    assert warm * value("cable-kt", "kt", t=f"{t} degC") == pytest.approx(1, rel=1e-12)


def test_drop_of_a_hot_lead_by_parts() -> None:
    """Drop and heat of two leads agree with resistance, warmth, Ohm's law and two leads done one by one."""
    one = value("cable-resistance", "R", rho="0.0172 ohm*mm2/m", L="12 m", A="95 mm2")
    warm = value(
        "cable-hot-resistance", "R2", R1=f"{one!r} ohm", T1="20 degC", T2="60 degC", alpha="0.00393 1/K"
    )
    per_km = warm / 12 * 1000
    drop = value("cable-drop", "V", r=f"{per_km!r} ohm/km", l="12 m", I="2500 A")
    assert drop == pytest.approx(value("cable-drop-simple", "V", R=f"{2 * warm!r} ohm", I="2500 A"), rel=1e-9)


@pytest.mark.parametrize(("current", "seconds"), [(3600, 5), (5000, 4), (2500, 10)])
def test_rise_by_solving_the_heat_balance(current: int, seconds: int) -> None:
    """The closed formula agrees with the heat balance of copper solved step by step, within three percent.

    Copper: 1.724e-8 ohm metre at 20 degC, 0.00393 per kelvin, 3.45e6 joule per cubic metre and kelvin.
    """
    density = current / 107.22e-6

    def rise(_: float, temperature: Any) -> Any:
        return density**2 * 1.724e-8 * (1 + 0.00393 * (temperature - 20)) / 3.45e6

    end = solve_ivp(rise, (0, seconds), [30.0], rtol=1e-9, atol=1e-9).y[0, -1]
    got = value("cable-shot-rise", "T2", I=f"{current} A", A="211600 cmil", t=f"{seconds} s", T1="30 degC")
    assert got - 30 == pytest.approx(end - 30, rel=0.03)


def test_fusing_follows_from_the_rise() -> None:
    """The fusing current heats the same copper to melting by the formula of the rise, within two percent."""
    melting = value("cable-fusing", "I", A="10380 cmil", t="2 s", Ta="25 degC", Tm="1083 degC")
    rising = value("cable-shot-rise", "I", A="10380 cmil", t="2 s", T1="25 degC", T2="1083 degC")
    assert melting == pytest.approx(rising, rel=0.02)


def test_force_by_biot_savart() -> None:
    """The push on one metre agrees with the field of a long straight lead added up piece by piece."""
    current, spacing = 5000.0, 0.05
    field = (
        MU0
        * current
        / (4 * math.pi)
        * 2
        * quad(lambda u: spacing / (spacing**2 + (u / (1 - u)) ** 2) ** 1.5 / (1 - u) ** 2, 0, 1)[0]
    )  # the half line from 0 to infinity, folded onto 0 to 1
    assert value("cable-force", "F", I="5000 A", s="0.05 m") == pytest.approx(current * field, rel=1e-6)


def test_reactance_by_flux() -> None:
    """The loop's inductance agrees with the flux between the leads and the energy inside them."""
    spacing, radius, length = 0.2, 0.00584, 10.0
    outside = 2 * quad(lambda x: MU0 / (2 * math.pi * x), radius, spacing)[0]
    energy = quad(
        lambda x: (MU0 * x / (2 * math.pi * radius**2)) ** 2 / (2 * MU0) * 2 * math.pi * x, 0, radius
    )[0]
    inductance = length * (outside + 2 * 2 * energy)
    got = value("cable-loop-reactance", "X", s="0.2 m", a="0.00584 m", f="60 Hz", l="10 m")
    assert got == pytest.approx(2 * math.pi * 60 * inductance, rel=1e-6)


def test_outlet_and_what_is_left() -> None:
    """A 600 W lamp on 120 V takes 5 A; with 8 A beside it a 15 A outlet keeps 2 A (own numbers)."""
    given = {"V": "120 V", "I1": "8 A", "P2": "600 W", "limit": "15 A"}
    assert value("outlet-load", "I", **given) == pytest.approx(13)
    assert value("outlet-load", "left", **given) == pytest.approx(2)


@pytest.mark.parametrize(("legs", "angle"), [(2, 45), (3, 60), (4, 30)])
def test_sling_holds_the_weight(legs: int, angle: int) -> None:
    """The upright parts of all leg loads together carry the weight at standard gravity."""
    leg = value("sling-load", "F", m="800 kg", n=str(legs), angle=f"{angle} deg")
    assert legs * leg * math.sin(math.radians(angle)) == pytest.approx(800 * 9.80665, rel=1e-12)


def test_bare_lead_4_0_per_metre() -> None:
    """A metre of bare 4/0 copper weighs 0.96 kg (from its geometry and 8.96 g per cubic centimetre)."""
    assert value("lead-mass", "m", A="107.22 mm2", l="1 m", n="1") == pytest.approx(0.96, abs=0.005)


@pytest.mark.parametrize(
    ("start", "end", "fall"), [(3000, 30, 0.1), (3000, 30, 0.2), (3000, 30, 0.5), (3600, 36, 0.1)]
)
def test_steps_by_stepping(start: int, end: int, fall: float) -> None:
    """The number of steps agrees with stepping down one by one: 44, 21, 7 and 44 (own numbers)."""
    current, steps = float(start), 0
    while current > end:
        current, steps = current * (1 - fall), steps + 1
    assert value("demag-steps", "n", I0=f"{start} A", If=f"{end} A", p=str(fall)) == steps
    at = value("demag-step-current", "I", I0=f"{start} A", p=str(fall), k=str(steps))
    assert at == pytest.approx(current, rel=1e-9)


def test_equal_steps_by_stepping() -> None:
    """Equal amperes taken off reach zero with the last, smaller step counted."""
    current, steps = 2000.0, 0
    while current > 0:
        current, steps = current - 130, steps + 1
    assert value("demag-equal-steps", "n", I0="2000 A", dI="130 A") == steps


@pytest.mark.parametrize("wanted", [40, 240, 400])
def test_withdrawal_by_biot_savart(wanted: int) -> None:
    """At the distance found, the field of the ring added up piece by piece is the field to reach."""
    turns, current, radius = 5, 1000.0, 0.1524
    x = value("demag-withdrawal", "x", N=str(turns), I=f"{current} A", R=f"{radius} m", H=f"{wanted} A/m")
    pieces = quad(lambda angle: radius**2 / (radius**2 + x**2) ** 1.5, 0, 2 * math.pi)[0]
    assert turns * current / (4 * math.pi) * pieces == pytest.approx(wanted, rel=1e-9)


def test_withdrawal_table() -> None:
    """Five turns of 12 in diameter at 1000 A leave 73 A/m at 36 in and 234 A/m at 24 in (own table)."""
    for inches, field in ((24, 234), (36, 73), (48, 31)):
        x = value("demag-withdrawal", "x", "in", N="5", I="1000 A", R="6 in", H=f"{field} A/m")
        assert x == pytest.approx(inches, rel=0.01)
