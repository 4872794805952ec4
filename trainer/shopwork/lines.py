"""The working of what the case rests on: effective diameter, fill, L/D, with the part's own numbers."""

from __future__ import annotations

from trainer.drills.working import Line
from trainer.formulas.mathml import Piece, equation, mathml, symbol_piece, value_piece, words
from trainer.formulas.tree import Relation
from trainer.formulas.units import unit
from trainer.formulas.writing import number
from trainer.shopwork.choosing import Outcome


def derived_lines(outcome: Outcome) -> tuple[tuple[Line, ...], tuple[Line, ...]]:
    """Return the lines of what the case taken rests on, and of what follows from the result.

    From a band nothing follows here: its middle is no value of the document.
    """
    wanted = rests_on(outcome) & outcome.values.keys()
    later = _follows(outcome)
    band = outcome.worked is not None and outcome.worked.mould.band
    lines = [(r.symbols[0], _line(outcome, r)) for r in outcome.read.derived if r.symbols[0] in wanted]
    before = tuple(line for symbol, line in lines if symbol not in later)
    return before, () if band else tuple(line for symbol, line in lines if symbol in later)


def _follows(outcome: Outcome) -> set[str]:
    """Return the derived symbols that the result is needed for."""
    later = {outcome.find}
    for relation in outcome.read.derived:
        if later.intersection(relation.symbols[1:]):
            later.add(relation.symbols[0])
    return later


def rests_on(outcome: Outcome) -> set[str]:
    """Return the symbols that the case taken asks about or hands on, and those behind them."""
    wanted = {outcome.read.technique.current or ""}
    if outcome.taken is None:
        return wanted
    case = outcome.taken.read
    grounds = (*outcome.read.valid, *case.when, *case.valid)
    wanted |= {*case.case.given.values(), *(s for one in grounds for s in one.symbols)}
    for relation in reversed(outcome.read.derived):
        if relation.symbols[0] in wanted:
            wanted.update(relation.symbols[1:])
    return wanted


def _line(outcome: Outcome, relation: Relation) -> Line:
    symbol = relation.symbols[0]
    derived = outcome.read.technique.derived[symbol]
    name = derived.name[:1].upper() + derived.name[1:]
    signs = {s: symbol_piece(s, _shown(outcome, s)) for s in relation.symbols}
    numbers = {s: _value(outcome, s) for s in relation.symbols}
    sides = (
        (signs[symbol].mathml, signs[symbol].text),
        (mathml(relation.right, signs), words(relation.right, signs)),
        (mathml(relation.right, numbers), words(relation.right, numbers)),
        (numbers[symbol].mathml, numbers[symbol].text),
    )
    return Line(symbol, name, "", equation(*(m for m, _ in sides)), " = ".join(t for _, t in sides))


def _shown(outcome: Outcome, symbol: str) -> str | None:
    technique = outcome.read.technique
    quantity = technique.quantities.get(symbol)
    return quantity.shown if quantity else technique.derived[symbol].shown


def _value(outcome: Outcome, symbol: str) -> Piece:
    technique = outcome.read.technique
    quantity = technique.quantities.get(symbol)
    name = quantity.unit if quantity else technique.derived[symbol].unit
    return value_piece(number(outcome.values[symbol]), unit(name).sign)
