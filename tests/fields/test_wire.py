"""Long wires against Biot and Savart integrated by scipy."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from trainer.fields import wire


def integrated(current: float, distance: float) -> float:
    """Biot and Savart along a wire without end."""
    value, _ = quad(lambda z: distance / (distance**2 + z**2) ** 1.5, -math.inf, math.inf)
    return current * value / (4 * math.pi)


@pytest.mark.parametrize("distance", [0.01, 0.4, 3.0])
def test_one_wire(distance: float) -> None:
    """The field round a wire is what integration along it gives, and reach turns it round."""
    assert wire.around(1000, distance) == pytest.approx(integrated(1000, distance), rel=1e-7)
    assert wire.reach(1000, wire.around(1000, distance)) == pytest.approx(distance)


@pytest.mark.parametrize(("x", "y"), [(0.0, 0.0), (0.3, 0.2), (0.0, 1.0), (-0.149, 0.02), (2.0, 0.0)])
def test_two_wires_add_as_vectors(x: float, y: float) -> None:
    """Out and back is the vector sum of two integrated wires."""
    apart, total = 0.3, [0.0, 0.0]
    for place, sense in ((-apart / 2, 1), (apart / 2, -1)):
        dx, r = x - place, math.hypot(x - place, y)
        size = sense * integrated(2000, r)
        total[0] += -size * y / r
        total[1] += size * dx / r
    assert wire.out_and_back(2000, apart, x, y) == pytest.approx(math.hypot(*total), rel=1e-7)


@pytest.mark.parametrize("field", [200.0, 2387.0, 2e4])
def test_every_point_of_a_contour_has_its_field(field: float) -> None:
    """The ovals lie where the field is the one asked for, also where they part into two."""
    lines = wire.pair_contour(2000, 0.2, field)
    assert len(lines) == (1 if wire.out_and_back(2000, 0.2, 0, 0) >= field else 2)
    for x, y in (point for line in lines for point in line):
        assert wire.out_and_back(2000, 0.2, x, y) == pytest.approx(field, rel=1e-5)
    assert max(x for line in lines for x, _ in line) == pytest.approx(
        wire.pair_reach(2000, 0.2, field), rel=1e-9
    )


def test_distance_table_of_one_cable() -> None:
    """3600 A in one cable make 0.5 mT at 1.44 m and 1 mT at 0.72 m (body of knowledge, 17)."""
    assert wire.reach(3600, 0.5e-3 / wire.MU0) == pytest.approx(1.44, abs=0.005)
    assert wire.reach(3600, 1e-3 / wire.MU0) == pytest.approx(0.72, abs=0.005)
