"""Coils, prods and head shots: the traps of the documents, and second ways to the same number."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from tests.banks import shipped_shelf
from trainer.drills.work import work

MU0 = 4e-7 * math.pi
TOPICS = ("coil", "prods", "direct-contact")


def value(drill: str, find: str, unit: str | None = None, **amounts: str) -> float:
    """The value of one find, in its working unit or the one named."""
    return work(shipped_shelf(), drill, amounts, find, unit).value


# Where a printed figure is not what its relation gives: the misprint as printed, and who prints it.
MISPRINTS = [
    ("coil-fill-ratio", "eta", {"D": "1 in", "coil": "2 in"}, 4, "Problems and solutions sheet 2022, 7"),
    ("solenoid-field", "B", {"N": "1000", "I": "5 A", "l": "0.1 m"}, 0.06285, "School physics page 11, 3"),
    ("solenoid-field", "N", {"B": "0.005 T", "I": "1 A", "l": "0.1 m"}, 3977.7, "School physics page 11, 4"),
    ("solenoid-field", "B", {"N": "59", "I": "18 A", "l": "50 mm"}, 0.04, "School laboratory sheet, table"),
    ("solenoid-field", "B", {"N": "59", "I": "15 A", "l": "50 mm"}, 0.031, "School laboratory sheet, table"),
]


@pytest.mark.parametrize(("drill", "find", "amounts", "printed", "document"), MISPRINTS)
def test_misprint_is_not_repeated(
    drill: str, find: str, amounts: dict[str, str], printed: float, document: str
) -> None:
    """Where a document prints a figure that its own relation does not give, ours is the relation's."""
    assert abs(value(drill, find, **amounts) / printed - 1) > 1e-4, document


def test_two_in_the_bracket() -> None:
    """A copy of ASME V T-753.2(a) lost the bracket round L/D + 2: L/D 6 is 4375 ampere-turns and not 5835."""
    assert value("coil-high-fill", "NI", ratio="6") == pytest.approx(4375)
    assert value("coil-asme", "NI", ratio="6") == pytest.approx(4375)


# The rules of documents at the places where trainees fall


def test_asme_jumps_at_a_ratio_of_four() -> None:
    """ASME V T-753.2: L/D 4 belongs to the row with 35 000, and just below it the value nearly doubles."""
    assert value("coil-asme", "NI", L="12 in", D="3 in") == pytest.approx(35000 / 6)
    assert value("coil-asme", "NI", ratio="3.9999 1") == pytest.approx(11250, rel=1e-4)


def test_navsea_counts_two_below_two() -> None:
    """NAVSEA T9074 page 63: below L/D 2 the value 2 goes in, so the ampere-turns stay at 22 500."""
    assert value("coil-navsea", "NI", L="3 in", D="3 in") == pytest.approx(22500)
    assert value("coil-navsea", "NI", L="6 in", D="3 in") == pytest.approx(22500)


def test_ratio_counts_as_fifteen_above_it() -> None:
    """Formula sheets of the E709 / E1444 line: L/D 24 counts as 15, 3000 ampere-turns and not 1875."""
    assert value("coil-low-fill-wall", "NI", L="24 in", D="1 in", K="45000 A") == pytest.approx(3000)
    centred = value("coil-low-fill-centred", "NI", L="24 in", D="1 in", R="6 in")
    assert centred == pytest.approx(value("coil-low-fill-centred", "NI", L="15 in", D="1 in", R="6 in"))


@given(slender=st.integers(25, 140), part=st.sampled_from([2, 3, 4, 5]))
@settings(max_examples=40)
def test_intermediate_fill_meets_both_rules(slender: int, part: int) -> None:
    """Formula sheets: at a fill of 2 the mix is the high-fill rule, at 10 the low-fill rule."""
    ratio = slender / 10
    sizes = {"L": f"{ratio * part} in", "D": f"{part} in"}
    full = value("coil-intermediate-fill", "NI", coil=f"{part * math.sqrt(2):.12f} in", **sizes)
    wide = value("coil-intermediate-fill", "NI", coil=f"{part * math.sqrt(10):.12f} in", **sizes)
    assert full == pytest.approx(value("coil-high-fill", "NI", **sizes))
    assert wide == pytest.approx(45000 / ratio)


