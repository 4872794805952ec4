"""Distribution functions agree with a general statistics library to the last useful figure."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import special, stats

from trainer.statistics.curves import beta_below, chi_square_above, f_quantile, log_beta

SIZES = st.floats(0.5, 5000)


@given(st.floats(0, 1), SIZES, SIZES)
def test_beta(x: float, a: float, b: float) -> None:
    """Over four decades of both parameters."""
    assert beta_below(x, a, b) == pytest.approx(special.betainc(a, b, x), rel=1e-7, abs=1e-12)


@given(st.floats(0.001, 0.999), st.integers(1, 3000), st.integers(1, 20_000))
def test_f(share: float, upper: int, lower: int) -> None:
    """Quantiles as they are wanted by intervals."""
    assert f_quantile(share, upper, lower) == pytest.approx(stats.f.ppf(share, upper, lower), rel=1e-6)


@given(st.floats(0, 200), st.integers(1, 60))
def test_chi_square(value: float, degrees: int) -> None:
    """On both sides of the place where the series gives way to the fraction."""
    assert chi_square_above(value, degrees) == pytest.approx(
        stats.chi2.sf(value, degrees), rel=1e-8, abs=1e-13
    )


def test_ends() -> None:
    """At and beyond the ends everything or nothing lies below."""
    assert [beta_below(x, 2, 3) for x in (-1.0, 0.0, 1.0, 2.0)] == [0, 0, 1, 1]
    assert chi_square_above(-1, 3) == chi_square_above(0, 3) == 1
    assert log_beta(2, 3) == pytest.approx(special.betaln(2, 3))
