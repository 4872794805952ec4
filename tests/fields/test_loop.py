"""Loops and coils against Biot and Savart integrated by scipy, and against scipy's elliptic integrals."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad
from scipy.special import ellipe, ellipk

from trainer.fields import loop
from trainer.fields.loop import Coil


def integrated(radius: float, r: float, z: float) -> tuple[float, float]:
    """Biot and Savart round a loop of 1 A: outward and along."""

    def over(p: float) -> float:
        return (r**2 + radius**2 + z**2 - 2 * r * radius * math.cos(p)) ** 1.5

    outward, _ = quad(lambda p: radius * z * math.cos(p) / over(p), 0, math.pi)
    along, _ = quad(lambda p: radius * (radius - r * math.cos(p)) / over(p), 0, math.pi)
    return outward / (2 * math.pi), along / (2 * math.pi)


@pytest.mark.parametrize("r", [0.0, 0.02, 0.1, 0.149, 0.2, 0.6])
@pytest.mark.parametrize("z", [-0.3, 0.01, 0.2])
def test_a_loop_off_its_axis(r: float, z: float) -> None:
    """Both parts of the field are what integration round the loop gives."""
    expected = integrated(0.15, r, z)
    for got, want in zip(loop.field(1.0, 0.15, r, z), expected, strict=True):
        assert got == pytest.approx(want, rel=1e-7, abs=1e-9)


@pytest.mark.parametrize("m", [0.0, 0.1, 0.5, 0.9, 0.999999])
def test_elliptic_integrals(m: float) -> None:
    """The mean of arithmetic and geometry gives scipy's integrals."""
    assert loop.elliptic(m) == pytest.approx((ellipk(m), ellipe(m)), rel=1e-12)


def test_five_turns_on_the_axis() -> None:
    """Five turns of 12 in and 1000 A: the table of the body of knowledge, 18.1."""
    coil = Coil(5, 1000, 0.1524, 0)
    for inches, field in ((0, 16404), (6, 5800), (12, 1467), (36, 73)):
        assert coil.on_axis(inches * 0.0254) == pytest.approx(field, rel=0.004)


def test_many_turns_are_a_solenoid() -> None:
    """A long close row of loops has the field of the thin solenoid on its axis."""
    coil = Coil(400, 10, 0.05, 0.4)
    ideal = 400 * 10 / math.hypot(0.4, 0.1)
    assert coil.on_axis(0) == pytest.approx(ideal, rel=0.003)
    assert coil.field(0.02, 0.0)[1] == pytest.approx(coil.on_axis(0), rel=0.02)


def test_on_the_wire_there_is_no_number() -> None:
    """The field on the wire itself is without bounds and says so."""
    assert loop.field(1.0, 0.1, 0.1, 0.0) == (math.inf, math.inf)
