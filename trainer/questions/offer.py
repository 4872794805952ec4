"""Which question of a topic to ask next, and the reason that is told with it. Pure and deterministic."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.bank import QuestionEntry
from trainer.drills.numbers import Numbers
from trainer.languages import N_
from trainer.questions.ask import shuffled

NEW, MISSED, AGAIN = N_("not asked before"), N_("missed before"), N_("asked longest ago")
"""The reasons as they are kept; words of the catalogue."""


@dataclass(frozen=True, slots=True)
class Past:
    """One answer of the past: the question and whether it was right."""

    question: str
    right: bool


def choose(
    entries: Sequence[QuestionEntry], past: Sequence[Past], person: str
) -> tuple[QuestionEntry, str] | None:
    """Choose among questions; None where there are none. ``past`` lists answers, oldest first.

    What was never asked comes first, Level I before II, in an order of the person's own so that neighbours
    do not sit at the same question; then what was missed last time, then what was asked longest ago. The
    question just answered comes again only where there is no other.
    """
    last = {one.question: (place, one.right) for place, one in enumerate(past)}
    open_to = [one for one in entries if not past or one.id != past[-1].question] or list(entries)
    if not open_to:
        return None
    fresh = [one for one in open_to if one.id not in last]
    if fresh:
        mixed = shuffled(fresh, Numbers(f"{person}/{fresh[0].topic}"))
        return min(mixed, key=lambda one: one.question.level), NEW
    found = min(open_to, key=lambda one: (last[one.id][1], last[one.id][0]))
    return found, AGAIN if last[found.id][1] else MISSED
