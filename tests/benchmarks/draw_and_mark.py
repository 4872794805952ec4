"""How fast exercises are drawn and marked on one core, against solving each question with sympy. Run by hand:

python -m tests.benchmarks.draw_and_mark

Both sides go through every question of the bank (each drill, each of its finds) with numbers of its own. Ours
draws it, with the accepted interval and what each slip gives, and marks a right answer. Sympy is given the
same numbers and solves each relation on the way to the answer; a second figure is for the answer and all the
slips, which is what a draw works out. Seconds are those that the process itself had on the core.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable

import sympy

from trainer.drills.draw import draw
from trainer.drills.marking import mark
from trainer.drills.mould import Mould
from trainer.drills.plan import Step
from trainer.drills.shelf import Shelf
from trainer.formulas.solving import _sympy
from trainer.formulas.tree import Choice, Tree
from trainer.settings import bank_folder

SEEDS = 40
ONE = ("coil-low-fill-wall", "I")


def per_second(do: Callable[[Mould, int], object], moulds: Iterable[Mould], seeds: int) -> float:
    """How many questions a second: each mould with seeds 0, 1, 2, ..."""
    began, count = time.process_time(), 0
    for mould in moulds:
        for seed in range(seeds):
            do(mould, seed)
            count += 1
    return count / (time.process_time() - began)


def ours(mould: Mould, seed: int) -> object:
    """Draw and mark one question."""
    exercise = draw(mould, seed)
    unit = mould.read.drill.quantities[mould.find].unit
    return mark(mould, exercise, f"{exercise.answer:.6g} {'' if unit == '1' else unit}")


def with_sympy(mould: Mould, seed: int) -> object:
    """Solve the relations on the way to the answer with the numbers of one draw."""
    return solved(mould, mould.steps, draw(mould, seed).values)


def with_sympy_and_slips(mould: Mould, seed: int) -> object:
    """Solve the way to the answer, and the way of every slip."""
    values = draw(mould, seed).values
    return [solved(mould, steps, values) for steps in (mould.steps, *(w.steps for _, w in mould.slip_ways))]


def solved(mould: Mould, steps: Iterable[Step], values: dict[str, float]) -> list[object]:
    """Let sympy solve the relation of each step for its symbol, everything else given as a number."""
    found = []
    for step in steps:
        relation = mould.read.relations[step.relation]
        numbers = {s: sympy.Rational(str(v)) for s, v in values.items()}
        symbols = {s: numbers.get(s, sympy.Symbol(s, positive=True)) for s in relation.symbols}
        symbols[step.symbol] = unknown = sympy.Symbol(step.symbol, positive=True)
        left, right = (_sympy(first_case(side), symbols, {}) for side in (relation.left, relation.right))
        found.append(sympy.solve(left - right, unknown))
    return found


def first_case(tree: Tree) -> Tree:
    """Of a relation with several cases the first: sympy is spared the choice."""
    return tree.cases[0][0] if isinstance(tree, Choice) else tree


def main() -> None:
    """Print the speeds and their ratios."""
    shelf = Shelf.of_folder(bank_folder())
    moulds = [shelf.mould(id, find) for id, entry in shelf.bank.drills.items() for find in entry.drill.finds]
    one = max(per_second(ours, [shelf.mould(*ONE)], 10_000) for _ in range(3))
    bank = max(per_second(ours, moulds, SEEDS) for _ in range(3))
    print(f"draw and mark: {one:,.0f} a second of {ONE[0]}, {bank:,.0f} over the {len(moulds)} questions")
    for name, way in (("the answer", with_sympy), ("the answer and every slip", with_sympy_and_slips)):
        theirs = per_second(way, moulds, 1)
        print(f"sympy, {name}: {theirs:,.1f} a second over all questions; ratio {bank / theirs:,.0f}")


if __name__ == "__main__":
    main()
