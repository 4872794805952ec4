"""The formulas of a drill as a reference: equations, symbols, limits, sources, where documents disagree."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from html import escape

from trainer.bank.drill import Drill, Source
from trainer.drills.reading import ReadDrill
from trainer.drills.working import condition_says
from trainer.formulas.mathml import Piece, equation, mathml, symbol_piece, words
from trainer.formulas.tree import Choice, Name, Relation
from trainer.formulas.units import unit
from trainer.formulas.writing import amount
from trainer.languages import _


@dataclass(frozen=True, slots=True)
class Equation:
    """One equation as MathML and as plain text, and the condition under which it holds, if any."""

    mathml: str
    text: str
    holds: str


@dataclass(frozen=True, slots=True)
class Sign:
    """One symbol of the equations: MathML, name, and its unit or its fixed value."""

    mathml: str
    name: str
    unit: str


@dataclass(frozen=True, slots=True)
class Formula:
    """Everything that a formula sheet says of one drill."""

    id: str
    title: str
    unconfirmed: bool
    equations: tuple[Equation, ...]
    signs: tuple[Sign, ...]
    limits: tuple[str, ...]
    tolerance: str
    disagreements: tuple[str, ...]
    sources: tuple[Source, ...]


def formula_of(read: ReadDrill) -> Formula:
    """Gather what the sheet of a topic says of this drill."""
    drill = read.drill
    pieces = {symbol: symbol_piece(symbol, q.shown) for symbol, q in drill.quantities.items()}
    return Formula(
        drill.id,
        drill.title,
        drill.unconfirmed,
        tuple(e for relation in read.relations for e in _equations(drill, relation, pieces)),
        tuple(_signs(read, pieces)),
        drill.limits,
        drill.accept.document_says or "",
        drill.disagreements,
        drill.sources,
    )


def _equations(drill: Drill, relation: Relation, pieces: dict[str, Piece]) -> Iterator[Equation]:
    """Write a relation; a choice as one equation for each of its cases."""
    cases = relation.right.cases if isinstance(relation.right, Choice) else ((relation.right, None),)
    for tree, test in cases:
        left = Piece(mathml(relation.left, pieces), words(relation.left, pieces))
        right = Piece(mathml(tree, pieces), words(tree, pieces))
        if right.text.replace(" ", "") == left.text and isinstance(relation.left, Name):
            name = drill.quantities[relation.left.symbol].name  # L/D = L/D would say nothing
            left = Piece(f"<mtext>{escape(name)}</mtext>", name)
        if right.text.replace(" \u00d7 ", "") == left.text:  # NI is N times I, so the sign must be seen
            right = Piece(right.mathml.replace("\u2062", "\u00d7"), right.text)
        holds = condition_says(test, drill) if test is not None else ""
        yield Equation(equation(left.mathml, right.mathml), f"{left.text} = {right.text}", holds)


def _signs(read: ReadDrill, pieces: dict[str, Piece]) -> Iterator[Sign]:
    """Write each quantity that an equation uses, in the order of the file."""
    for symbol, quantity in read.drill.quantities.items():
        if symbol in read.related:
            fixed, sign = quantity.fixed, unit(quantity.unit).sign
            worth = sign if fixed is None else amount(float(fixed), quantity.unit, 6)
            yield Sign(f"<math>{pieces[symbol].mathml}</math>", quantity.name, worth or _("a number"))
