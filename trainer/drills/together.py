"""The answers of many people to one drill, each with numbers of their own, brought to one scale.

Every answer is divided by what was right for its own numbers, so 1 is right everywhere. The accepted intervals
differ a little from draw to draw; the scale takes the widest, and an answer that was wrong for its own numbers is
moved to just outside of it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.drills.exercise import Exercise
from trainer.drills.verdict import Verdict

_HAIR = 1e-6


@dataclass(frozen=True, slots=True)
class Together:
    """Ratios of the answers to what was right; what is accepted; for each slip its mean ratio and how many made it.

    ``apart`` counts the answers that have no place on the scale: at or below zero.
    """

    ratios: tuple[float, ...]
    low: float
    high: float
    slips: tuple[tuple[str, str, float, int], ...]  # drill, slip, mean ratio, count
    apart: int


def together(answers: Sequence[tuple[Exercise, Verdict]]) -> Together | None:
    """Bring answers to one scale; None where a right answer at or below zero leaves no ratio."""
    if not answers or any(drawn.accepted.low <= 0 for drawn, _ in answers):
        return None
    low = min(drawn.accepted.low / drawn.answer for drawn, _ in answers)
    high = max(drawn.accepted.high / drawn.answer for drawn, _ in answers)
    placed = [
        (drawn, verdict, _ratio(drawn, verdict, verdict.value, low, high))
        for drawn, verdict in answers
        if verdict.value is not None and verdict.value > 0
    ]
    made: dict[tuple[str, str], list[float]] = {}
    for drawn, verdict, ratio in placed:
        if verdict.slips and verdict.slip is not None:
            made.setdefault((drawn.drill, verdict.slip), []).append(ratio)
    slips = tuple((*key, sum(found) / len(found), len(found)) for key, found in made.items())
    ratios = tuple(ratio for _, _, ratio in placed)
    return Together(ratios, low, high, slips, len(answers) - len(placed))


def _ratio(drawn: Exercise, verdict: Verdict, value: float, low: float, high: float) -> float:
    ratio = value / drawn.answer
    if verdict.right or not low <= ratio <= high:
        return ratio
    return low * (1 - _HAIR) if ratio < 1 else high * (1 + _HAIR)
