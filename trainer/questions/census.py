"""Count a bank's questions by what they are, and measure what could give answers away."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from trainer.bank import QuestionEntry
from trainer.bank.question import OPTIONS, NumberQuestion, Question
from trainer.drills.numbers import Numbers
from trainer.questions.ask import LETTERS, shuffled

SEEDS = 25  # orders drawn of each question to measure how the right option is spread

_BY: dict[str, Callable[[QuestionEntry], str]] = {
    "level": lambda entry: entry.question.level,
    "part": lambda entry: entry.question.part,
    "pool": lambda entry: entry.question.pool,
    "status": lambda entry: (
        "drawn" if isinstance(entry.question, NumberQuestion) else entry.question.fact.status
    ),
    "topic": lambda entry: entry.topic,
}


@dataclass(frozen=True, slots=True)
class Lengths:
    """Mean characters of right and of wrong options, and the share of questions whose right one is longest.

    A right option that ties for the longest with others counts by its share of them.
    """

    questions: int
    right: Fraction
    wrong: Fraction
    longest: Fraction
    ranks: tuple[int, ...]


def lengths(entries: Iterable[QuestionEntry]) -> Lengths:
    """Measure the lengths of options; ``ranks`` counts right ones by how many others are longer."""
    written = [entry.question for entry in entries if isinstance(entry.question, Question)]
    right = wrong = 0
    longest = Fraction(0)
    ranks = [0] * OPTIONS
    for question in written:
        own = len(question.answer.text)
        every = [len(option.text) for option in question.options]
        right, wrong = right + own, wrong + sum(every) - own
        ranks[sum(one > own for one in every)] += 1
        longest += Fraction(own == max(every), every.count(max(every)))
    n = max(1, len(written))
    return Lengths(
        len(written), Fraction(right, n), Fraction(wrong, n * (OPTIONS - 1)), longest / n, tuple(ranks)
    )


def places(entries: Iterable[QuestionEntry], seeds: int = SEEDS) -> dict[str, int]:
    """Count at which letter the right option comes, over some seeds of each question."""
    found: Counter[str] = Counter()
    for entry in entries:
        for seed in range(seeds):
            order = shuffled(range(OPTIONS), Numbers(f"{entry.id}/order/{seed}"))
            found[LETTERS[order.index(0)]] += 1
    return {letter: found[letter] for letter in LETTERS}


def census(entries: Sequence[QuestionEntry]) -> dict[str, Any]:
    """Return the counts and measures of a bank's questions as plain data."""
    measured = lengths(entries)
    safety = sum(entry.question.safety for entry in entries)
    counted = {name: dict(sorted(Counter(map(by, entries)).items())) for name, by in _BY.items()}
    return {
        "questions": len(entries),
        **counted,
        "safety": safety,
        "safety_share": round(safety / max(1, len(entries)), 3),
        "right_length": round(float(measured.right), 1),
        "wrong_length": round(float(measured.wrong), 1),
        "right_longest": round(float(measured.longest), 3),
        "right_length_ranks": list(measured.ranks),
        "right_places": places(entries),
    }
