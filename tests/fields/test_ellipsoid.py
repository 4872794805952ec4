"""The demagnetizing factor against the published table and against its integral."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import quad

from trainer.fields.ellipsoid import demagnetizing_factor, effective_permeability, inside

PUBLISHED = {
    1: 0.3333,
    2: 0.1736,
    3: 0.1087,
    4: 0.0754,
    5: 0.0558,
    8: 0.0284,
    10: 0.0203,
    20: 0.0068,
    50: 0.0014,
}


@pytest.mark.parametrize(("ratio", "factor"), PUBLISHED.items())
def test_published_factors(ratio: float, factor: float) -> None:
    """Osborn's values (Physical Review 67, 1945, 351) to the figures printed."""
    assert demagnetizing_factor(ratio) == pytest.approx(factor, abs=0.00006)


@pytest.mark.parametrize("ratio", [0.2, 0.99995, 1.0, 1.00005, 1.5, 7.0, 40.0])
def test_the_integral(ratio: float) -> None:
    """The factor is a b^2 / 2 times the integral of Osborn, for long, flat and nearly round ellipsoids."""
    value, _ = quad(lambda s: 1 / ((s + ratio**2) ** 1.5 * (s + 1)), 0, math.inf)
    assert demagnetizing_factor(ratio) == pytest.approx(ratio * value / 2, rel=1e-6)


def test_shape_limits_the_gain() -> None:
    """The gain is at most 1 over the factor, and the field inside is what is left of the applied one."""
    assert effective_permeability(5, 1e9) == pytest.approx(1 / demagnetizing_factor(5), rel=1e-6)
    assert effective_permeability(5, 100) == pytest.approx(15.3, abs=0.05)
    assert inside(1000, 5, 1) == 1000


def test_no_length_is_refused() -> None:
    """A ratio that no bar has is refused."""
    with pytest.raises(ValueError, match="above zero"):
        demagnetizing_factor(0)