def test_radius_in_millimetres_with_the_printed_constant() -> None:
    """ASTM E709 as remembered: 1690 with the coil radius in millimetres lies inside what is accepted."""
    for seed in range(100):
        exercise = shipped_shelf().draw("coil-low-fill-centred", seed, "NI")
        ratio = min(exercise.given["L"] / exercise.given["D"], 15)
        printed = 1690 * 25.4 * exercise.given["R"] / (6 * ratio - 5)
        assert exercise.accepted.holds(printed)


def test_tolerance_of_ten_percent_on_ampere_turns() -> None:
    """ASME V T-753.2(a) and (b), NAVSEA page 63: ten percent off the exact value is accepted, twelve is not."""
    for drill in ("coil-asme", "coil-navsea", "coil-high-fill", "coil-low-fill-wall"):
        exercise = shipped_shelf().draw(drill, 3, "NI")
        assert exercise.accepted.holds(0.9 * exercise.answer)
        assert exercise.accepted.holds(1.1 * exercise.answer)
        assert not exercise.accepted.holds(0.88 * exercise.answer)
        assert not exercise.accepted.holds(1.12 * exercise.answer)


def test_three_quarter_inch_belongs_to_the_thick_row() -> None:
    """ASME V T-752.2: a section of exactly 3/4 in takes 100 to 125 A an inch, a thinner one 90 to 110."""
    assert value("prod-current-asme", "low", s="6 in", t="0.75 in") == pytest.approx(600)
    assert value("prod-current-asme", "high", s="6 in", t="0.75 in") == pytest.approx(750)
    assert value("prod-current-asme", "low", s="6 in", t="0.74 in") == pytest.approx(540)
    assert value("prod-current-asme", "high", s="6 in", t="1/2 in") == pytest.approx(660)


def test_any_current_of_the_prod_row_is_right() -> None:
    """ASME V T-752.2: both ends of the row and everything between them is accepted, and nothing outside."""
    for seed in range(50):
        exercise = shipped_shelf().draw("prod-current-asme", seed, "I")
        thick = exercise.given["t"] >= 0.75
        low, high = (100, 125) if thick else (90, 110)
        spacing = exercise.given["s"]
        assert exercise.accepted.low == pytest.approx(low * spacing)
        assert exercise.accepted.high == pytest.approx(high * spacing)


def test_prods_stand_eight_inches_apart_at_most() -> None:
    """ASME V T-752.3: 1200 A at 100 A an inch would reach 12 in, but 8 in is the limit."""
    assert value("prod-spacing-for-pack", "s", Imax="1200 A", a="100 A/in") == 8
    assert value("prod-spacing-for-pack", "s", Imax="600 A", a="100 A/in") == pytest.approx(6)


def test_iso_prods_against_the_inch_rule() -> None:
    """ISO 9934-1:2001 A.2 at 2 kA/m is 5 A/mm, which is 127 A an inch."""
    current = value("prod-current-iso", "I", H="2 kA/m", d="25.4 mm")
    assert current == pytest.approx(127)
    assert value("prod-current-rate", "a", I=f"{current} A", s="25.4 mm") == pytest.approx(5)


def test_iso_rigid_coil_as_remembered() -> None:
    """ISO 9934-1 Annex A from memory: L/D 5, 2 kA/m and AC give 3520 ampere-turns, and it is never scored."""
    assert value("coil-iso-rigid", "NI", H="2 kA/m", K="22000 1", ratio="5 1") == pytest.approx(3520)
    assert shipped_shelf().bank.drill("coil-iso-rigid").drill.unconfirmed


# Second ways to the same number


