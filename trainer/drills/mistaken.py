"""An exercise in which a given mistake leads to another value, with the judgement of that value."""

from __future__ import annotations

from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise
from trainer.drills.marking import judged, pair_values
from trainer.drills.mould import Mould
from trainer.drills.verdict import Verdict

_TRIES = 60  # draws in which a slip is looked for: some exist only where a limit is passed


def mistaken(mould: Mould, seed: int, slip: str) -> tuple[Exercise, Verdict] | None:
    """Draw from ``seed`` on until the slip (an id, or two joined by +) shows, and judge what it gives.

    None where it does not exist for this find, or cannot be told from another slip in so many draws.
    """
    for turn in range(_TRIES):
        exercise = draw(mould, seed + turn)
        value = _value(mould, exercise, slip)
        if value is not None:
            verdict = judged(mould, exercise, value)
            if verdict.slip == slip:
                return exercise, verdict
    return None


def _value(mould: Mould, exercise: Exercise, slip: str) -> float | None:
    slips = mould.read.drill.slips
    if "+" not in slip:
        return next((s.value for s in exercise.slips if slips[s.place].id == slip), None)
    pairs = pair_values(mould, exercise)
    return next((value for one, two, value in pairs if f"{slips[one].id}+{slips[two].id}" == slip), None)
