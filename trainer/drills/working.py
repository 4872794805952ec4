"""The worked solution with the exercise's own numbers, and beside it what a slip makes of it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from trainer.bank.drill import Drill
from trainer.drills.exercise import Exercise
from trainer.drills.marking import limits, written
from trainer.drills.mould import Mould
from trainer.drills.plan import Step, plan
from trainer.drills.reading import ReadChange, wrapped_up
from trainer.drills.reduction import Values, brackets_done, chosen, value_of
from trainer.formulas.mathml import Piece, equation, mathml, symbol_piece, value_piece, words
from trainer.formulas.tree import Condition, Name, Tree, mentions
from trainer.formulas.tree import written as tree_text
from trainer.formulas.units import unit
from trainer.formulas.writing import number
from trainer.languages import N_, _
from trainer.languages.numerals import as_read

_ACCEPTED = N_(
    "Accepted is %(limits)s: the exact value %(value)s, every result of rounding on the way to %(figures)s figures, "
    "the result given to three."
)
_WIDER = N_(
    "Accepted is %(limits)s: the exact value %(value)s, every result of rounding on the way to %(figures)s figures, "
    "the result given to three and what the document itself allows."
)


@dataclass(frozen=True, slots=True)
class Line:
    """One line of the working, right and (where a slip was made) as the trainee had it."""

    symbol: str
    name: str
    note: str
    right_mathml: str
    right_text: str
    slip_mathml: str = ""
    slip_text: str = ""
    enters: bool = False
    note_at_slip: str = ""


def working(mould: Mould, exercise: Exercise, slips: Sequence[str] = ()) -> tuple[Line, ...]:
    """Return the lines of the working; with ``slips`` each has the trainee's side as well."""
    values = {**exercise.values, **exercise.given}
    right = [_line(mould, exercise, step, values, {}) for step in mould.steps]
    wrong = _wrong_side(mould, exercise, slips)
    lines = []
    for step, (markup, text) in zip(mould.steps, right, strict=True):
        slip_markup, slip_text, enters, note = wrong.get(step.symbol, ("", "", False, ""))
        name = _title(mould.read.drill, step.symbol)
        note_here = " ".join(filter(None, [_about(mould, step), _case(step.tree, values, mould.read.drill)]))
        lines.append(Line(step.symbol, name, note_here, markup, text, slip_markup, slip_text, enters, note))
    return tuple(lines)


@dataclass(frozen=True, slots=True)
class Formula:
    """One step of the working in symbols only: what it gives, its MathML, the same in words."""

    name: str
    mathml: str
    text: str


def formulas(mould: Mould, exercise: Exercise) -> tuple[Formula, ...]:
    """Return the steps of the working in symbols, in the case that holds for these numbers."""
    values = {**exercise.values, **exercise.given}
    symbols = {s: symbol_piece(s, q.shown) for s, q in mould.read.drill.quantities.items()}
    out = []
    for step in mould.steps:
        tree = chosen(step.tree, values)[0]
        left = symbols[step.symbol]
        out.append(
            Formula(
                _title(mould.read.drill, step.symbol),
                equation(left.mathml, mathml(tree, symbols)),
                f"{left.text} = {words(tree, symbols)}",
            )
        )
    return tuple(out)


def accepted_says(mould: Mould, exercise: Exercise) -> str:
    """Explain the accepted interval in one sentence."""
    right = exercise.accepted
    if mould.whole and right.low != right.high:
        return _(
            "Accepted is %(one)s or %(other)s: the rounding on the way decides.",
            one=written(mould, right.low), other=written(mould, right.high),
        )  # fmt: skip
    if mould.whole:
        return _("Only %(count)s is accepted, since a count is whole.", count=written(mould, exercise.answer))
    accepted = limits(mould, right)
    if mould.band:
        return _(
            "Accepted is the whole band of the document, %(limits)s, both limits included.", limits=accepted
        )
    figures = {3: _("three"), 4: _("four")}[mould.read.drill.accept.figures]
    says = _WIDER if right != exercise.computed else _ACCEPTED
    return _(says, limits=accepted, value=written(mould, exercise.answer), figures=figures)


def _title(drill: Drill, symbol: str) -> str:
    name = drill.quantities[symbol].name
    return name[:1].upper() + name[1:]


def _about(mould: Mould, step: Step) -> str:
    """What the drill says of this step; it speaks of the relation as it is written, not turned round."""
    as_written = mould.read.relations[step.relation].left == Name(step.symbol)
    return mould.read.drill.steps.get(step.symbol, "") if as_written else ""


def _case(tree: Tree, values: Values, drill: Drill) -> str:
    """Say which case of a rule holds."""
    test = chosen(tree, values)[1]
    if test is None:
        return ""
    return _("since %(condition)s", condition=condition_says(test, drill))


