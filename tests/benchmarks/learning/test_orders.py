"""The simulation itself: small, the same every time, and able to tell a good order from a poor one."""

from __future__ import annotations

from functools import partial
from random import Random
from statistics import fmean

import pytest

from tests.benchmarks.learning.__main__ import GOAL, SKILLS, trial
from tests.benchmarks.learning.learners import DAY, MODELS, Forgetting, Knowing
from tests.benchmarks.learning.orders import by_the_rule, fixed_list


@pytest.mark.parametrize("name", MODELS)
def test_everybody_ends_and_twice_gives_the_same(name: str) -> None:
    """A few learners of each model reach all proven by the rule, with the same answers in a second run."""
    once, again = (trial(MODELS[name], by_the_rule, 6) for _ in range(2))
    assert once.finished == 1.0
    assert once.answers == again.answers
    assert min(once.answers) >= 10 * SKILLS


def test_a_short_list_calls_proven_what_is_not() -> None:
    """Four of each skill are not enough: the measure of wrong calls sees it."""
    assert trial(Knowing, partial(fixed_list, 4), 20).wrong > 0.2


def test_the_rule_takes_less_than_the_list_that_is_as_seldom_wrong() -> None:
    """With knowledge tracing the rule stays under the goal against the list that the full run found."""
    own, rival = (trial(Knowing, order, 20) for order in (by_the_rule, partial(fixed_list, 40)))
    assert own.wrong <= rival.wrong + 0.005
    assert fmean(own.answers) <= GOAL * fmean(rival.answers)


def test_spaced_practice_lasts_longer_than_crammed() -> None:
    """The forgetting model does what its paper is about."""
    crammed, spaced = Forgetting(Random(1)), Forgetting(Random(1))
    for turn in range(6):
        crammed.practise(turn * 120.0, True)
        spaced.practise(turn * DAY, True)
    assert spaced.chance(12 * DAY) > crammed.chance(7 * DAY)
