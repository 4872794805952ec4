"""Contours of functions whose lines are known."""

from __future__ import annotations

import math

import pytest

from trainer.fields.contour import contours, grid


def test_a_circle_is_one_closed_line() -> None:
    """The contour of the distance from the middle is a circle that ends where it began."""
    steps = [k / 20 - 1 for k in range(41)]
    lines = contours(grid(math.hypot, steps, steps), steps, steps, 0.6)
    assert len(lines) == 1
    assert lines[0][0] == lines[0][-1]
    assert all(math.hypot(*point) == pytest.approx(0.6, abs=0.003) for point in lines[0])


def test_a_saddle_and_the_edge() -> None:
    """Of x times y the level 0.25 has two branches that run off the grid."""
    steps = [k / 10 - 1 for k in range(21)]
    lines = contours(grid(lambda x, y: x * y, steps, steps), steps, steps, 0.25)
    assert len(lines) == 2
    assert all(x * y == pytest.approx(0.25, abs=0.01) for line in lines for x, y in line)


def test_a_value_without_bounds_does_no_harm() -> None:
    """A pole on the grid is walked round."""
    steps = [k / 10 - 1 for k in range(21)]
    values = grid(lambda x, y: 1 / math.hypot(x, y) if x or y else math.inf, steps, steps)
    assert all(math.isfinite(x + y) for line in contours(values, steps, steps, 2.0) for x, y in line)