@given(outside=st.integers(20, 80), share=st.integers(30, 95))
@settings(max_examples=40)
def test_effective_diameter_by_areas(outside: int, share: int) -> None:
    """T.O. 33B-1-1 3.3.12.6.3.4 writes twice the root of the steel area over pi; diameters give the same."""
    whole, bore = outside / 10, outside * share / 1000
    steel = math.pi / 4 * (whole**2 - bore**2)
    got = value("coil-effective-diameter", "Deff", OD=f"{whole} in", ID=f"{bore} in")
    assert got == pytest.approx(2 * math.sqrt(steel / math.pi))
    wall = (whole - bore) / 2
    part = {"OD": f"{whole} in", "t": f"{wall:.12f} in", "L": "12 in", "N": "5 1"}
    assert value("coil-hollow-part", "I", **part) == pytest.approx(45000 * got / (12 * 5))


@given(length=st.integers(20, 400), reach=st.sampled_from([12, 15, 16, 18]), lap=st.integers(0, 40))
@settings(max_examples=60)
def test_positions_cover_the_part_and_one_less_does_not(length: int, reach: int, lap: int) -> None:
    """Laying the positions out along the part covers it, and leaving one out leaves a piece uncovered."""
    share = lap / 100
    n = value("coil-sections", "n", L=f"{length} in", Z=f"{reach} in", s=f"{share} 1")
    covered = [reach + k * reach * (1 - share) for k in range(int(n))]
    assert covered[-1] >= length - 1e-6
    assert n == 1 or covered[-2] < length


@given(weld=st.integers(4, 200), spacing=st.sampled_from([4, 6, 8]), lap=st.sampled_from([0.5, 1, 1.5]))
@settings(max_examples=60)
def test_placements_cover_the_weld_and_one_less_does_not(weld: int, spacing: int, lap: float) -> None:
    """Walking the prods along the weld covers it, and one placement less does not."""
    n = value("prod-placements", "n", W=f"{weld} in", s=f"{spacing} in", o=f"{lap} in")
    covered = [spacing + k * (spacing - lap) for k in range(int(n))]
    assert covered[-1] >= weld - 1e-6
    assert n == 1 or covered[-2] < weld


def _loop_field(radius: float, x: float) -> float:
    """Axial field of one ampere in one loop, by summing Biot and Savart over the wire."""

    def piece(angle: float) -> float:
        wire = (radius * math.cos(angle), radius * math.sin(angle))
        along = (-radius * math.sin(angle), radius * math.cos(angle))
        way = math.sqrt(radius**2 + x**2)
        return (along[0] * -wire[1] - along[1] * -wire[0]) / (4 * math.pi * way**3)

    return quad(piece, 0, 2 * math.pi)[0]


@pytest.mark.parametrize("radius", [0.15, 0.3])
@pytest.mark.parametrize("x", [0.05, 0.2, 0.9])
def test_field_on_the_axis_by_biot_savart(radius: float, x: float) -> None:
    """Biot and Savart summed over five loops of 1000 A give the field on the axis and in the middle."""
    got = value("coil-axis-field", "H", N="5 1", I="1000 A", R=f"{radius} m", x=f"{x} m")
    assert got == pytest.approx(5000 * abs(_loop_field(radius, x)), rel=1e-9)
    centre = value("coil-centre-field", "H", N="5 1", I="1000 A", R=f"{radius} m")
    assert centre == pytest.approx(5000 * abs(_loop_field(radius, 0)), rel=1e-9)
    flux = value("coil-centre-field", "B", N="5 1", I="1000 A", R=f"{radius} m")
    assert flux == pytest.approx(MU0 * centre)


@pytest.mark.parametrize(("times", "least", "most"), [(5, 1.015, 1.025), (20, 1.0, 1.002)])
def test_long_coil_as_many_loops(times: int, least: float, most: float) -> None:
    """Loops laid side by side approach turns per length times current; five widths overstate it by 2 percent."""
    radius, turns = 0.02, 300
    length = times * 2 * radius
    summed = quad(lambda z: abs(_loop_field(radius, z)) * turns / length, -length / 2, length / 2)[0]
    got = value("solenoid-field", "H", N=f"{turns} 1", I="1 A", l=f"{length} m")
    assert least < got / summed < most


