"""Coils, prods, contacts, conductors, rings, fields and the rest against published figures and second ways."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pint
import pytest
import yaml
from scipy.integrate import quad

from tests.banks import shipped_shelf
from trainer.drills.work import work
from trainer.formulas.units import convert

ROWS: list[dict[str, Any]] = yaml.safe_load(Path(__file__).with_name("magnetizing.yaml").read_text("utf-8"))
MU0 = 4e-7 * math.pi


def value(drill: str, find: str, **given: str) -> float:
    """The value of one find in its working unit."""
    return work(shipped_shelf(), drill, given, find).value


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['example']}-{row['find']}")
def test_worked_example(row: dict[str, Any]) -> None:
    """Each drill gives the figure of the document and clause named in its row, to the printed rounding."""
    assert row["document"], "every row names where its figure comes from"
    got = work(shipped_shelf(), row["drill"], row["given"], row["find"], row["expect"]["unit"]).value
    assert got == pytest.approx(row["expect"]["value"], abs=row["within"]), (row["document"], row["clause"])


@pytest.mark.parametrize(("radius", "distance"), [(0.15, 0.0), (0.15, 0.1), (0.3, 0.9)])
def test_axis_field_by_biot_savart(radius: float, distance: float) -> None:
    """The field on a coil's axis agrees with the integral over its turn (law of Biot and Savart)."""
    per_angle = radius * radius / (radius**2 + distance**2) ** 1.5 / (4 * math.pi)
    by_integral = quad(lambda _: 5 * 800 * per_angle, 0, 2 * math.pi)[0]
    given = {"N": "5", "I": "800 A", "R": f"{radius} m", "x": f"{distance} m"}
    assert value("coil-axis-field", "H", **given) == pytest.approx(by_integral, rel=1e-9)


def test_centre_is_the_axis_at_zero() -> None:
    """Two drills give the same field at the middle of a coil."""
    centre = value("coil-centre-field", "H", N="4", I="1200 A", R="0.2 m")
    assert centre == pytest.approx(value("coil-axis-field", "H", N="4", I="1200 A", R="0.2 m", x="0 m"))


def test_surface_field_is_the_conductors_at_its_radius() -> None:
    """A bar's surface field equals the field of a conductor at half the bar's diameter (Ampere's law)."""
    bar = value("surface-field", "H", I="900 A", D="0.12 m")
    assert bar == pytest.approx(value("conductor-field", "H", I="900 A", r="0.06 m", n="1"))


def test_intermediate_fill_meets_both_ends() -> None:
    """At a fill of 2 the intermediate form is the high-fill form, at 10 the low-fill form (formula sheets)."""
    low = value("coil-intermediate-fill", "NI", high="5000 A", low="9000 A", r="10")
    high = value("coil-intermediate-fill", "NI", high="5000 A", low="9000 A", r="2")
    assert (low, high) == (pytest.approx(9000), pytest.approx(5000))


# NIST SP 811 (2008), Appendix B.8: factors from other units to SI.
NIST = [
    ("in", "m", 2.54e-2), ("ft", "m", 3.048e-1), ("lb", "kg", 4.5359237e-1), ("lbf", "N", 4.4482216152605),
    ("Oe", "A/m", 79.57747), ("G", "T", 1e-4), ("fc", "lx", 10.76391), ("cmil", "mm2", 5.067075e-4),
]  # fmt: skip


@pytest.mark.parametrize(("unit", "si", "factor"), NIST)
def test_factors_of_nist(unit: str, si: str, factor: float) -> None:
    """Our factors are those of NIST SP 811 (2008), Appendix B.8."""
    assert convert(1, unit, si) == pytest.approx(factor, rel=3e-7)


@pytest.mark.parametrize(
    ("ours", "theirs", "to", "to_theirs"),
    [
        ("in", "inch", "mm", "mm"), ("lb", "pound", "kg", "kg"), ("lbf", "pound_force", "N", "newton"),
        ("ohm/m", "ohm/meter", "ohm/km", "ohm/km"), ("A/in", "ampere/inch", "A/mm", "ampere/mm"),
        ("uW/cm2", "microwatt/cm**2", "W/m2", "watt/m**2"),
    ],
)  # fmt: skip
def test_factors_of_pint(ours: str, theirs: str, to: str, to_theirs: str) -> None:
    """Our table agrees with the registry that pint ships."""
    expected = pint.UnitRegistry().Quantity(1.0, theirs).to(to_theirs).magnitude
    assert convert(1, ours, to) == pytest.approx(expected, rel=1e-9)