def condition_says(test: Condition, drill: Drill) -> str:
    """Write a condition with the symbols as they are shown."""
    text = tree_text(test)
    for symbol, quantity in drill.quantities.items():
        if quantity.shown and mentions(test, symbol):
            text = re.sub(rf"\b{symbol}\b", quantity.shown, text)
    return as_read(text.replace("<=", "≤").replace(">=", "≥"))


def _line(mould: Mould, exercise: Exercise, step: Step, values: Values, live: Values) -> tuple[str, str]:
    """Write one line: symbols, numbers put in, brackets worked out, result."""
    drill = mould.read.drill
    tree = chosen(step.tree, values)[0]
    symbols = {s: symbol_piece(s, q.shown) for s, q in drill.quantities.items()}
    numbers = {
        s: _number_piece(mould, exercise, s, v, s in live) for s, v in values.items() if s in drill.quantities
    }
    result = _number_piece(mould, exercise, step.symbol, value_of(tree, values), False, exact=True)
    sides = [(symbols[step.symbol].mathml, symbols[step.symbol].text)]
    if not isinstance(tree, Name):
        sides.append((mathml(tree, symbols), words(tree, symbols)))
    sides.append((mathml(tree, numbers), words(tree, numbers)))
    shorter, parts = brackets_done(tree, values)
    if parts:
        inner = numbers | {name: value_piece(number(v), "") for name, v in parts.items()}
        sides.append((mathml(shorter, inner), words(shorter, inner)))
    sides.append((result.mathml, result.text))
    kept = [side for i, side in enumerate(sides) if i == 0 or not _alike(side[1], sides[i - 1][1])]
    return equation(*(side[0] for side in kept)), " = ".join(side[1] for side in kept)


def _alike(one: str, two: str) -> bool:
    return one.replace(" ", "") == two.replace(" ", "")


def _number_piece(
    mould: Mould, exercise: Exercise, symbol: str, value: float, live: bool, exact: bool = False
) -> Piece:
    quantity = mould.read.drill.quantities[symbol]
    shown = not live and not exact and symbol in exercise.texts and exercise.given.get(symbol) == value
    text = exercise.texts[symbol] if shown else number(value, max(4, quantity.figures))
    return value_piece(text, unit(quantity.unit).sign, live)


def _wrong_side(
    mould: Mould, exercise: Exercise, slips: Sequence[str]
) -> dict[str, tuple[str, str, bool, str]]:
    """Work the exercise as the trainee did, and find the line where the slip enters."""
    indexes = [i for i, s in enumerate(mould.read.drill.slips) if s.id in slips]
    if not indexes:
        return {}
    changed = _merged([mould.read.slips[i] for i in indexes])
    says = mould.read.drill.slips[indexes[0]].says
    steps = _slipped_steps(mould, changed)
    if steps is None:
        return {}
    values = dict(exercise.given)
    live: dict[str, float] = {}
    out: dict[str, tuple[str, str, bool, str]] = {}
    entered = False
    for step in steps:
        try:
            live.update(
                {s: value_of(t, values) for s, t in changed.put.items() if s not in live and s in values}
            )
            inside = values | live
            markup, text = _line(mould, exercise, step, inside, live)
            values[step.symbol] = value_of(step.tree, inside)
        except (ArithmeticError, ValueError, KeyError):
            return {}
        here = not entered and _enters(mould, step, changed)
        entered = entered or here
        out[step.symbol] = (markup, text, here, says if here else "")
    return out


def _merged(changes: Sequence[ReadChange]) -> ReadChange:
    """All changes as one."""
    put: dict[str, Tree] = {}
    change: dict[str, Tree] = {}
    gives: dict[str, Tree] = {}
    for one in changes:
        put, change, gives = put | one.put, change | one.change, gives | one.gives
    return ReadChange(put, change, gives, None)


def _slipped_steps(mould: Mould, changed: ReadChange) -> tuple[Step, ...] | None:
    """Return the slip's steps with values still under their own names, so that they can be shown."""
    if changed.gives:
        last = mould.steps[-1]
        return (*mould.steps[:-1], Step(last.symbol, changed.gives.get(mould.find, last.tree), last.relation))
    steps = plan(mould.read.change_relations(changed), mould.given, mould.targets, mould.forms)
    if steps is None:
        return None
    quantities = mould.read.drill.quantities
    return tuple(
        Step(s.symbol, wrapped_up(s.tree, s.symbol == mould.find and quantities[s.symbol].up), s.relation)
        for s in steps
    )


def _enters(mould: Mould, step: Step, changed: ReadChange) -> bool:
    right = next((s for s in mould.steps if s.symbol == step.symbol), None)
    return right is None or right.tree != step.tree or any(mentions(step.tree, s) for s in changed.put)
