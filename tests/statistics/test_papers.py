"""KR-20 with its interval, standard error, decision consistency: published examples, vectors, a simulation."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from tests.statistics.vectors import EXAMPLES, PRECISION, table
from trainer.statistics.papers import consistency, feldt, figures, kr20, kr21
from trainer.statistics.replies import Table


def people(count: int, seed: int = 3, items: int = 12) -> Table:
    """Made-up people of different strength at items of different weight."""
    dice = np.random.default_rng(seed)
    chance = 1 / (1 + np.exp(-(dice.normal(size=(count, 1)) + np.linspace(-1, 1.5, items))))
    rows = (dice.random((count, items)) < chance).astype(int)
    return Table(
        tuple(range(count)), tuple(f"i{n}" for n in range(items)), tuple(tuple(map(int, r)) for r in rows)
    )


@pytest.mark.parametrize("example", ["W1", "W2"])
def test_kr20(example: str) -> None:
    """The published worksheets; not the trap of mixing in the sample variance (0.738 for the first)."""
    assert kr20(table(example)) == pytest.approx(EXAMPLES[example]["recomputed"]["kr20"], abs=1e-6)


@pytest.mark.parametrize("example", ["W1", "W2", "W4"])
def test_kr21(example: str) -> None:
    """From the totals alone, as recomputed; it stands in for KR-20 where everybody had items of their own."""
    totals = np.array(table(example).totals)
    found = kr21(float(totals.mean()), float(totals.std()), len(table(example).items))
    assert found == pytest.approx(EXAMPLES[example]["recomputed"]["kr21"], abs=1e-6)
    assert kr21(5.0, 0.0, 10) is None


def test_mixed_papers_say_which_figure_it_is() -> None:
    """The same table, taken as places on papers that hold other items for everybody."""
    held = people(60)
    alike, mixed = figures(held, 8), figures(held, 8, mixed=True)
    assert alike.reliability is not None
    assert mixed.reliability is not None
    assert mixed.reliability.value == kr21(mixed.mean, mixed.deviation, 12)
    assert mixed.reliability.value < alike.reliability.value
    assert ("KR-20" in alike.says[1], "KR-21" in mixed.says[1]) == (True, True)


def test_the_interval_is_that_of_the_vector() -> None:
    """Ten people and ten items, and the table of widths at 0.80 over 40 items."""
    value = kr20(table("W1"))
    assert value is not None
    found = feldt(value, 10, 10)
    assert [found.low, found.high] == pytest.approx(EXAMPLES["W1"]["feldt_95ci_kr20"], abs=2e-5)
    for row in PRECISION:
        found = feldt(0.8, row["n"], 40)
        assert [found.low, found.high] == pytest.approx(row["KR20=.80,k=40 feldt95"], abs=6e-4)


@pytest.mark.parametrize("case", EXAMPLES["W6"]["cases"], ids=lambda case: f"{case['items']} items")
def test_decision_consistency(case: dict[str, float]) -> None:
    """The three examinations of the vector."""
    found = consistency(case["mean"], case["sd"], int(case["items"]), int(case["cut"]))
    assert found is not None
    assert (found.passing, found.alike, found.kappa) == (
        pytest.approx(case["p_pass"], abs=2e-6),
        pytest.approx(case["p0"], abs=2e-6),
        pytest.approx(case["kappa"], abs=2e-6),
    )


def test_decision_consistency_is_that_of_two_papers() -> None:
    """Two papers simulated for people of the fitted strengths decide alike as often as the estimate says."""
    found = consistency(33, 4, 40, 32)
    assert found is not None
    dice = np.random.default_rng(5)
    strength = stats.beta(17.347188, 3.679707).rvs(200_000, random_state=dice)
    one, two = (dice.binomial(40, strength) >= 32 for _ in range(2))
    assert np.mean(one == two) == pytest.approx(found.alike, abs=0.005)


def test_standard_error_is_the_spread_over_repeats() -> None:
    """Half the distance that two scores need to tell anything; the population spread times the root of 1 - KR-20."""
    whole = people(60)
    found = figures(whole, 9)
    value = kr20(whole)
    assert value is not None
    assert found.error == pytest.approx(np.std(whole.totals) * np.sqrt(1 - value))


def test_nothing_below_the_least_numbers() -> None:
    """29 people: no reliability; 30: reliability but no decision; 50: both. Each says from when on."""
    few, some, many = (figures(people(count), 9) for count in (29, 30, 50))
    assert (few.reliability, few.error, few.decision) == (None, None, None)
    assert any("From 30 people on; there are 29" in one for one in few.says)
    assert some.reliability is not None
    assert some.decision is None
    assert any("From 50 people on; there are 30" in one for one in some.says)
    assert many.decision is not None
    assert any("change nothing before there are 100" in one for one in many.says)


def test_people_who_score_alike_cannot_be_told_apart() -> None:
    """No variance: no figure, and the sentence that says why."""
    same = Table(tuple(range(60)), ("a", "b"), tuple((n % 2, 1 - n % 2) for n in range(60)))
    found = figures(same, 1)
    assert (found.reliability, found.decision) == (None, None)
    assert any("everybody scored alike" in one for one in found.says)
    with pytest.raises(ValueError, match="one person"):
        figures(Table((), (), ()), 1)
