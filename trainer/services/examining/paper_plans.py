"""Written examinations by a paper plan: the numbers of a scheme, and whether the bank can fill such papers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from trainer.bank import Bank
from trainer.bank.paper import PaperPlan
from trainer.examinations.assembly import Candidate, assemble, pool_of
from trainer.examinations.composition import Composition, composed
from trainer.examinations.likeness import Likeness, likeness
from trainer.examinations.plan import Line, Plan

if TYPE_CHECKING:
    from trainer.qualification import Scheme
    from trainer.qualification.scheme import Figure

TRIALS = 12
_STEP = 5  # minutes of a paper are rounded up to this


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of trying a composition: how many of each topic the bank has, what it lacks, how alike papers are."""

    composition: Composition
    held: dict[str, int]
    lacks: tuple[str, ...]
    alike: Likeness | None

    @property
    def pool(self) -> int:
        """How many questions there are to choose from."""
        return sum(self.held.values())


def figures(plan: PaperPlan, scheme: Scheme) -> tuple[Figure | None, Figure | None]:
    """Return the scheme's figures for the number of items and for the pass mark of a part, where it has them."""
    found = scheme.figures
    return found.get(f"{plan.part}.questions"), found.get(f"{plan.part}.pass")


def questions_beside(plan: PaperPlan, scheme: Scheme) -> int | None:
    """Return how many questions fill a paper up to the scheme's number, its drills counted."""
    wanted = scheme.count(f"{plan.part}.questions")
    return None if wanted is None else max(1, wanted - len(plan.drills))


def short_of(plan: PaperPlan, scheme: Scheme, size: int, mark: int) -> list[Figure]:
    """Return the scheme's figures that a paper of so many items and this pass mark in percent falls short of."""
    written = zip(figures(plan, scheme), (size, mark), strict=True)
    return [
        figure
        for figure, number in written
        if figure is not None and isinstance(figure.value, Fraction) and number < figure.value
    ]


def minutes(plan: PaperPlan, count: int) -> int:
    """Return the minutes that the plan gives for so many questions and its drills."""
    exact = count * plan.minutes_each + len(plan.drills) * plan.drill_minutes
    return -(-exact // _STEP) * _STEP


def planned(plan: PaperPlan, count: int, weights: Mapping[str, int], mark: int, shown: bool) -> Plan:
    """Return the plan of an examination. Raises Refused for numbers that no paper can have."""
    lines = tuple(Line(one.drill, one.find, 1) for one in plan.drills)
    questions = composed(plan, count, weights, (line.drill for line in lines))
    return Plan(lines, mark, plan.part, shown, questions, plan.book, plan.references)


def tried(bank: Bank, composition: Composition) -> Trial:
    """Assemble a few papers as for one sitting, each question the rarer the more often it was chosen."""
    pool = pool_of(bank, composition)
    uses: Counter[str] = Counter()
    papers = []
    for seed in range(TRIALS):
        found = assemble(composition, pool, uses, seed)
        if found.lacks:
            return Trial(composition, _held(pool), found.lacks, None)
        uses.update(found.questions)
        papers.append(found.questions)
    return Trial(composition, _held(pool), (), likeness(papers, bank.questions))


def _held(pool: Sequence[Candidate]) -> dict[str, int]:
    return dict(Counter(one.topic for one in pool))
