"""Find the way from what is given to what is asked: which relation gives which quantity, in which order."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from trainer.formulas.solved import SolvedForms
from trainer.formulas.tree import Relation, Tree, names


@dataclass(frozen=True, slots=True)
class Step:
    """One line of the working: ``symbol = tree``, taken from the relation with this index."""

    symbol: str
    tree: Tree
    relation: int


def plan(
    relations: Sequence[Relation], known: Collection[str], targets: Sequence[str], forms: SolvedForms
) -> tuple[Step, ...] | None:
    """Return the steps that give every target from the known symbols, or None where there is no way.

    Relations are tried in the order written; each that has one unknown left gives it. Steps that no
    target needs are left out.
    """
    steps: dict[str, Step] = {}
    have = set(known)
    while not have.issuperset(targets):
        step = _next(relations, have, forms, steps)
        if step is None:
            return None
        steps[step.symbol] = step
        have.add(step.symbol)
    return _needed(steps, targets, known)


def reach(relations: Sequence[Relation], known: Collection[str], forms: SolvedForms) -> tuple[Step, ...]:
    """Return steps for every symbol that can be worked out from the known ones."""
    steps: dict[str, Step] = {}
    have = set(known)
    while (step := _next(relations, have, forms, steps)) is not None:
        steps[step.symbol] = step
        have.add(step.symbol)
    return tuple(steps.values())


def _next(
    relations: Sequence[Relation], have: set[str], forms: SolvedForms, steps: dict[str, Step]
) -> Step | None:
    used = {step.relation for step in steps.values()}
    for index, relation in enumerate(relations):
        missing = [s for s in relation.symbols if s not in have]
        if len(missing) == 1 and index not in used:
            tree = forms.form(relation, missing[0])
            if tree is not None:
                return Step(missing[0], tree, index)
    return None


def _needed(steps: dict[str, Step], targets: Sequence[str], known: Collection[str]) -> tuple[Step, ...]:
    wanted: set[str] = set()
    waiting = [t for t in targets if t not in known]
    while waiting:
        symbol = waiting.pop()
        if symbol in wanted:
            continue
        wanted.add(symbol)
        waiting.extend(s for s in names(steps[symbol].tree) if s in steps)
    return tuple(step for step in steps.values() if step.symbol in wanted)
