"""What is printed about an exercise read back and held against its numbers: the working and the figure."""

from __future__ import annotations

import re
from collections.abc import Iterator

from trainer.bank.drill import Drill
from trainer.drawing.figures.sheet import Figure
from trainer.drawing.inspection import lettering
from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould
from trainer.drills.reduction import value_of
from trainer.drills.working import working
from trainer.formulas.reading import FormulaFault, read_tree
from trainer.formulas.units import unit
from trainer.formulas.writing import NARROW

_NUMBER = re.compile(r"[−-]?\d[\d" + NARROW + r"]*(?:\.\d+)?(?:e-?\d+)?")
_PRINTED = 6e-4  # share by which a number printed with four figures may be off
_CHAINED = 0.02  # share by which a side worked out from printed numbers may be off
_SIGNS = {
    "×": "*",
    "−": "-",
    "√(": "sqrt(",
    "π": "pi",
    "μ0": "mu0",
    "rounded up ": "ceil",
    "rounded down ": "floor",
}


def misprints(mould: Mould, exercise: Exercise) -> Iterator[str]:
    """Say which line of the working does not give the exercise's numbers.

    Every side that holds only numbers is read as the formula that it is and worked out again.
    """
    quantities = mould.read.drill.quantities
    for line in working(mould, exercise):
        value = exercise.values.get(line.symbol, exercise.answer)
        sides = line.right_text.split(" = ")
        if not _tells(sides[-1], value):
            yield f"the working ends with {sides[-1]} for {line.symbol}, which is {value}"
        signs = {unit(q.unit).shown for q in quantities.values()}
        for side in sides[1:-1]:
            again = _worked(side, signs)
            if again is not None and abs(again - value) > _CHAINED * abs(value) + 1e-9:
                yield f"the working says {side}, which is {again}, and not {value}"


def miswritten(drill: Drill, exercise: Exercise, figure: Figure) -> Iterator[str]:
    """Say which number of the figure is not the exercise's."""
    shown = {quantity.shown or symbol: symbol for symbol, quantity in drill.quantities.items()}
    for text, _ in lettering(figure):
        for part in text.split("  ·  "):
            name, _, printed = part.partition(" = ")
            symbol = shown.get(name)
            if not printed or symbol is None or "?" in printed:
                continue
            value = exercise.values.get(symbol, exercise.given.get(symbol))
            if value is None or not _tells(printed, value):
                yield f"the figure writes {part}, and {symbol} is {value}"


def _tells(text: str, value: float) -> bool:
    """Tell whether the first number of a text is this value, to the figures that are printed."""
    found = _NUMBER.search(text)
    return found is not None and abs(_plain(found[0]) - value) <= _PRINTED * abs(value) + 1e-12


def _plain(text: str) -> float:
    return float(text.replace(NARROW, "").replace("−", "-"))


def _worked(side: str, signs: set[str]) -> float | None:
    """Work out a side from the numbers printed in it; None where symbols stand in it."""
    text = side
    for sign in sorted(signs - {""}, key=len, reverse=True):
        text = re.sub(rf"(?<=\d)\s*{re.escape(sign)}(?![\w²³/·])", "", text)
    for printed, read in _SIGNS.items():
        text = text.replace(printed, read)
    try:
        return value_of(read_tree(text.replace(NARROW, ""), set()), {})
    except (FormulaFault, ArithmeticError, ValueError):
        return None
