"""Prods on a plate against the spreading current itself, added up direction by direction."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import dblquad

from trainer.fields import plate


def spreading(r: float) -> float:
    """The field at (r, 0, 0) of 1 A that comes down a wire and spreads evenly through a half space below.

    Each direction carries a thin ray of current; a ray without end along u makes (u x p)(1 + cos a)/(4 pi d^2)
    at p, with d the distance of p from the ray and a the angle between them. Its part across is taken.
    """

    def ray(across: float, deep: float) -> float:
        ux, uz = math.sqrt(1 - deep**2) * math.cos(across), -deep
        d2 = r**2 * (1 - ux**2)
        return (uz * r) * (1 + ux) / (4 * math.pi * d2) / (2 * math.pi)

    below, _ = dblquad(ray, 0, 1, 0, 2 * math.pi, epsrel=1e-6)
    return abs(-1 / (4 * math.pi * r) + below)


@pytest.mark.parametrize("r", [0.05, 0.2])
def test_one_prod_makes_the_field_of_a_long_wire(r: float) -> None:
    """Prod and spreading current together make I/(2 pi r) on the surface."""
    assert spreading(r) == pytest.approx(1 / (2 * math.pi * r), rel=1e-4)


def test_between_the_prods() -> None:
    """In the middle between prods 6 in apart 600 A make 2 I/(pi s), about 31 G."""
    field = plate.on_surface(600, 0.1524, 0, 0)
    assert field == pytest.approx(2 * 600 / (math.pi * 0.1524), rel=1e-12)
    assert field / 79.577 == pytest.approx(31.5, abs=0.05)
    assert plate.contour(600, 0.1524, field / 2)
