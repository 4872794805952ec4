"""Conductors, rings, yokes, fields, light, bath, marks and conversions: traps of the documents, second ways."""

from __future__ import annotations

import math
from functools import cache
from typing import Any

import numpy as np
import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.linalg import solve_banded

from tests.banks import shipped_shelf
from trainer.drills.draw import draw
from trainer.drills.marking import judged
from trainer.drills.work import Worked, work

MU0 = 4e-7 * math.pi
TOPICS = (
    "central-conductor", "rings", "yokes", "field", "skin-depth", "light", "bath", "acceptance",
    "scores-and-hours", "conversions",
)  # fmt: skip


@cache
def _registry() -> Any:
    return pint.UnitRegistry()


def solved(drill: str, find: str, unit: str | None = None, **amounts: str) -> Worked:
    """Work one find of a drill of the bank."""
    return work(shipped_shelf(), drill, amounts, find, unit)


def value(drill: str, find: str, unit: str | None = None, **amounts: str) -> float:
    """The value of one find, in its working unit or the one named."""
    return solved(drill, find, unit, **amounts).value


# Where a printed figure is not what its relation gives: the figure as printed, and who prints it.
PRINTED = [
    ("convert-current-per-length", "b", {"a": "90 A/in"}, 3.6, "ASME V T-752.2"),
    ("convert-current-per-length", "b", {"a": "110 A/in"}, 4.4, "ASME V T-752.2"),
    ("convert-current-per-length", "b", {"a": "800 A/in"}, 32, "E1444 line, as reported"),
    ("convert-length", "b", {"a": "18 in"}, 450, "ASME V T-753.2"),
    ("convert-length", "b", {"a": "8 in"}, 200, "ASME V T-752.3"),
    ("convert-length", "b", {"a": "3 in"}, 75, "ASME V T-752.3"),
    ("skin-depth", "delta", {"rho": "5e-7 ohm*m", "f": "20 kHz", "mur": "700"}, 0.95, "Skin-depth table"),
    ("skin-depth-conductivity", "delta", {"sigma": "50 S/m", "f": "50 Hz", "mur": "99.47"}, 1, "French text"),
]  # fmt: skip


@pytest.mark.parametrize(("drill", "find", "amounts", "printed", "document"), PRINTED)
def test_printed_figure_is_not_repeated(
    drill: str, find: str, amounts: dict[str, str], printed: float, document: str
) -> None:
    """Rounded pairs and misprints of documents are told from the exact figure and do not count as it."""
    assert not solved(drill, find, **amounts).exercise.accepted.holds(printed), document


# Central conductor


def _wire(distance: float, reach: float) -> float:
    """Field of one ampere in a straight wire from -reach to reach, by summing Biot and Savart."""
    return float(
        quad(lambda z: distance / (distance**2 + z**2) ** 1.5 / (4 * math.pi), -reach, reach, limit=400)[0]
    )


@pytest.mark.parametrize("distance", [0.02, 0.06, 0.25])
def test_conductor_field_by_biot_savart(distance: float) -> None:
    """Summed over a wire three hundred times longer than the distance, the field is the formula's."""
    got = value("conductor-field", "H", n="3", I="900 A", r=f"{distance} m")
    assert got == pytest.approx(3 * 900 * _wire(distance, 150 * distance), rel=1e-4)


@pytest.mark.parametrize(
    ("current", "millitesla", "metres"), [(1000, 0.5, 0.40), (3600, 0.5, 1.44), (5000, 1, 1.00), (3600, 6, 0.12)]
)  # fmt: skip
def test_distance_to_a_stray_field(current: int, millitesla: float, metres: float) -> None:
    """One long lead falls to 0.5, 1 and 6 mT at the distances of our own table."""
    got = value("conductor-field", "r", n="1", I=f"{current} A", B=f"{millitesla} mT")
    assert got == pytest.approx(metres, abs=0.005)


def test_passes_in_one_bore_add_up() -> None:
    """ASME V T-754.2(b): five passes at 1200 A give the field of one pass at 6000 A."""
    once = value("conductor-field", "H", n="1", I="6000 A", r="0.08 m")
    current = value("conductor-passes", "I", I1="6000 A", n="5")
    assert value("conductor-field", "H", n="5", I=f"{current} A", r="0.08 m") == pytest.approx(once)


