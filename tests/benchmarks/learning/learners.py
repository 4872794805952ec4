"""Simulated learners: each skill of each learner is drawn from wide ranges that the practice rule does not know.

Shapes of the models are those of the papers named at each class (read about, not re-derived: from memory,
unconfirmed). Ranges are ours, chosen wide; they are no measurement of anybody.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from random import Random
from typing import Protocol

DAY = 86_400.0
ANSWER = 120.0  # seconds that one exercise takes


class Mind(Protocol):
    """One skill of one learner."""

    def chance(self, at: float) -> float:
        """The chance of a right answer at a moment, in seconds since the beginning."""

    def practise(self, at: float, right: bool) -> None:
        """What an answered exercise with its worked solution leaves behind."""

    def holds(self, at: float) -> bool:
        """The truth that no rule sees: whether the skill is held at a moment."""


class Knowing:
    """Knowledge tracing (Corbett and Anderson 1995): not known until one exercise makes it known, never forgotten."""

    def __init__(self, chance: Random) -> None:
        self.lucky, self.careless = chance.uniform(0.02, 0.20), chance.uniform(0.02, 0.12)
        self.learns = chance.uniform(0.06, 0.40)
        self._chance = chance
        self.known = chance.random() < chance.uniform(0.05, 0.40)

    def chance(self, at: float) -> float:
        return 1 - self.careless if self.known else self.lucky

    def practise(self, at: float, right: bool) -> None:
        self.known = self.known or self._chance.random() < self.learns

    def holds(self, at: float) -> bool:
        return self.known


class Counting:
    """Performance factors (Pavlik, Cen and Koedinger 2009): each success and each failure adds its share to the odds."""

    def __init__(self, chance: Random) -> None:
        self.odds = chance.gauss(-1.0, 0.8)
        self.success, self.failure = chance.uniform(0.15, 0.60), chance.uniform(0.05, 0.40)

    def chance(self, at: float) -> float:
        return 1 / (1 + math.exp(-self.odds))

    def practise(self, at: float, right: bool) -> None:
        self.odds += self.success if right else self.failure

    def holds(self, at: float) -> bool:
        return self.chance(at) >= 0.80


class Forgetting:
    """Activation with spacing (Pavlik and Anderson 2005): a trace of each practice decays, faster where it was crammed.

    m = ln sum(t^-d), the decay of each trace d = c*exp(m at that time) + a, chance = logistic((m - threshold)/noise).
    Time between two days counts less than time at work (factor 0.025 in the paper).
    """

    _NIGHT = 0.025

    def __init__(self, chance: Random) -> None:
        self.base, self.cram = chance.uniform(0.04, 0.14), chance.uniform(0.04, 0.16)
        self.threshold, self.noise = chance.uniform(-0.9, 0.1), chance.uniform(0.20, 0.40)
        self.careless = chance.uniform(0.01, 0.06)
        self.traces: list[tuple[float, float]] = []

    def chance(self, at: float) -> float:
        if not self.traces:
            return 0.05
        return (1 - self.careless) / (1 + math.exp((self.threshold - self._activation(at)) / self.noise))

    def practise(self, at: float, right: bool) -> None:
        decay = self.base + (self.cram * math.exp(self._activation(at)) if self.traces else 0.0)
        self.traces.append((at, decay))

    def holds(self, at: float) -> bool:
        return self.chance(at) >= 0.80

    def _activation(self, at: float) -> float:
        return math.log(sum(self._passed(then, at) ** -decay for then, decay in self.traces))

    def _passed(self, then: float, at: float) -> float:
        nights = int(at // DAY) - int(then // DAY)
        return max(ANSWER, at % DAY - then % DAY if nights == 0 else nights * DAY * self._NIGHT)


MODELS: dict[str, Callable[[Random], Mind]] = {
    "knowledge tracing": Knowing,
    "performance factors": Counting,
    "forgetting with spacing": Forgetting,
}
