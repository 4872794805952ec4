"""Compare the orders at an equal rate of skills called proven that are not, and say how it is spread.

    .venv/bin/python -m tests.benchmarks.learning [LEARNERS]

The truth is looked up a week after the end: the skill is held (known, or a chance of 0.80 of a right answer).
The length of the fixed list is the shortest whose rate of wrong calls is not above the rule's (or 1 in 200, where
the rule is better than that); everybody does the whole of it. Rounds and chance end for a learner when each skill
has been proven once by the house's own proof; the rule itself must have all of them proven at once. Simulated people are not people: this says how the rule behaves, not how anybody learns.
"""

from __future__ import annotations

import sys
from bisect import bisect_left
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from random import Random
from statistics import fmean, quantiles

from tests.benchmarks.learning.learners import DAY, MODELS, Mind
from tests.benchmarks.learning.orders import Outcome, at_random, by_the_rule, fixed_list, in_rounds

SKILLS = 12
LONGEST_LIST = 100
GOAL = 0.7
LEAST_WRONG = 0.005
Order = Callable[[Sequence[Mind], Random], Outcome]


@dataclass
class Trial:
    """What an order took of every learner, and how often it called proven what is not."""

    outcomes: list[Outcome]
    wrong: float
    people: float

    @property
    def answers(self) -> list[int]:
        return [one.answers for one in self.outcomes]

    @property
    def finished(self) -> float:
        return fmean(one.finished for one in self.outcomes)


def trial(model: Callable[[Random], Mind], order: Order, learners: int) -> Trial:
    """Let the same learners (same seeds) work in one order."""
    outcomes, wrong = [], []
    for seed in range(learners):
        made = Random(f"learner/{seed}")
        minds = [model(Random(made.random())) for _ in range(SKILLS)]
        outcome = order(minds, Random(f"answers/{seed}"))
        outcomes.append(outcome)
        if outcome.finished:
            wrong.append(sum(not one.holds(outcome.ended + 7 * DAY) for one in minds) / SKILLS)
    return Trial(outcomes, fmean(wrong) if wrong else 1.0, fmean(w > 0 for w in wrong) if wrong else 1.0)


def equal_list(model: Callable[[Random], Mind], wanted: float, learners: int) -> tuple[int, Trial] | None:
    """The shortest fixed list that calls no more wrongly than ``wanted``, or None up to the longest tried."""
    tried: dict[int, Trial] = {}

    def good(each: int) -> bool:
        tried[each] = trial(model, partial(fixed_list, each), learners)
        return tried[each].wrong <= max(wanted, LEAST_WRONG)

    each = bisect_left(range(4, LONGEST_LIST + 1), True, key=good) + 4
    return (each, tried[each]) if each in tried and good(each) else None


def spread(values: Sequence[float], figures: int = 0) -> str:
    """Write tenth, half, ninetieth of a hundred, and the largest."""
    cuts = quantiles(values, n=10)
    return " / ".join(f"{v:.{figures}f}" for v in (cuts[0], cuts[4], cuts[8], max(values)))


def told(name: str, one: Trial) -> str:
    """One line of the report."""
    return (
        f"  {name:<34} {fmean(one.answers):7.0f}   {spread(one.answers):<24} {one.wrong:6.1%} {one.people:6.1%} "
        f"{one.finished:6.1%} {fmean(o.days for o in one.outcomes):6.0f}"
    )


def main(learners: int) -> None:
    """Print the report."""
    print(f"{learners} simulated learners a model, {SKILLS} skills each. Simulated people are not people.")
    for name, model in MODELS.items():
        print(f"\n{name}")
        print(f"  {'order':<34} answers   tenth/half/nine/most    wrong  people  ended   days")
        own = trial(model, by_the_rule, learners)
        print(told("by the rule", own))
        others = {"rounds until the same proof": in_rounds, "chance until the same proof": at_random}
        rivals = {words: trial(model, order, learners) for words, order in others.items()}
        found = equal_list(model, own.wrong, learners)
        if found is None:
            print(f"  no fixed list up to {LONGEST_LIST} of each skill is as seldom wrong")
        else:
            rivals = {f"fixed list, {found[0]} of each skill": found[1], **rivals}
        for words, one in rivals.items():
            print(told(words, one))
        for words, one in rivals.items():
            ratio = fmean(own.answers) / fmean(one.answers)
            each = [a / b for a, b in zip(own.answers, one.answers, strict=True)]
            verdict = "reached" if ratio <= GOAL else "MISSED"
            print(
                f"  answers against {words}: {ratio:.2f} (goal {GOAL} {verdict}); person by person {spread(each, 2)}"
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 300)
