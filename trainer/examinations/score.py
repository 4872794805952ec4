"""The score of a paper as an exact fraction; nothing is rounded up."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any


@dataclass(frozen=True, slots=True)
class Score:
    """Right answers of all that were asked, and the pass mark in percent."""

    right: int
    of: int
    mark: int

    @property
    def percent(self) -> Fraction:
        """100 right / of, exactly."""
        return Fraction(100 * self.right, self.of)

    @property
    def passed(self) -> bool:
        """Whether the mark is reached; 79.95 is below 80."""
        return self.percent >= self.mark

    def as_data(self) -> dict[str, Any]:
        """Return plain data to keep."""
        return {"right": self.right, "of": self.of, "mark": self.mark}

    @classmethod
    def of_data(cls, data: Mapping[str, Any]) -> Score:
        """Read what ``as_data`` gave; further keys are left alone."""
        return cls(data["right"], data["of"], data["mark"])

    @classmethod
    def of_verdicts(cls, verdicts: Sequence[str], mark: int) -> Score:
        """Count the right ones; unanswered and unreadable count as not right. Raises ValueError for none asked."""
        if not verdicts:
            raise ValueError("a paper without items has no score")
        return cls(sum(v == "right" for v in verdicts), len(verdicts), mark)
