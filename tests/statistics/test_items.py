"""Corrected item-total correlations and option tables, against published and recomputed examples."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from tests.statistics.vectors import EXAMPLES, table
from trainer.statistics.items import corrected, each, figures, met, options, with_others, with_rest
from trainer.statistics.replies import Reply, Table, first_replies, table_of


@pytest.mark.parametrize("example", ["W1", "W2"])
def test_corrected_correlations(example: str) -> None:
    """Each item with the total of the others, as recomputed; items 5, 6 and 8 of W2 run against the rest."""
    found = [corrected(table(example), j) for j in range(10)]
    assert found == pytest.approx(EXAMPLES[example]["recomputed"]["r_corrected"], abs=2e-6)


def test_published_correlations_of_a_thousand_people() -> None:
    """To the printed figures of the published example."""
    found = figures(table("W4"))
    published = EXAMPLES["W4"]["published"]
    assert [one.share.interval.value for one in found if one.share.interval] == pytest.approx(published["p"])
    values = [one.rest.value for one in found if one.rest]
    assert values == pytest.approx(published["r_total_item_removed"], abs=6e-4)


def test_the_interval_is_that_of_fisher() -> None:
    """Held to a statistics library on the same numbers."""
    whole = table("W4")
    rows = np.array(whole.rows)
    rest = rows.sum(axis=1) - rows[:, 0]
    known = stats.pearsonr(rows[:, 0], rest).confidence_interval(0.95)
    found = with_rest(whole, 0)
    assert found is not None
    assert (found.low, found.high) == (pytest.approx(known.low), pytest.approx(known.high))
    assert "get this one right too" in figures(whole)[0].says


def test_an_item_met_on_different_papers() -> None:
    """With the share right of whatever else its people met; the same as in a whole table, and nothing below thirty."""
    whole = table("W4")
    replies = [
        Reply(person, item, bool(right))
        for person, row in zip(whole.people, whole.rows, strict=True)
        for item, right in zip(whole.items, row, strict=True)
        if (person, item) != (whole.people[0], whole.items[1])  # one of them did not meet one item
    ]
    found, known = with_others(met(replies, whole.items[0])), with_rest(whole, 0)
    assert found is not None
    assert known is not None
    assert found.value == pytest.approx(known.value, abs=2e-3)
    few = [reply for reply in replies if reply.person in whole.people[:29]]
    assert with_others(met(few, whole.items[0])) is None
    (one, *others) = each(replies)
    assert one.share.right / one.share.of <= min(other.share.right / other.share.of for other in others)


def test_an_item_that_does_not_vary_has_none() -> None:
    """Everybody right: no correlation, and that is said, not written as 0."""
    same = Table(tuple(range(40)), ("a", "b"), tuple((1, n % 2) for n in range(40)))
    assert corrected(same, 0) is None
    assert "nothing to compare" in figures(same)[0].says


def test_nothing_below_thirty_people() -> None:
    """29 people give no correlation and the sentence that says from when on."""
    few = Table(tuple(range(29)), ("a", "b", "c"), tuple((n % 2, n % 3 % 2, n % 5 % 2) for n in range(29)))
    assert with_rest(few, 0) is None
    assert figures(few)[0].says == "From 30 people on; there are 29."


def test_an_item_that_misleads_is_told() -> None:
    """Those who are right elsewhere miss it: look at its key."""
    rows = tuple((int(n < 20), int(n >= 20), int(n >= 18)) for n in range(40))
    assert "look at its key" in figures(Table(tuple(range(40)), ("a", "b", "c"), rows))[0].says


def test_options_say_who_chose_them() -> None:
    """Counts, and the mean of the choosers on the other items; the most chosen first."""
    replies = [
        Reply(1, "q", True, "A"), Reply(1, "r", True), Reply(2, "q", False, "B"), Reply(2, "r", False),
        Reply(3, "q", True, "A"), Reply(3, "r", False), Reply(3, "q", False, "C"), Reply(4, "q", False, ""),
    ]  # fmt: skip
    found = [(one.name, one.right, one.chosen, one.rest_percent) for one in options(met(replies, "q"))]
    assert found == [("A", True, 2, 50.0), ("B", False, 1, 0.0), ("", False, 1, 0.0)]


def test_the_first_answer_counts_and_half_papers_do_not() -> None:
    """A second try changes nothing; who met only one of two items is left out of the table."""
    replies = [Reply(1, "a", False), Reply(1, "a", True), Reply(1, "b", True), Reply(2, "a", True)]
    assert len(first_replies(replies)) == 3
    found = table_of(replies)
    assert (found.people, found.items, found.rows, found.totals) == ((1,), ("a", "b"), ((0, 1),), (1,))
