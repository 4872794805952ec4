"""Practicals are scored exactly: weights, halves, false calls, critical points, two examiners."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.banks import small_shelf
from trainer.examinations.practical import (
    DONE,
    FALSE_CALLS,
    MISSED,
    PARTLY,
    Sheet,
    differences,
    in_decimals,
    joined,
    outcome,
)
from trainer.examinations.specimen import Known

BANK = small_shelf().bank
TWO = (Known("crack", "10", "20", "8", must=True), Known("seam", "40", "20", "30"))
FIRST = Sheet.of(BANK.practical("bench-1").practical, TWO)
SECOND = Sheet.of(BANK.practical("bench-2").practical, TWO)


def marks(sheet: Sheet, **changes: str) -> dict[str, str]:
    """Everything done, no false call; some of it otherwise (known_1 for known-1)."""
    found = {point.id: DONE for point in sheet.points} | {FALSE_CALLS: "0"}
    return found | {name.replace("_", "-"): mark for name, mark in changes.items()}


def test_everything_done_is_everything() -> None:
    """All marks give every weight, at Level II the instruction apart."""
    assert outcome(FIRST, marks(FIRST)).specimen == (100, 100)
    found = outcome(SECOND, marks(SECOND))
    assert (found.specimen, found.instruction) == ((85, 85), (15, 15))
    assert found.passed(100)


def test_areas_count_by_their_weight() -> None:
    """One of four marks missing in an area of 20 takes 5 off; a half mark takes half of it."""
    assert outcome(FIRST, marks(FIRST, p2=MISSED)).specimen[0] == 95
    assert outcome(FIRST, marks(FIRST, p2=PARTLY)).specimen[0] == Fraction(195, 2)


def test_a_known_discontinuity_missed_costs_its_marks() -> None:
    """Detection has 2 x 3 marks for what is known and 3 for the report: a seam missed is 3/9 of 45."""
    assert outcome(FIRST, marks(FIRST, known_2=MISSED)).specimen[0] == 85


def test_false_calls_cost_marks_and_then_the_practical() -> None:
    """Each takes a mark of nine; more than two fail it; the area never goes below nothing."""
    assert outcome(FIRST, marks(FIRST, false_calls="2")).specimen[0] == 90
    assert not outcome(FIRST, marks(FIRST, false_calls="2")).failed
    many = outcome(FIRST, marks(FIRST, false_calls="20"))
    assert (many.specimen[0], many.failed, many.passed(1)) == (55, True, False)


@pytest.mark.parametrize("point", ["p4", "known_1"])
def test_a_critical_point_fails_it(point: str) -> None:
    """A critical checkpoint or a discontinuity that must be found, missed: failed whatever the marks."""
    found = outcome(FIRST, marks(FIRST, **{point: MISSED}))
    assert (found.missed, found.passed(1)) == ((point.replace("_", "-"),), False)


def test_the_mark_is_reached_exactly_or_not() -> None:
    """Specimen and instruction each need it: 80 of 100 is reached at 80, and 0 of 15 fails a full specimen."""
    assert not outcome(FIRST, marks(FIRST, p1=MISSED, p2=MISSED, p3=MISSED, p6=PARTLY)).passed(80)
    exact = outcome(FIRST, marks(FIRST, p1=MISSED, p2=MISSED, p3=MISSED))
    assert (exact.specimen[0], exact.passed(80), exact.passed(81)) == (80, True, False)
    assert not outcome(SECOND, marks(SECOND, settings=MISSED)).passed(70)


def test_critical_points_are_done_or_not() -> None:
    """There is no half of a critical point, and only a small whole number of false calls."""
    assert not FIRST.takes("p4", PARTLY)
    assert FIRST.takes("p5", PARTLY)
    assert not FIRST.takes("p5", "well")
    assert not FIRST.takes("p99", DONE)
    assert [FIRST.takes(FALSE_CALLS, n) for n in ("0", "20", "21", "-1", "²", "1.5", "9" * 5000)] == [
        True, True, False, False, False, False, False,
    ]  # fmt: skip


def test_unmarked_points_are_not_scored() -> None:
    """A sheet with a gap has no score, and says where the gap is."""
    gap = {name: mark for name, mark in marks(FIRST).items() if name not in ("p7", FALSE_CALLS)}
    assert FIRST.unmarked(gap) == ["p7", FALSE_CALLS]
    with pytest.raises(ValueError, match="every point"):
        outcome(FIRST, gap)


def test_two_examiners_give_the_mean() -> None:
    """Five marks apart is two and a half off; where they differ is listed."""
    one, two = marks(FIRST), marks(FIRST, p2=MISSED, false_calls="1")
    assert joined(outcome(FIRST, one), outcome(FIRST, two)).specimen[0] == Fraction(95)
    found = [(d.id, d.one, d.two, d.grave) for d in differences(FIRST, one, two)]
    assert found == [("p2", DONE, MISSED, False), (FALSE_CALLS, "0", "1", False)]


def test_a_difference_that_decides_must_be_settled() -> None:
    """Two examiners who differ on a critical point, or on too many false calls, are not averaged."""
    for changes in ({"p4": MISSED}, {"false_calls": "3"}):
        other = marks(FIRST, **changes)
        assert [d.grave for d in differences(FIRST, marks(FIRST), other)] == [True]
        with pytest.raises(ValueError, match="agree"):
            joined(outcome(FIRST, marks(FIRST)), outcome(FIRST, other))


@given(st.integers(0, 10_000), st.integers(1, 5_000), st.integers(1, 100))
def test_the_ledger_gets_the_same_ratio(numerator: int, denominator: int, of: int) -> None:
    """Whatever the fraction, what is written are decimals whose ratio is exactly the score."""
    share = Fraction(numerator, denominator)
    written, out_of = in_decimals(share, of)
    assert Fraction(written) / Fraction(out_of) == share / of
    assert "E" not in written


def test_the_ledger_keeps_plain_numbers_plain() -> None:
    """A half stays a half; a seventh is written over seven times as many marks."""
    assert in_decimals(Fraction(119, 2), 85) == ("59.5", "85")
    assert in_decimals(Fraction(90, 7), 30) == ("90", "210")