@settings(max_examples=60)
@given(
    across=st.integers(8, 60).map(lambda k: k / 2),
    bar=st.sampled_from([0.5, 0.75, 1, 1.5, 2]),
    percent=st.integers(5, 25),
)
def test_shots_go_round_and_one_less_does_not(across: float, bar: float, percent: int) -> None:
    """Arcs of four bar diameters with their overlaps close the way round; one arc fewer leaves a gap."""
    n = value("conductor-shots", "n", X=f"{across} in", d=f"{bar} in", s=f"{percent} percent")
    added, way = 4 * bar * (1 - percent / 100), math.pi * across
    assert n * added >= way * (1 - 1e-9)
    assert (n - 1) * added < way


def test_arc_outside_and_inside() -> None:
    """A 10 in ring of 3/4 in wall takes 9 shots measured outside (ASME V) and 8 inside (Spanish text)."""
    counts = [value("conductor-shots", "n", X=x, d="1 in", s="10 percent") for x in ("10 in", "8.5 in")]
    assert counts == [9, 8]


def test_any_current_of_the_offset_band_is_right() -> None:
    """ASME V T-754.2(c): 1 in bar and 3/4 in wall take 750 to 2000 A, both ends included, nothing beyond."""
    accepted = solved("conductor-offset-band", "I", d="1 in", t="0.75 in").exercise.accepted
    assert all(accepted.holds(x) for x in (750, 1234, 2000))
    assert not any(accepted.holds(x) for x in (740, 2010))


def test_offset_bar_in_a_solid_wall_is_the_centred_bar() -> None:
    """Where bar and two walls fill the whole part, offset and centred rule give the same current."""
    offset = value("conductor-offset", "I", d="1 in", t="1.5 in", a="500 A/in")
    assert offset == pytest.approx(value("conductor-centred", "I", OD="4 in", a="500 A/in"))


# Rings


@pytest.mark.parametrize("off", [0.0, 0.03, 0.08])
def test_ring_mean_by_summing_round_the_path(off: float) -> None:
    """Wherever the cable stands in the bore, the field along the ring's middle averages to the formula."""
    radius, amperes = 0.12, 4 * 600

    def along(angle: float) -> float:
        x, y = radius * math.cos(angle) - off, radius * math.sin(angle)
        strength = amperes / (2 * math.pi * (x * x + y * y))
        return strength * (-y * -math.sin(angle) + x * math.cos(angle))

    mean = quad(along, 0, 2 * math.pi, limit=200)[0] / (2 * math.pi)
    assert value("ring-mean-field", "H", N="4", I="600 A", r="0.12 m") == pytest.approx(mean, rel=1e-8)


def test_ring_current_as_remembered() -> None:
    """ISO 9934-1 Annex A from memory: 2 kA/m round a section of 150 mm is 300 A, and it is never scored."""
    assert value("ring-induced-current", "Iring", H="2 kA/m", p="150 mm") == pytest.approx(300)
    assert shipped_shelf().bank.drill("ring-induced-current").drill.unconfirmed


def test_flux_by_another_registry() -> None:
    """pint's own mu zero gives the flux of the toroid of the Applied Electricity paper 2010, question 3."""
    units = _registry()
    turns = 300 * units("6 A") / units("0.9 m") * units("mu_0") * units("4 cm**2")
    got = value("ring-flux", "flux", N="300", I="6 A", l="0.9 m", A="4 cm2")
    assert got == pytest.approx(turns.to("weber").magnitude, rel=1e-6)


# Yokes


@pytest.mark.parametrize(
    ("mass", "newton"),
    [("10 lb", 44.48), ("30 lb", 133.4), ("40 lb", 177.9), ("50 lb", 222.4), ("4.5 kg", 44.1), ("18 kg", 176.5)],
)  # fmt: skip
def test_lift_limits_as_forces(mass: str, newton: float) -> None:
    """The limits of ASME V T-762, the T.O. and E1444 in newtons, at standard gravity."""
    assert value("yoke-lift-force", "F", m=mass) == pytest.approx(newton, abs=0.05)


def test_plain_bar_for_the_lift() -> None:
    """2 by 3 by 6 in of steel is 10.2 lb (own numbers for T.O. 33B-1-1), and pint's own units agree."""
    units = _registry()
    got = value("yoke-test-bar", "m", a="6 in", b="2 in", c="3 in", rho="0.2836 lb/in3")
    assert got == pytest.approx(10.2, abs=0.05)
    steel = units("7850 kg/m**3") * units("36 in**3")
    assert got == pytest.approx(steel.to("pound").magnitude, rel=1e-3)


