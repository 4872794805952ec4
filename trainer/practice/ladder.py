"""The ladder of hints: what may be asked for before an answer. Any rung of it, and the answer does not count."""

from __future__ import annotations

RUNGS = ("formula", "first-step", "working")


def following(hints: int, steps: int) -> str | None:
    """Name the rung that can be asked for next, or None at the top; one step has no first step to show."""
    above = [rung for rung in RUNGS[hints:] if rung != "first-step" or steps > 1]
    return above[0] if above else None
