"""One drawn instance of a drill: the numbers shown, the answer, the accepted interval, the slips' values."""

from __future__ import annotations

from typing import NamedTuple

# Named tuples, since thousands of these are made for every question that a bank check draws: a frozen
# dataclass takes four times as long to make.


class Interval(NamedTuple):
    """From low to high, both ends accepted, in the find's working unit."""

    low: float
    high: float

    def holds(self, value: float) -> bool:
        """Tell whether a value is inside; a billionth is allowed for the conversion of units."""
        room = 1e-9 * max(abs(self.low), abs(self.high))
        return self.low - room <= value <= self.high + room


class SlipValue(NamedTuple):
    """What a slip gives here: its place in the drill's list, its value, its band where the answer is one."""

    place: int
    value: float
    band: Interval | None = None


class Exercise(NamedTuple):
    """One exercise. ``given`` holds numbers as shown; ``values`` every symbol that is known.

    ``accepted`` is what counts as right; ``computed`` is the part of it reached by calculation, where
    the document allows more (a tolerance on ampere-turns).
    """

    drill: str
    edition: str
    seed: int
    find: str
    given: dict[str, float]
    texts: dict[str, str]
    values: dict[str, float]
    answer: float
    accepted: Interval
    computed: Interval
    slips: tuple[SlipValue, ...]
    situation: int
    redrawn: int

    def snapshot(self) -> dict[str, object]:
        """Return what must be kept so that the exercise can be made again whatever happens to the bank."""
        return {
            "drill": self.drill,
            "edition": self.edition,
            "seed": self.seed,
            "find": self.find,
            "given": dict(self.texts),
            "situation": self.situation,
        }