def _wire_field(distance: float, reach: float) -> float:
    """Field of one ampere in a straight wire from -reach to reach, by summing Biot and Savart."""

    def piece(z: float) -> float:
        return distance / (4 * math.pi * math.hypot(distance, z) ** 3)

    return quad(piece, -reach, reach, points=[0], limit=400)[0]


@pytest.mark.parametrize("diameter", [0.02, 0.05, 0.15])
def test_surface_field_by_biot_savart(diameter: float) -> None:
    """A long straight wire seen from half the diameter gives the field at the surface of the bar."""
    got = value("surface-field", "H", I="1200 A", D=f"{diameter} m")
    assert got == pytest.approx(1200 * _wire_field(diameter / 2, 200 * diameter), rel=1e-4)


@pytest.mark.parametrize(
    ("rate", "gauss"),
    [(160, 25.2), (300, 47.2), (381, 60), (500, 78.7), (800, 126), (1000, 157.5), (1200, 189)],
)
@pytest.mark.parametrize("inches", [1, 3.5])
def test_same_amperes_per_inch_same_field(rate: float, gauss: float, inches: float) -> None:
    """Current over diameter decides the field: the same amperes an inch give the same gauss at any size."""
    current = value("head-shot-rate", "I", a=f"{rate} A/in", D=f"{inches} in")
    got = value("surface-field", "B", "G", I=f"{current} A", D=f"{inches} in")
    assert got == pytest.approx(gauss, abs=0.06)


@pytest.mark.parametrize("diameter", [20, 50, 120])
def test_iso_head_shot_is_the_law_of_ampere(diameter: int) -> None:
    """ISO 9934-1:2001 A.1 and the field at the surface of a round bar are one law read in two directions."""
    around = math.pi * diameter
    current = value("head-shot-iso", "I", H="2 kA/m", p=f"{around:.9f} mm")
    assert value("surface-field", "H", I=f"{current} A", D=f"{diameter} mm") == pytest.approx(2000)
    odd = value("head-shot-perimeter", "D", "mm", P=f"{around:.9f} mm")
    assert odd == pytest.approx(diameter)


def test_winding_resistance_by_another_registry() -> None:
    """pint's own definitions give the same resistance and heat from ohm metre, metre and millimetre."""
    other = pint.UnitRegistry()
    area = math.pi / 4 * (1.5 * other.millimeter) ** 2
    length = 0.4 * other.meter * 400
    ohms = (0.0172e-6 * other.ohm * other.meter * length / area).to("ohm")
    heat = (ohms * (5 * other.ampere) ** 2).to("watt")
    wire = {"rho": "0.0172 ohm*mm2/m", "lt": "0.4 m", "N": "400 1", "d": "1.5 mm"}
    assert value("coil-winding-heat", "R", **wire) == pytest.approx(ohms.magnitude)
    assert value("coil-winding-heat", "P", I="5 A", **wire) == pytest.approx(heat.magnitude)
    assert value("coil-winding-heat", "I", P=f"{heat.magnitude} W", **wire) == pytest.approx(5)


# What this part of the bank promises


def _drills() -> list[str]:
    return [i for i, entry in shipped_shelf().bank.drills.items() if entry.drill.topic in TOPICS]


def test_mistakes_are_many_and_apart() -> None:
    """Each drill of these topics names at least six mistakes, and none of them counts as right in 20 draws."""
    for drill_id in _drills():
        drill = shipped_shelf().bank.drill(drill_id).drill
        assert len(drill.slips) >= 6, drill_id
        for find in drill.finds:
            for seed in range(20):
                exercise = shipped_shelf().draw(drill_id, seed, find)
                assert all(not exercise.accepted.holds(s.value) for s in exercise.slips), (drill_id, find)


def test_current_carries_its_cautions() -> None:
    """Every drill that sets a current warns of current or heat; prods and heads warn of their burns."""
    for drill_id in _drills():
        drill = shipped_shelf().bank.drill(drill_id).drill
        if "I" in drill.quantities:
            assert "heat" in drill.cautions, drill_id
        if drill.topic != "coil":
            assert {"prod-arcs", "contact-arcs"} & set(drill.cautions), drill_id
