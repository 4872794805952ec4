"""What the questions of a paper must be: how many of which topic, level and kind. The same for every candidate."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from trainer.bank import Bank, QuestionEntry
from trainer.bank.paper import PaperPlan
from trainer.bank.question import NumberQuestion
from trainer.errors import Refused
from trainer.languages import _

MOST_QUESTIONS = 60
LEAST_SAFETY = 8  # one item in eight


@dataclass(frozen=True, slots=True)
class Composition:
    """``topics`` holds how many of each; ``own_level`` and ``safety`` are the fewest of that kind."""

    part: str
    level: str
    topics: tuple[tuple[str, int], ...]
    own_level: int
    safety: int
    drills: frozenset[str] = frozenset()

    @property
    def count(self) -> int:
        """How many questions there are."""
        return sum(count for _, count in self.topics)

    def fits(self, bank: Bank, entry: QuestionEntry) -> bool:
        """Whether a question may stand on such a paper: its pool, part, level, topic, and what it rests on.

        What the paper asks as a drill is not asked as a question with numbers too.
        """
        question = entry.question
        if question.pool != "examination" or question.part != self.part or not entry.confirmed:
            return False
        if (question.level, self.level) == ("II", "I") or entry.topic not in dict(self.topics):
            return False
        if isinstance(question, NumberQuestion):
            drill = bank.drills.get(question.drill)
            return drill is not None and not drill.drill.unconfirmed and question.drill not in self.drills
        return True

    def as_data(self) -> dict[str, Any]:
        """Return plain data to keep."""
        return {
            "part": self.part, "level": self.level, "topics": dict(self.topics), "own_level": self.own_level,
            "safety": self.safety, "drills": sorted(self.drills),
        }  # fmt: skip

    @classmethod
    def of_data(cls, data: Mapping[str, Any]) -> Composition:
        """Read what ``as_data`` gave."""
        return cls(
            data["part"], data["level"], tuple(data["topics"].items()), data["own_level"], data["safety"],
            frozenset(data["drills"]),
        )  # fmt: skip


def composed(
    plan: PaperPlan, count: int, weights: Mapping[str, int] | None = None, drills: Iterable[str] = ()
) -> Composition:
    """Share ``count`` questions over the topics by their weights; the largest remainders get what is left.

    ``drills`` are the drills beside them. Raises Refused for numbers that no paper can have.
    """
    named = frozenset(drills)
    shares = {topic: weight for topic, weight in (weights or plan.topics).items() if weight > 0}
    if not shares:
        raise Refused(_("Give at least one topic a weight above 0."))
    if not 1 <= count <= MOST_QUESTIONS:
        raise Refused(_("A paper has 1 to %(most_questions)s questions.", most_questions=MOST_QUESTIONS))
    return Composition(
        plan.part, plan.level, tuple(_shared(count, shares).items()), -(-count * plan.own_level // 100),
        max(-(-count * plan.safety // 100), -(-(count + len(named)) // LEAST_SAFETY)), named,
    )  # fmt: skip


def _shared(count: int, weights: Mapping[str, int]) -> dict[str, int]:
    whole = sum(weights.values())
    shares = {topic: count * weight // whole for topic, weight in weights.items()}
    rest = sorted(weights, key=lambda topic: (-(count * weights[topic] % whole), topic))
    for topic in rest[: count - sum(shares.values())]:
        shares[topic] += 1
    return {topic: number for topic, number in sorted(shares.items()) if number}
