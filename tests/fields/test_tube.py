"""Tubes and conductors in bores against Ampère's law, scipy, and a field that must be continuous."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from trainer.fields import tube, wire
from trainer.fields.tube import Offset


@pytest.mark.parametrize("r", [0.01, 0.025, 0.03, 0.05, 0.2])
def test_head_shot_by_enclosed_current(r: float) -> None:
    """The field of a tube that carries the current is the current inside the circle over its length."""
    density = 1000 / (math.pi * (0.04**2 - 0.02**2))
    enclosed, _ = quad(lambda x: density * 2 * math.pi * x, 0.02, min(max(r, 0.02), 0.04))
    assert tube.head_shot(1000, 0.04, 0.02, r) == pytest.approx(enclosed / (2 * math.pi * r))


def test_central_conductor() -> None:
    """Outside the bar it is a long wire; inside the bar it grows from nothing."""
    assert tube.central(1000, 0.01, 0.03) == wire.around(1000, 0.03)
    assert tube.central(1000, 0.01, 0.005) == pytest.approx(wire.around(1000, 0.01) / 2)


@pytest.mark.parametrize("angle", [0.0, 0.4, 2.0, math.pi])
def test_without_steel_it_is_a_wire(angle: float) -> None:
    """With permeability 1 the field along both surfaces is that of the wire, turned into the surface."""
    off = 0.05
    it = Offset(1000, off, 0.06, 0.08, 1.0)
    for radius, got in ((0.08, it.outside(angle)), (0.06, it.bore(angle))):
        dx, dy = radius * math.cos(angle) - off, radius * math.sin(angle)
        r = math.hypot(dx, dy)
        along = (dx * math.cos(angle) + dy * math.sin(angle)) / r
        assert got == pytest.approx(wire.around(1000, r) * along)


def test_the_sum_is_the_closed_form() -> None:
    """The cosines of a permeability of almost 1 add up to the closed form of exactly 1."""
    bare, nearly = Offset(1000, 0.05, 0.06, 0.08, 1.0), Offset(1000, 0.05, 0.06, 0.08, 1 + 1e-9)
    for angle in (0.0, 0.7, 3.0):
        assert nearly.outside(angle) == pytest.approx(bare.outside(angle), rel=1e-4)
        assert nearly.bore(angle) == pytest.approx(bare.bore(angle), rel=1e-4)


@pytest.mark.parametrize("permeability", [1.0, 5.0, 100.0])
def test_both_surfaces_enclose_the_current(permeability: float) -> None:
    """The field added up round the bore and round the outside is the current (Ampère's law)."""
    it = Offset(1000, 0.045, 0.06, 0.08, permeability)
    for radius, field in ((0.08, it.outside), (0.06, it.bore)):
        total, _ = quad(lambda a, f=field, r=radius: f(a) * r, 0, 2 * math.pi, limit=200)
        assert total == pytest.approx(1000, rel=1e-4)


def test_permeable_steel_by_finite_differences() -> None:
    """The sizes of the second cosine, found by solving the four conditions at the surfaces as equations."""
    from scipy.linalg import solve

    off, a, b, mu, m = 0.045, 0.06, 0.08, 7.0, 2
    s = (off / a) ** m / m  # source at the bore, in units of mu0 I / 2 pi
    rows = [
        [1, -(a**m), -(a**-m), 0],
        [1, -(a**m) / mu, a**-m / mu, 0],
        [0, b**m, b**-m, -1],
        [0, b**m / mu, -(b**-m) / mu, 1],
    ]
    bore, _, _, outer = solve(rows, [-s, s, 0, 0])
    it = Offset(1.0, off, a, b, mu)
    for radius, field, want in ((b, it.outside, m * outer), (a, it.bore, m * (s - bore))):
        size, _ = quad(lambda t, f=field: f(t) * math.cos(m * t), 0, 2 * math.pi)
        assert size / math.pi == pytest.approx(want / (2 * math.pi * radius), rel=1e-5)
