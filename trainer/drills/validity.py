"""Where a relation holds: the documented conditions of a drill, tried on the values of a part."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from trainer.drills.reading import ReadDrill
from trainer.drills.reduction import value_of
from trainer.formulas.compiling import compiled_test
from trainer.formulas.tree import Condition, Name, Relation, names
from trainer.formulas.writing import rounded

_FIGURES = 12  # a length typed in mm must not miss a limit in inches by the last bit of its conversion


def settled(value: float) -> float:
    """Return a value without the noise of a conversion, so that one on a limit counts as on it."""
    return rounded(value, _FIGURES)


def holds(test: Condition, values: Mapping[str, float]) -> bool | None:
    """Tell whether a condition holds; None where a value is missing or the condition has no result."""
    symbols = tuple(dict.fromkeys(names(test)))
    if any(symbol not in values for symbol in symbols):
        return None
    try:
        return compiled_test(symbols, test)(*(settled(values[symbol]) for symbol in symbols))
    except (ArithmeticError, ValueError):
        return None


def forward(relations: Iterable[Relation], known: Mapping[str, float]) -> dict[str, float]:
    """Return what is known and all that the relations give from it, each worked the way it is written."""
    values = dict(known)
    for relation in relations:
        left = relation.left
        if (
            isinstance(left, Name)
            and left.symbol not in values
            and values.keys() >= set(names(relation.right))
        ):
            try:
                values[left.symbol] = settled(value_of(relation.right, values))
            except (ArithmeticError, ValueError):
                continue
    return values


def warnings(read: ReadDrill, values: Mapping[str, float]) -> tuple[str, ...]:
    """Return the sentence of every condition of the drill that these values do not meet."""
    known = forward(read.relations, values)
    conditions = zip(read.drill.valid, read.valid, strict=True)
    return tuple(proviso.says for proviso, test in conditions if holds(test, known) is False)
