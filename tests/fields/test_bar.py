"""The leaking bar against its own differential equation, solved by scipy."""

from __future__ import annotations

import math

import pytest
from scipy.integrate import solve_bvp

from trainer.fields import bar


@pytest.mark.parametrize(("radius", "permeability"), [(0.01, 100.0), (0.04, 200.0), (0.1, 500.0)])
def test_field_of_the_leaking_line(radius: float, permeability: float) -> None:
    """Potential and flux of a line with this leak, solved numerically, give the same field along the bar."""
    length = bar.decay_length(radius, permeability)
    leak = 2 * math.pi / math.log(2 * length / radius)
    carry = permeability * math.pi * radius**2
    end = 8 * length

    def rates(_x: object, state: list[object]) -> object:
        potential, flux = state
        return [-flux / carry, -leak * potential]  # type: ignore[operator]

    grid = [end * (k / 400) ** 2 for k in range(401)]
    start = [[500.0] * 401, [0.0] * 401]
    found = solve_bvp(rates, lambda a, b: [a[0] - 500.0, b[1]], grid, start, tol=1e-6, max_nodes=20000)
    assert found.success
    for x in (0.0, length / 2, 2 * length):
        field = float(found.sol(x)[1]) / carry
        assert bar.along(1000.0, radius, permeability, x) == pytest.approx(field, rel=1e-3)


def test_the_ampere_turns_are_used_up_along_the_bar() -> None:
    """The field added up along the whole bar is the ampere-turns (Ampère's law)."""
    step = 0.001
    total = sum(bar.along(5000, 0.03, 150, (k + 0.5) * step) * step for k in range(-20000, 20000))
    assert total == pytest.approx(5000, rel=1e-3)