@pytest.mark.parametrize("tesla", [0.3, 0.5, 1.2])
def test_pull_is_the_energy_of_the_gap(tesla: float) -> None:
    """Opening the gap a little takes the field's energy density times the new room, which is the pull."""
    face, step = 6e-4, 1e-6
    energy = tesla**2 / (2 * MU0) * face * step
    assert value("yoke-pull", "F", B=f"{tesla} T", A="6 cm2") == pytest.approx(energy / step, rel=1e-9)


# Field


def test_window_of_asme_is_accepted_as_printed() -> None:
    """ASME V T-764.2(c) pairs 30 to 60 G with 2.4 to 4.8 kA/m; both printed values count as right."""
    for gauss, printed in ((30, 2400), (60, 4800)):
        assert solved("field-in-air", "H", B=f"{gauss} G").exercise.accepted.holds(printed)


def test_gauss_in_air_by_another_registry() -> None:
    """pint's own gauss (a Gaussian unit, turned into tesla) and mu zero give the same field strength in air."""
    units = _registry()
    expected = ((37.5 * units("gauss")).to("tesla", "Gaussian") / units("mu_0")).to("A/m").magnitude
    assert value("field-in-air", "H", B="37.5 G") == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize("angle", [10, 30, 45, 70])
def test_useful_part_by_vectors(angle: int) -> None:
    """The part of a field vector square to the flaw's line is the field times the sine."""
    field = 3000 * np.array([math.cos(math.radians(angle)), math.sin(math.radians(angle))])
    flaw = np.array([1.0, 0.0])
    across = float(np.linalg.norm(field - field.dot(flaw) * flaw))
    assert value("field-useful-component", "Hn", H="3000 A/m", angle=f"{angle} deg") == pytest.approx(across)


def test_iso_value_lies_in_the_window_of_asme() -> None:
    """2 kA/m rms of a sine peaks at 2.83 kA/m, which is 35.5 G and inside 30 to 60 G (own numbers)."""
    peak = value("field-peak-from-rms", "Hp", Hrms="2 kA/m", crest="1.41421")
    assert peak == pytest.approx(2.83, abs=0.005)
    assert value("field-in-air", "B", H=f"{peak} kA/m") == pytest.approx(35.5, abs=0.05)


# Skin depth


@pytest.mark.parametrize(
    ("hertz", "mur", "depth"), [(60, 100, 2.9), (60, 500, 1.3), (60, 1000, 0.9), (1, 1000, 7.1)]
)
def test_depths_in_steel(hertz: int, mur: int, depth: float) -> None:
    """Steel of 2e-7 ohm metre has the depths of our own table."""
    got = value("skin-depth", "delta", rho="2e-7 ohm*m", f=f"{hertz} Hz", mur=str(mur))
    assert got == pytest.approx(depth, abs=0.05)


def test_depth_by_solving_the_field_equation() -> None:
    """In a slab solved layer by layer the field falls to one over e at the depth of the formula."""
    metre = value("skin-depth", "delta", "m", rho="2e-7 ohm*m", f="60 Hz", mur="500")
    layers, thick = 4000, 12 * metre
    step = thick / layers
    load = 1j * 2 * math.pi * 60 * MU0 * 500 / 2e-7 * step**2
    bands = np.ones((3, layers), dtype=complex)
    bands[1] = -(2 + load)
    right = np.zeros(layers, dtype=complex)
    right[0] = -1  # the field at the surface is one
    field = np.abs(solve_banded((1, 1), bands, right))
    depths = step * np.arange(1, layers + 1)
    assert float(np.interp(-1.0, np.log(field[::-1]), depths[::-1])) == pytest.approx(metre, rel=1e-3)


def test_both_depth_forms_agree() -> None:
    """Resistivity and its reciprocal, the conductivity, give the same depth."""
    by_resistivity = value("skin-depth", "delta", rho="2e-7 ohm*m", f="50 Hz", mur="300")
    by_conductivity = value("skin-depth-conductivity", "delta", sigma="5000000 S/m", f="50 Hz", mur="300")
    assert by_resistivity == pytest.approx(by_conductivity, rel=1e-12)


# Light


@pytest.mark.parametrize(("height", "aside"), [(1.0, 0.5), (1.5, 1.2), (0.6, 0.9)])
def test_aside_is_distance_and_angle_together(height: float, aside: float) -> None:
    """The cube for a place beside the lamp is the square of the slanting way and the cosine of its angle."""
    way, angle = math.hypot(height, aside), math.degrees(math.atan2(aside, height))
    under = value("light-from-intensity", "E", I="800 cd", d=f"{height} m", angle="0 deg")
    there = value("light-from-intensity", "E", I="800 cd", d=f"{way!r} m", angle=f"{angle!r} deg")
    got = value("light-offset-lamp", "E2", E1=f"{under!r} lx", h=f"{height} m", x=f"{aside} m")
    assert got == pytest.approx(there, rel=1e-9)


