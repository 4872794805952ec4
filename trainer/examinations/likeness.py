"""How alike the papers of one sitting are: what every paper has the same of, and how much two papers share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from trainer.bank import QuestionEntry, topic_title
from trainer.languages import _


@dataclass(frozen=True, slots=True)
class Spread:
    """Fewest and most of one kind over the papers."""

    name: str
    fewest: int
    most: int


@dataclass(frozen=True, slots=True)
class Likeness:
    """``shared``: mean share of questions that two papers have in common; ``closest`` the largest."""

    papers: int
    spreads: tuple[Spread, ...]
    shared: Fraction
    closest: Fraction


def likeness(papers: Sequence[Sequence[str]], known: Mapping[str, QuestionEntry]) -> Likeness | None:
    """Compare papers given as ids of their questions; None for fewer than two that have any."""
    held = [frozenset(paper) for paper in papers if paper]
    if len(held) < 2:
        return None
    pairs = [Fraction(len(one & other), max(len(one), len(other))) for one, other in combinations(held, 2)]
    counts = [_counts([known[name] for name in paper if name in known]) for paper in held]
    names = sorted({name for count in counts for name in count})
    spreads = tuple(Spread(n, min(c[n] for c in counts), max(c[n] for c in counts)) for n in names)
    return Likeness(len(held), spreads, sum(pairs, Fraction(0)) / len(pairs), max(pairs))


def _counts(entries: Sequence[QuestionEntry]) -> Counter[str]:
    found: Counter[str] = Counter()
    for entry in entries:
        topic = topic_title(entry.topic)
        found[topic[:1].lower() + topic[1:]] += 1
        found[_("Level %(level)s", level=entry.question.level)] += 1
        found[_("on safety")] += entry.question.safety
    return found
