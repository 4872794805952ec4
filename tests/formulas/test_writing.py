"""Numbers as the house prints them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.formulas.writing import amount, grouped, number, plain_text, rounded


@pytest.mark.parametrize(
    ("value", "text"),
    [(1875.0, "1875"), (0.0297, "0.0297"), (45000.0, "45000"), (0.0, "0"), (2.5, "2.5"), (-3.25, "-3.25"), (12345.6, "12346"), (1e20, "1.000e20"), (1.5e-7, "0.00000015"), (1.5e-8, "1.500e-8"), (1.5e15, "1500000000000000"), (1.5e16, "1.500e16"), (123.4, "123.4"), (99.996, "100"), (1234.5, "1235"), (-1235.5, "-1236"), (12345.4, "12345")],
)  # fmt: skip
def test_plain_numbers(value: float, text: str) -> None:
    """No zeros that say nothing, no exponent in the sizes of a shop."""
    assert plain_text(value) == text


def test_groups_begin_at_five_digits() -> None:
    """1875 stays whole, 45 000 gets a narrow space, minus is the true sign."""
    assert (grouped("1875"), grouped("45000"), grouped("-1234567.5")) == (
        "1875",
        "45\u202f000",
        "\u22121\u202f234\u202f567.5",
    )


def test_unit_stands_after_a_narrow_space_but_degrees_do_not() -> None:
    """1875 A has a space, 30 degrees has none."""
    assert (amount(1875, "A"), amount(30, "deg"), amount(5, "1")) == ("1875\u202fA", "30°", "5")


def test_halves_round_away_from_zero() -> None:
    """2.675 is meant as written and gives 2.68."""
    assert (rounded(2.675, 3), rounded(-2.675, 3), rounded(0, 3)) == (2.68, -2.68, 0)


@given(st.floats(1e-6, 1e9))
def test_printed_number_is_near(value: float) -> None:
    """Four figures miss the value by at most half a unit of the fourth."""
    assert float(number(value).replace("\u202f", "")) == pytest.approx(value, rel=5.01e-4)