def test_light_through_a_sphere_stays_the_same() -> None:
    """All light of a small lamp goes through every sphere round it, so reading times area is constant."""
    far = value("light-distance", "E2", E1="40 W/m2", d1="0.3 m", d2="0.75 m")
    assert far * 4 * math.pi * 0.75**2 == pytest.approx(40 * 4 * math.pi * 0.3**2)


def test_light_in_any_kind_of_unit() -> None:
    """The Level II sheet of 2022 works UV-A and lux alike: 1600 at 4 ft is 400 at 8 ft in either unit."""
    for unit in ("uW/cm2", "lx"):
        got = value("light-distance", "E2", unit, E1=f"1600 {unit}", d1="4 ft", d2="8 ft")
        assert got == pytest.approx(400), unit


def test_ten_lux_to_the_foot_candle_is_named() -> None:
    """ASME V T-777.1 prints 1076 lx for 100 fc, which counts; the T.O.'s ten to one is named as a slip."""
    worked = solved("light-units", "lx", fc="100 fc")
    assert judged(worked.mould, worked.exercise, 1076).right
    assert judged(worked.mould, worked.exercise, 1000).slips == ("ten",)


def test_uv_limit_in_both_units() -> None:
    """1000 microwatts on a square centimetre (ASME V T-777.2) are 10 W/m2 (ISO 3059)."""
    assert value("uv-units", "w", u="1000 uW/cm2") == pytest.approx(10)


@pytest.mark.parametrize(("irradiance", "seconds"), [(10, 1000), (20, 500), (50, 200)])
def test_eye_exposure_as_remembered(irradiance: int, seconds: int) -> None:
    """Ten thousand joules on a square metre from memory of ACGIH and ICNIRP, and it is never scored."""
    assert value("uv-exposure-time", "t", E=f"{irradiance} W/m2") == pytest.approx(seconds)
    assert shipped_shelf().bank.drill("uv-exposure-time").drill.unconfirmed


# Bath


def test_dirt_over_the_whole_layer_is_named() -> None:
    """ASME V T-765.3(b), own numbers: 0.07 in 0.25 mL is 38.9 percent; 28 percent divides by the wrong layer."""
    worked = solved("bath-net", "ratio", Vt="0.25 mL", Vd="0.07 mL")
    assert worked.value == pytest.approx(38.9, abs=0.05)
    assert "dirt-not-taken-off" in judged(worked.mould, worked.exercise, 28.0).slips


@settings(max_examples=40)
@given(measured=st.integers(5, 19), target=st.integers(20, 40), litres=st.integers(10, 200))
def test_added_concentrate_reaches_the_target(measured: int, target: int, litres: int) -> None:
    """What is in the bath and what is added make together the concentration of the target."""
    got = value(
        "bath-add", "m", c="1.5 g/L", Vt=f"{target / 100} mL", Vm=f"{measured / 100} mL", Vol=f"{litres} L"
    )
    inside = 1.5 * measured / target * litres
    whole = value("bath-make-up", "m", c="1.5 g/L", Vol=f"{litres} L")
    assert inside + got == pytest.approx(whole, rel=1e-9)


@settings(max_examples=40)
@given(measured=st.integers(25, 60), target=st.integers(10, 24), litres=st.integers(10, 200))
def test_added_vehicle_reaches_the_target(measured: int, target: int, litres: int) -> None:
    """The particles stay the same, so layer times bath is the same before and after."""
    got = value("bath-dilute", "add", Vm=f"{measured / 100} mL", Vt=f"{target / 100} mL", Vol=f"{litres} L")
    assert target * (litres + got) == pytest.approx(measured * litres, rel=1e-9)


# Acceptance, marks and hours


def test_three_to_one_is_the_edge() -> None:
    """ASME VIII-1 Appendix 6, 6-3 calls exactly three to one rounded, so the ratio must come out exactly."""
    assert value("indication-shape", "ratio", l="4.5 mm", w="1.5 mm") == 3
    assert any("rounded" in d for d in shipped_shelf().bank.drill("indication-shape").drill.disagreements)


def test_gap_by_intervals() -> None:
    """The gap is the start of the second less the end of the first; 1.5 mm rejects by ASME VIII-1, 6-4."""
    first_end, second_start = 10 + 2.4 / 2, 14 - 2.6 / 2
    got = value("indication-chain", "gap", x1="10 mm", x2="14 mm", d1="2.4 mm", d2="2.6 mm")
    assert got == pytest.approx(second_start - first_end)
    assert got == pytest.approx(1.5)


