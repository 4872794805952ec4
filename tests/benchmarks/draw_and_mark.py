"""How fast exercises are drawn and marked on one core, against solving each with sympy. Run by hand:

python -m tests.benchmarks.draw_and_mark
"""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import sympy

from trainer.drills.draw import draw
from trainer.drills.marking import mark
from trainer.drills.shelf import Shelf

BANK = Path(__file__).parents[2] / "question_bank"


def per_second(do: Callable[[int], object], times: int) -> float:
    """Call ``do`` with 0, 1, 2, ... and return how often a second that went."""
    began = time.perf_counter()
    for turn in range(times):
        do(turn)
    return times / (time.perf_counter() - began)


def with_sympy(turn: int) -> object:
    """Solve the coil rule for the current with the numbers of one exercise."""
    length, diameter, turns, current = (
        sympy.Rational(8 + turn % 40, 2),
        2,
        5,
        sympy.Symbol("I", positive=True),
    )
    return sympy.solve(sympy.Eq(current * turns, 45000 / (length / diameter)), current)


def main() -> None:
    """Print both speeds and their ratio."""
    mould = Shelf.of_folder(BANK).mould("coil-low-fill-wall", "I")
    ours = max(per_second(lambda seed: mark(mould, draw(mould, seed), "1047 A"), 10_000) for _ in range(3))
    theirs = max(per_second(with_sympy, 100) for _ in range(3))
    print(f"draw and mark: {ours:,.0f} a second on one core")
    print(f"solving with sympy: {theirs:,.0f} a second; ratio {ours / theirs:,.0f}")


if __name__ == "__main__":
    main()
