"""Assemble the questions of one paper: topics filled, safety and level served, no enemies, least used first.

The search is bounded: ``TRIES`` orders, each one walk over the pool. Papers of one composition are alike by
construction: the same number of each topic, at least the same of safety and of the level, from one pool.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field

from trainer.bank import Bank, QuestionEntry, topic_title
from trainer.drills.numbers import Numbers
from trainer.examinations.composition import Composition
from trainer.languages import _
from trainer.questions.ask import shuffled

TRIES = 25


@dataclass(frozen=True, slots=True)
class Candidate:
    """A question as assembly sees it. ``enemies`` goes both ways."""

    id: str
    topic: str
    level: str
    safety: bool
    enemies: frozenset[str]


@dataclass(frozen=True, slots=True)
class Assembled:
    """The questions of a paper in their order; or, where the bank cannot fill it, what is lacking in words."""

    questions: tuple[str, ...]
    lacks: tuple[str, ...] = ()


def pool_of(bank: Bank, composition: Composition) -> tuple[Candidate, ...]:
    """Return the questions that may stand on papers of this composition, in the order of their ids."""
    entries = {one.id: one for one in bank.questions.values() if composition.fits(bank, one)}
    hostile: dict[str, set[str]] = {name: set() for name in entries}
    for entry in entries.values():
        for enemy in entry.question.enemies:
            if enemy in hostile:
                hostile[entry.id].add(enemy)
                hostile[enemy].add(entry.id)
    return tuple(_candidate(entries[name], frozenset(hostile[name])) for name in sorted(entries))


def assemble(
    composition: Composition, pool: Iterable[Candidate], uses: Mapping[str, int], seed: int
) -> Assembled:
    """Choose the questions of one paper. ``uses`` says how often each has stood on a paper before.

    Where one try gets stuck another order is tried; after the last the lacks of the fullest are told.
    """
    held = tuple(pool)
    best: _Paper | None = None
    for turn in range(TRIES):
        stream = Numbers(f"{seed}/paper/{turn}")
        mixed = shuffled(held, stream)
        paper = _Paper(composition, sorted(mixed, key=lambda one: uses.get(one.id, 0)))
        paper.fill()
        if paper.full:
            return Assembled(tuple(shuffled([one.id for one in paper.chosen], stream)))
        if best is None or len(paper.chosen) > len(best.chosen):
            best = paper
    assert best is not None, "there is at least one try"
    return Assembled((), tuple(best.lacks()))


@dataclass(slots=True)
class _Paper:
    """A paper being filled from an order; what is needed most is taken first."""

    composition: Composition
    order: list[Candidate]
    chosen: list[Candidate] = field(default_factory=list)
    left: dict[str, int] = field(default_factory=dict)
    barred: set[str] = field(default_factory=set)

    def fill(self) -> None:
        """Take safety first, then the plan's own level, then the rest of each topic."""
        self.left = dict(self.composition.topics)
        self.take(self.composition.safety, lambda one: one.safety)
        self.take(self.composition.own_level, self.is_own)
        self.take(self.composition.count, lambda one: True)

    def take(self, fewest: int, wanted: Callable[[Candidate], bool]) -> None:
        held = sum(map(wanted, self.chosen))
        for one in self.order:
            if held >= fewest:
                return
            if wanted(one) and self.left.get(one.topic, 0) and one.id not in self.barred:
                self.chosen.append(one)
                self.left[one.topic] -= 1
                self.barred |= {one.id, *one.enemies}
                held += 1

    def is_own(self, one: Candidate) -> bool:
        return one.level == self.composition.level

    @property
    def full(self) -> bool:
        return not any(self.lacks())

    def lacks(self) -> list[str]:
        """Say what is missing, as sentences."""
        had, held = (Counter(one.topic for one in some) for some in (self.chosen, self.order))
        says = [
            (
                _("%(topic)s: %(wanted)s wanted, %(had)s fit beside the rest", **words)
                if held[topic] >= wanted  # there are enough, but some bar each other
                else _("%(topic)s: %(wanted)s wanted, %(had)s to be had", **words)
            )
            for topic, wanted in self.composition.topics
            if had[topic] < wanted
            for words in [
                {"topic": _lowered(topic_title(topic)), "wanted": wanted, "had": had[topic] or _("none")}
            ]
        ]
        safe, own = sum(one.safety for one in self.chosen), sum(map(self.is_own, self.chosen))
        if safe < self.composition.safety:
            says.append(
                _(
                    "safety: %(wanted)s wanted, %(fit)s fit beside the rest",
                    wanted=self.composition.safety,
                    fit=safe,
                )
            )
        if own < self.composition.own_level:
            wanted = self.composition.own_level
            level = self.composition.level
            says.append(
                _(
                    "Level %(level)s: %(wanted)s wanted, %(fit)s fit beside the rest",
                    level=level,
                    wanted=wanted,
                    fit=own,
                )
            )
        return says


def _lowered(words: str) -> str:
    return words[:1].lower() + words[1:]


def _candidate(entry: QuestionEntry, enemies: frozenset[str]) -> Candidate:
    question = entry.question
    return Candidate(entry.id, entry.topic, question.level, question.safety, enemies)
