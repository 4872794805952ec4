"""Numbers and lists in words: exact where they end, cut where they do not, never rounded up."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.qualification.reading.fields import listed, quoted
from trainer.qualification.reading.writing import decimal_text
from trainer.qualification.words import amount, ids, number_text, sentences


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Fraction(20), "20"),
        (Fraction("79.95"), "79.95"),
        (Fraction("79.999999"), "79.999999"),
        (Fraction(239, 3), "about 79.666"),
        (Fraction(24000, 301), "about 79.734"),
        (Fraction(419, 7), "about 59.857"),
        (Fraction(0), "0"),
        (Fraction(1, 3), "about 0.333"),
    ],
)
def test_numbers(value: Fraction, text: str) -> None:
    """What ends is written out, what does not is cut after three places."""
    assert number_text(value) == text


@given(st.fractions(0, 100, max_denominator=10_000), st.integers(1, 100))
def test_no_number_is_shown_at_a_limit_that_it_does_not_reach(value: Fraction, limit: int) -> None:
    """A value below a whole limit is never written as that limit or more."""
    if value < limit:
        assert Fraction(number_text(value).removeprefix("about ")) < limit


@given(st.decimals(0, 10**6, places=6, allow_nan=False, allow_infinity=False))
def test_plain_decimals_are_written_back(value: object) -> None:
    """A plain decimal is written as a plain decimal of the same value; a third cannot be."""
    exact = Fraction(f"{value:f}")
    assert Fraction(decimal_text(exact)) == exact
    with pytest.raises(ValueError, match="plain decimal"):
        decimal_text(exact + Fraction(1, 3))


@pytest.mark.parametrize("unit", ["day", "month", "year", "mark", "question", "specimen", "checkpoint"])
def test_one_and_several_of_a_unit(unit: str) -> None:
    """One day and two days; a half and nothing are said like several."""
    said = [amount(Fraction(value), f"{unit}s") for value in ("0", "0.5", "1", "2")]
    assert said == [f"0 {unit}s", f"0.5 {unit}s", f"1 {unit}", f"2 {unit}s"]


def test_amounts_lists_and_sentences() -> None:
    """A share with its sign, nothing; a, b or c; sentences with capitals and single stops; long lists cut."""
    assert (amount(Fraction(70), "pct"), amount(None, "h")) == ("70 %", "nothing")
    assert listed(["a", "b", "c"]) == "a, b or c"
    assert listed(["a"]) == "a"
    assert sentences(["one thing.", "", "another"]) == "One thing. Another."
    assert ids(f"e{n}" for n in range(9)) == "e0, e1, e2, e3, e4, e5 and 3 more"
    assert quoted("a\nb" + "x" * 100) == "'a?b" + "x" * 57 + "...'"
