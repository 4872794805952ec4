"""Pass marks set by a panel, against the worked example, and sheets that cannot be read."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.statistics.vectors import EXAMPLES
from tests.work import calls_in
from trainer.errors import Refused
from trainer.statistics.panel import figures, read_ratings

CASE = EXAMPLES["W9"]
RATINGS = "\n".join(" ".join(f"{100 * one:.0f}" for one in row) for row in CASE["ratings_judges_by_items"])


def test_the_worked_panel() -> None:
    """Five judges, eight items: 5.78 exactly, its error, each judge's mark, each item's mean."""
    found = figures(read_ratings(RATINGS))
    known = CASE["recomputed"]
    assert (found.cut, found.percent) == (Fraction(578, 100), Fraction(7225, 100))
    assert [float(one) for one in found.judges] == pytest.approx(known["judge_cuts"])
    assert list(found.by_item) == pytest.approx(known["item_means"])
    assert found.error == pytest.approx(known["se_of_cut"], abs=1e-6)
    assert "5.78 of 8 items, 72.25\u202f%" in found.says


def test_four_judges_give_a_mark_and_no_error() -> None:
    """Below five the error is not shown, and the sentence says from when on."""
    found = figures(read_ratings("\n".join(RATINGS.splitlines()[:4])))
    assert found.error is None
    assert "from 5 judges on; there are 4" in found.says
    assert figures(read_ratings("50 60")).spread == (0.0, 0.0)


def test_percent_signs_commas_and_semicolons() -> None:
    """As people write them."""
    assert read_ratings("62,5%; 80\n\n 70.  90 ") == [[Fraction(125, 2), 80], [70, 90]]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "one line for each judge"),
        ("50 60\n50", "Line 2 has 1 ratings, line 1 has 2"),
        ("50 sixty", "'sixty' is no percentage"),
        ("50 -1", "no percentage"),
        ("50 1e1", "no percentage"),
        ("50 100.1", "above 100"),
        ("1/2", "no percentage"),
        ("\n".join(["50"] * 61), "At most 60 judges"),
        (" ".join(["50"] * 201), "At most"),
    ],
)
def test_faulty_sheets_are_refused(text: str, says: str) -> None:
    """Each gets one sentence."""
    with pytest.raises(Refused, match=says):
        read_ratings(text)


def test_a_hostile_sheet_costs_little() -> None:
    """Only its beginning is looked at."""

    def act() -> None:
        with pytest.raises(Refused):
            read_ratings("1 " * 5_000_000)

    assert calls_in(act) < 1_000
