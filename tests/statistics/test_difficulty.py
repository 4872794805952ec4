"""Shares with their intervals, bins of a parameter, and nothing below the least numbers."""

from __future__ import annotations

import random
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from tests.statistics.vectors import PRECISION
from trainer.statistics.difficulty import Share, bins, drift, wilson


@given(st.integers(1, 3000), st.data())
def test_wilson_is_that_of_a_statistics_library(of: int, data: st.DataObject) -> None:
    """For every share, the ends 0 and 1 included, and it holds the share."""
    right = data.draw(st.integers(0, of))
    found, known = (
        wilson(right, of),
        stats.binomtest(right, of).proportion_ci(0.95, method="wilson"),
    )
    assert (found.low, found.high) == (
        pytest.approx(known.low, abs=1e-9),
        pytest.approx(known.high, abs=1e-9),
    )
    assert 0 <= found.low <= found.value <= found.high <= 1


@pytest.mark.parametrize("row", PRECISION, ids=lambda row: f"n={row['n']}")
def test_the_table_of_widths(row: dict[str, dict[str, list[float]]]) -> None:
    """The widths at 70 % on which the least numbers rest."""
    of = int(row["n"])  # type: ignore[call-overload]
    found = wilson(round(0.7 * of), of)
    assert [found.low, found.high] == pytest.approx(row["p=.70"]["wilson95"], abs=6e-4)


def test_nothing_below_ten() -> None:
    """Nine answers show a number and no share; ten do; fifty are enough to act on."""
    assert Share(5, 9).interval is None
    assert Share(5, 9).says == "From 10 answers on; there are 9."
    assert "change nothing before there are 50" in Share(7, 10).says
    assert "70\u202f% right" in Share(7, 10).says
    assert "enough to act on" in Share(35, 50).says


@pytest.mark.parametrize(("right", "of"), [(1, 0), (0, 0), (-1, 4), (5, 4)])
def test_shares_of_nothing_are_refused(right: int, of: int) -> None:
    """A share is of something."""
    with pytest.raises(ValueError, match="share"):
        wilson(right, of)


@given(st.lists(st.tuples(st.integers(0, 20), st.booleans()), max_size=200), st.integers(1, 6))
def test_bins_part_no_equal_values(answers: list[tuple[int, bool]], count: int) -> None:
    """Every answer is in exactly one bin, bins rise, and equal values stand together."""
    found = bins(answers, count)
    assert len(found) <= count
    if found:
        assert sum(one.share.of for one in found) == len(answers)
        assert sum(one.share.right for one in found) == sum(right for _, right in answers)
    for one, two in pairwise(found):
        assert one.low <= one.high < two.low


def test_one_value_makes_no_bins() -> None:
    """Where everybody had the same value there is nothing to compare."""
    assert bins([(3.0, True)] * 100) == []
    assert bins([]) == []


def test_drift_is_the_chi_square_of_the_bins() -> None:
    """Held to a statistics library; a hard end is told, chance is not."""
    even = [(float(n), n % 3 > 0) for n in range(90)]
    hard = [(float(n), n < 30 or n % 3 == 0) for n in range(90)]
    for answers, drifts in ((even, False), (hard, True)):
        found = drift(answers)
        assert found is not None
        table = [[b.share.right, b.share.of - b.share.right] for b in found.bins]
        known = stats.chi2_contingency(table, correction=False)
        assert (found.chi_square, found.chance) == (pytest.approx(known[0]), pytest.approx(known[1]))
        assert found.drifts is drifts
    assert "two kinds of question" in found.says


def test_no_drift_below_ten_a_bin() -> None:
    """29 answers make no three bins of ten; answers that are all alike have nothing to compare."""
    assert drift([(float(n), n % 2 == 0) for n in range(29)]) is None
    assert drift([(float(n), True) for n in range(90)]) is None


def test_chance_is_rarely_called_drift() -> None:
    """Of 300 drills in which success hangs on nothing, about three in a hundred at most are called drifting."""
    dice = random.Random(7)
    found = [drift([(dice.random(), dice.random() < 0.7) for _ in range(150)]) for _ in range(300)]
    assert sum(one is not None and one.drifts for one in found) <= 9
