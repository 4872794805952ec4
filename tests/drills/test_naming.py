"""How well mistakes are named, measured over the whole bank in its quick form (tests/benchmarks/naming.py has all)."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.banks import shipped_shelf
from tests.benchmarks.naming import measure, mistakes, names, outcome, report
from trainer.drills.marking import judged

SHELF = shipped_shelf()
DRAWS = 5
MOST_WRONGLY = 0.005


@pytest.mark.slow
def test_less_than_one_mistake_in_two_hundred_is_named_wrongly() -> None:
    """Slips, pairs and blunders of every drill: every slip is named, and under 0.5 percent get another's name."""
    total: Counter[tuple[str, str, str]] = Counter()
    for drill in SHELF.bank.drills:
        total.update(measure(SHELF, drill, DRAWS))
    made = sum(n for (_, result, _), n in total.items() if result != "accepted")
    wrongly = sum(n for (_, result, _), n in total.items() if result == "wrongly")
    assert wrongly / made < MOST_WRONGLY, report(total)
    # the middle of a slip's band may be inside the accepted one: that answer is right
    assert {result for kind, result, _ in total if kind == "slip"} <= {"rightly", "accepted"}, report(total)


def test_the_measure_can_tell_right_from_wrong() -> None:
    """A slip's own value counts as rightly named, the same value said to come from elsewhere as the same or wrongly."""
    mould, exercise = SHELF.mould("coil-low-fill-wall", "I"), SHELF.draw("coil-low-fill-wall", 7, "I")
    made = {ids: value for kind, ids, value in mistakes(mould, exercise) if kind == "slip"}
    truth = frozenset({"turns-forgotten"})
    assert names(judged(mould, exercise, made[truth])) == {truth}
    assert outcome(mould, exercise, ("slip", truth, made[truth])) == "rightly"
    assert outcome(mould, exercise, ("slip", frozenset({"turns-twice"}), made[truth])) == "same"
    near = made[truth] * 1.003
    assert outcome(mould, exercise, ("slip", frozenset({"turns-twice"}), near)) == "wrongly"
    assert outcome(mould, exercise, ("unknown", frozenset(), exercise.answer * 2.77)) == "rightly"


def test_twenty_blunders_are_tried() -> None:
    """Beside slips and pairs each exercise is tried with the blunders of the program and with five it does not know."""
    mould, exercise = SHELF.mould("coil-low-fill-wall", "I"), SHELF.draw("coil-low-fill-wall", 7, "I")
    kinds = Counter(kind for kind, _, _ in mistakes(mould, exercise))
    assert kinds["blunder"] + kinds["unknown"] >= 20