@pytest.mark.parametrize("mark", [70, 75, 80, 85])
def test_fewest_right_answers_by_trying(mark: int) -> None:
    """Of every paper length the first number of right answers that reaches the mark is the one given."""
    for questions in range(10, 61):
        fewest = next(k for k in range(questions + 1) if 100 * k >= mark * questions)
        assert value("right-answers-needed", "right", of=str(questions), mark=f"{mark} percent") == fewest


def test_composite_and_its_parts() -> None:
    """81, 75 and 90 make 82, and the composite gives each part back (own numbers)."""
    assert value("composite-grade", "c", g="81 %", s="75 %", p="90 %") == pytest.approx(82)
    assert value("composite-grade", "p", g="81 %", s="75 %", c="82 %") == pytest.approx(90)


def test_month_of_experience() -> None:
    """ISO 9712:2021 as reported counts a day from seven hours and a month from twenty days, so 140 h."""
    assert value("experience-days", "d", h="140 h") == pytest.approx(20)


# Conversions against the registry that pint ships, both ways

PAIRS = [
    ("convert-length", "in", "inch", "millimeter"),
    ("convert-current-per-length", "A/in", "ampere/inch", "ampere/millimeter"),
    ("convert-flux-density", "G", "gauss", "millitesla"),
    ("convert-mass", "lb", "pound", "kilogram"),
    ("convert-force", "lbf", "pound_force", "newton"),
    ("convert-resistance-per-length", "ohm/kft", "ohm/kilofoot", "ohm/kilometer"),
    ("convert-temperature", "degF", "degF", "degC"),
]


@pytest.mark.parametrize(("drill", "unit", "theirs", "to"), PAIRS)
@pytest.mark.parametrize("amount", [0.375, 18, 212, 1390])
def test_conversion_by_another_registry(drill: str, unit: str, theirs: str, to: str, amount: float) -> None:
    """pint's own registry gives the same number, and the way back returns what went in."""
    there = value(drill, "b", a=f"{amount} {unit}")
    expected = _registry().Quantity(amount, theirs).to(to, "Gaussian").magnitude
    assert there == pytest.approx(expected, rel=1e-7, abs=1e-7)
    own = shipped_shelf().bank.drill(drill).drill.quantities["b"].unit
    assert value(drill, "a", b=f"{there:.12f} {own}") == pytest.approx(amount, rel=1e-7, abs=1e-7)


def test_oersted_of_nist() -> None:
    """NIST SP 811 (2008), Appendix B.8 gives 79.57747 A/m for the oersted, and both round figures count."""
    worked = solved("convert-field", "b", a="10 Oe")
    assert worked.value == pytest.approx(795.7747, abs=5e-5)
    assert worked.exercise.accepted.holds(800)


def test_curie_point_of_iron() -> None:
    """770 degC is 1418 degF; the 1390 degF in circulation is a different temperature, 754 degC."""
    assert value("convert-temperature", "a", b="770 degC") == pytest.approx(1418)
    assert value("convert-temperature", "b", a="1390 degF") == pytest.approx(754.4, abs=0.05)


# The house's promises


def _entries() -> list[str]:
    return [i for i, entry in shipped_shelf().bank.drills.items() if entry.drill.topic in TOPICS]


def test_mistakes_are_many_and_apart() -> None:
    """These drills name six mistakes and more on average, and none of them counts as right in 20 draws."""
    named = []
    for drill_id in _entries():
        for find in shipped_shelf().bank.drill(drill_id).drill.finds:
            mould = shipped_shelf().mould(drill_id, find)
            named.append(sum(way is not None for way in mould.slips))
            for seed in range(20):
                exercise = draw(mould, seed)
                assert not any(s.band is None and exercise.accepted.holds(s.value) for s in exercise.slips)
    assert sum(named) / len(named) >= 6


def test_what_can_hurt_carries_its_caution() -> None:
    """Conductors warn of current and heat, yokes of the lift, light of the lamp, the bath of itself."""
    wanted = {
        "central-conductor": {"current", "heat"}, "rings": {"current", "heat"}, "yokes": {"yoke-lift"},
        "light": {"uv-lamp"}, "bath": {"bath-care"},
    }  # fmt: skip
    for drill_id in _entries():
        drill = shipped_shelf().bank.drill(drill_id).drill
        assert wanted.get(drill.topic, set()) <= set(drill.cautions), drill_id
