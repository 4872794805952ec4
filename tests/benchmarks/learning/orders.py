"""Orders in which one simulated learner answers: the rule of the house, a fixed list, rounds, chance.

An order is given a learner and says what it took and whom it called proven. It sees right and wrong only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from tests.benchmarks.learning.learners import ANSWER, DAY, Mind
from trainer.practice.offer import Line, choose
from trainer.practice.skill import Skill, after

A_DAY = 24  # answers that a trainee gives on one day
MOST_DAYS = 150
_FIRST = date(2026, 1, 1)


@dataclass
class Outcome:
    """Answers and days until all was called proven, whether it was, and the moment it ended."""

    answers: int
    days: int
    finished: bool
    ended: float


class Bench:
    """A learner at work: takes exercises one after the other, a day's load a day."""

    def __init__(self, minds: Sequence[Mind], chance: Random) -> None:
        self.minds, self._chance = minds, chance
        self.skills: dict[str, Skill] = {}
        self.called: set[str] = set()  # proven at least once
        self.recent: list[str] = []
        self.answers = self.day = self._today = 0

    @property
    def today(self) -> date:
        return _FIRST + timedelta(days=self.day)

    @property
    def moment(self) -> float:
        return self.day * DAY + self._today * ANSWER

    @property
    def over(self) -> bool:
        return self.day >= MOST_DAYS

    def answer(self, skill: int) -> None:
        """Take one exercise of a skill; the next day begins when the day's load is done."""
        right = self._chance.random() < self.minds[skill].chance(self.moment)
        self.minds[skill].practise(self.moment, right)
        name = str(skill)
        self.skills[name] = after(self.skills.get(name, Skill()), right, self.today)
        if self.skills[name].state == "proven":
            self.called.add(name)
        self.recent = [*self.recent[-19:], name]
        self.answers += 1
        self._today += 1
        if self._today == A_DAY:
            self.rest()

    def rest(self) -> None:
        """Go home; come back tomorrow."""
        self.day, self._today = self.day + 1, 0

    @property
    def all_called(self) -> bool:
        """Whether every skill has been proven once: all that is asked of the other orders."""
        return len(self.called) == len(self.minds)

    @property
    def all_proven(self) -> bool:
        """Whether every skill is proven now, none moved back by a later miss: asked of the rule of the house."""
        return self.all_called and all(one.state == "proven" for one in self.skills.values())

    def outcome(self, finished: bool) -> Outcome:
        """What it took."""
        return Outcome(self.answers, self.day + 1, finished, self.moment)


def by_the_rule(minds: Sequence[Mind], chance: Random) -> Outcome:
    """The house's own: what is due, what is being learnt, what is new."""
    bench, lines = Bench(minds, chance), [Line(str(i), None, str(i)) for i in range(len(minds))]
    while not bench.all_proven and not bench.over:
        offer = choose(lines, bench.skills, bench.recent, bench.today, {})
        if offer is None:
            bench.rest()
        else:
            bench.answer(int(offer.line.family))
    return bench.outcome(bench.all_proven)


def in_rounds(minds: Sequence[Mind], chance: Random) -> Outcome:
    """One exercise of every skill in the list's order, round after round, until each has given the same proof once."""
    bench = Bench(minds, chance)
    while not bench.all_called and not bench.over:
        bench.answer(bench.answers % len(minds))
    return bench.outcome(bench.all_called)


def at_random(minds: Sequence[Mind], chance: Random) -> Outcome:
    """Any skill at any time, until each has given the same proof once."""
    bench, dice = Bench(minds, chance), Random(chance.random())
    while not bench.all_called and not bench.over:
        bench.answer(dice.randrange(len(minds)))
    return bench.outcome(bench.all_called)


def fixed_list(each: int, minds: Sequence[Mind], chance: Random) -> Outcome:
    """A sheet for everybody: so many of the first skill, then of the second; who has done it is called proven."""
    bench = Bench(minds, chance)
    for skill in range(len(minds)):
        for _ in range(each):
            bench.answer(skill)
    return bench.outcome(finished=True)
