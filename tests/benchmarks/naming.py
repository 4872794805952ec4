"""How well mistakes are named: every slip, every two slips together, and twenty blunders of no drill. Run by hand:

python -m tests.benchmarks.naming [DRAWS]

Each mistake is made with the numbers of an exercise and its result written with four figures, as a trainee
writes it. It is named rightly where the verdict has it among what it names; it makes the same number where
another mistake that is named gives the very same value, so that nobody could tell the two; it is named wrongly
where only other mistakes are named. What is accepted as right is no mistake and is left out.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from functools import cache
from pathlib import Path

from trainer.drills.blunders import BLUNDERS
from trainer.drills.exercise import Exercise
from trainer.drills.marking import judged, pair_values
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.drills.verdict import Verdict
from trainer.formulas.writing import rounded

BANK = Path(__file__).parents[2] / "question_bank"
SAME = 2e-4  # share within which two values are one at four figures

# Five that the program does not know: nothing is to be named for them.
UNKNOWN: dict[str, Callable[[float], float]] = {
    "a quarter left out": lambda v: v * 0.75,
    "a digit too many": lambda v: v * 1.17,
    "half as much again": lambda v: v * 1.5,
    "a third": lambda v: v / 3,
    "seven for one": lambda v: v * 7,
}

Made = tuple[str, frozenset[str], float]
"""Kind of mistake, its ids (none for an unknown one), the value it gives."""


def mistakes(mould: Mould, exercise: Exercise) -> Iterator[Made]:
    """Every mistake that is tried on one exercise."""
    slips = mould.read.drill.slips
    for slip in exercise.slips:
        value = slip.value if slip.band is None else (slip.band.low + slip.band.high) / 2
        yield "slip", frozenset({slips[slip.place].id}), value
    for one, two, value in pair_values(mould, exercise):
        yield "pair", frozenset({slips[one].id, slips[two].id}), value
    for blunder in BLUNDERS:
        yield "blunder", frozenset({blunder.id}), blunder.makes(exercise.answer)
    for make in UNKNOWN.values():
        yield "unknown", frozenset(), make(exercise.answer)


def outcome(mould: Mould, exercise: Exercise, made: Made) -> str:
    """Judge one mistake: rightly, same, wrongly, unrecognised, or accepted."""
    _, truth, value = made
    verdict = judged(mould, exercise, rounded(value, 4))
    if verdict.right:
        return "accepted"
    named = names(verdict)
    if not named:
        return "rightly" if not truth else "unrecognised"
    if truth in named:
        return "rightly"
    return "same" if any(_gives(mould, exercise, ids, value) for ids in named) else "wrongly"


def _gives(mould: Mould, exercise: Exercise, ids: frozenset[str], value: float) -> bool:
    """Tell whether a named mistake gives this very value, or any value of a band that holds it."""
    slips = mould.read.drill.slips
    bands = [s.band for s in exercise.slips if s.band is not None and frozenset({slips[s.place].id}) == ids]
    near = SAME * abs(value)
    return any(band.holds(value) for band in bands) or any(
        truth == ids and abs(other - value) <= near for _, truth, other in mistakes(mould, exercise)
    )


def names(verdict: Verdict) -> set[frozenset[str]]:
    """What a verdict names: each slip alone, two together, or a blunder; "close" names no mistake."""
    if verdict.together:
        return {frozenset(verdict.slips)}
    generic = {frozenset({verdict.generic})} if verdict.generic not in {None, "close"} else set()
    return {frozenset({slip}) for slip in verdict.slips} | generic  # type: ignore[arg-type]


def measure(shelf: Shelf, drill: str, draws: int) -> Counter[tuple[str, str, str]]:
    """Count (kind, outcome, where) over all finds of one drill; ``where`` is filled for what was named wrongly."""
    found: Counter[tuple[str, str, str]] = Counter()
    for find in shelf.bank.drill(drill).drill.finds:
        mould = shelf.mould(drill, find)
        for seed in range(draws):
            exercise = shelf.draw(drill, seed, find)
            for made in mistakes(mould, exercise):
                result = outcome(mould, exercise, made)
                where = f"{drill} {find} {'+'.join(sorted(made[1]))}" if result == "wrongly" else ""
                found[made[0], result, where] += 1
    return found


@cache
def _shelf() -> Shelf:
    """The bank, read once in each process."""
    return Shelf.of_folder(BANK)


def _in_a_process(job: tuple[str, int]) -> Counter[tuple[str, str, str]]:
    return measure(_shelf(), *job)


def main() -> None:
    """Measure the whole bank on all cores and print shares, and the places where most is named wrongly."""
    draws = int(sys.argv[1]) if len(sys.argv) > 1 else 200
    drills = sorted(_shelf().bank.drills)
    total: Counter[tuple[str, str, str]] = Counter()
    with ProcessPoolExecutor() as pool:
        for found in pool.map(_in_a_process, [(drill, draws) for drill in drills]):
            total.update(found)
    print(report(total))


def report(total: Counter[tuple[str, str, str]]) -> str:
    """Write the shares as a table, then the worst places."""
    lines = []
    for kind in ("slip", "pair", "blunder", "unknown", ""):
        rows = Counter[str]()
        for (of, result, _), n in total.items():
            if kind in ("", of) and result != "accepted":
                rows[result] += n
        made = max(1, sum(rows.values()))
        shares = ", ".join(
            f"{name} {rows[name] / made:.2%}" for name in ("rightly", "same", "wrongly", "unrecognised")
        )
        lines.append(f"{kind or 'all'}: {made} made; {shares}")
    wrong = Counter({where: n for (_, result, where), n in total.items() if result == "wrongly"})
    return "\n".join([*lines, *(f"  {n} {where}" for where, n in wrong.most_common(25))])


if __name__ == "__main__":
    main()
