"""Work a real part: a drill's relations with the user's own values, any unknown, any unit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from trainer.bank.drill import Drill, Quantity
from trainer.drills.draw import solved_with
from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould, NoWay, cast_for
from trainer.drills.shelf import Shelf
from trainer.drills.validity import warnings
from trainer.errors import NotFound, Refused
from trainer.formulas.typed import AnswerProblem, Typed, read_answer
from trainer.formulas.units import TEMPERATURES, Unit, spelled, unit
from trainer.formulas.writing import grouped, plain_text
from trainer.languages import _


@dataclass(frozen=True, slots=True)
class Worked:
    """A worked part: the value in the unit asked for, and the exercise it amounts to."""

    mould: Mould
    exercise: Exercise
    value: float
    unit: str
    warnings: tuple[str, ...] = ()


def work(
    shelf: Shelf, drill_id: str, given: Mapping[str, str], find: str | None = None, in_unit: str | None = None
) -> Worked:
    """Solve a drill with these values, each a text such as "10 in".

    Raises NotFound for an unknown drill or quantity, Refused with a sentence where a value cannot be
    read, does not suit, or nothing can be worked out.
    """
    entry = shelf.bank.drill(drill_id)
    amounts, units = _amounts(entry.drill, given)
    worked = work_with(shelf, drill_id, amounts, find)
    return _in_unit(worked, units.get(worked.mould.find), in_unit)


def work_with(shelf: Shelf, drill_id: str, known: Mapping[str, float], find: str | None = None) -> Worked:
    """Solve a drill with these values, each in its working unit. Raises as ``work`` does."""
    drill = shelf.bank.drill(drill_id).drill
    amounts = dict(known)
    for symbol, quantity in drill.quantities.items():
        if quantity.fixed is not None and symbol != find:
            amounts.setdefault(symbol, float(quantity.fixed))
    mould = _mould(shelf, drill_id, amounts, find)
    row = {symbol: amounts[symbol] for symbol in mould.given}
    try:
        exercise = solved_with(mould, row, {s: grouped(plain_text(v, 6)) for s, v in row.items()})
    except (ArithmeticError, ValueError):
        raise Refused(
            _(
                "these values give no %(find)s: the rule has no result for them; check sizes and units",
                find=mould.find,
            )
        ) from None
    outside = warnings(mould.read, {**amounts, **exercise.values})
    return Worked(mould, exercise, exercise.answer, drill.quantities[mould.find].unit, outside)


def _amounts(drill: Drill, given: Mapping[str, str]) -> tuple[dict[str, float], dict[str, str]]:
    """Read every given value into working units; quantities of ``any_unit`` share the first unit typed."""
    amounts: dict[str, float] = {}
    shared: Unit | None = None
    for symbol, text in given.items():
        quantity = _quantity(drill, symbol)
        value, typed = _typed(symbol, text)
        wanted = unit(quantity.unit)
        if symbol in drill.any_unit and typed is not None and (shared or typed.kind != wanted.kind):
            shared = shared or typed
            wanted = shared
        if typed is not None and typed.kind != wanted.kind:
            raise Refused(
                _(
                    "%(symbol)s (%(name)s) is given in %(unit)s; write it in %(wanted)s",
                    symbol=symbol,
                    name=quantity.name,
                    unit=typed.shown or _("no unit"),
                    wanted=wanted.shown or _("no unit"),
                )
            )
        amounts[symbol] = value if typed is None else typed.to(wanted, value)
        if amounts[symbol] < 0 and wanted.name not in TEMPERATURES:
            raise Refused(
                _(
                    "%(symbol)s (%(name)s) cannot be below zero; write its size without a minus",
                    symbol=symbol,
                    name=quantity.name,
                )
            )
    return amounts, dict.fromkeys(drill.any_unit, shared.name) if shared else {}


def _quantity(drill: Drill, symbol: str) -> Quantity:
    """The quantity with this symbol. Raises NotFound, which names those that there are."""
    if symbol not in drill.quantities:
        raise NotFound(
            _(
                "%(drill)s has no quantity '%(symbol)s'; it has %(quantities)s",
                drill=drill.id,
                symbol=symbol[:20],
                quantities=", ".join(drill.quantities),
            )
        )
    return drill.quantities[symbol]


def read_amount(text: str, decimal: str = "point") -> Typed:
    """Read "10 in"; a last word that is a unit's own name counts as the unit (also "5 1").

    Raises AnswerProblem with a sentence.
    """
    head, _blank, tail = text.strip().rpartition(" ")
    if head and (tail == "1" or spelled(tail) is not None):
        return Typed(read_answer(head, decimal).value, unit("1") if tail == "1" else spelled(tail))
    return read_answer(text, decimal)


def _typed(symbol: str, text: str) -> tuple[float, Unit | None]:
    try:
        typed = read_amount(text)
    except AnswerProblem as problem:
        raise Refused(f"{symbol}: {problem}") from None
    return typed.value, typed.unit


def _mould(shelf: Shelf, drill_id: str, amounts: Mapping[str, float], find: str | None) -> Mould:
    read = shelf.read(shelf.bank.drill(drill_id))
    drill = read.drill
    wanted = [find] if find is not None else [f for f in drill.finds if f not in amounts]
    if find is not None:
        _quantity(drill, find)
        if find in amounts:
            raise Refused(_("%(find)s is given already; leave it out to have it worked out", find=find))
    for symbol in wanted:
        try:
            return cast_for(read, symbol, tuple(amounts), shelf.forms)
        except NoWay:
            continue
    missing = [s for s in drill.quantities if s in read.related and s not in amounts and s != find]
    asked = find or _(" or ").join(drill.finds)
    if not missing:
        raise Refused(_("no formula of this drill gives %(asked)s; ask for another quantity", asked=asked))
    raise Refused(
        _(
            "%(asked)s cannot be worked out from %(given)s; give more, such as %(missing)s",
            asked=asked,
            given=", ".join(s for s in amounts if drill.quantities[s].fixed is None) or _("nothing"),
            missing=", ".join(missing[:4]),
        )
    )


def _in_unit(worked: Worked, shared: str | None, in_unit: str | None) -> Worked:
    own = unit(shared or worked.unit)
    if in_unit is None:
        return replace(worked, unit=own.name)
    wanted = unit(in_unit) if in_unit == "1" else spelled(in_unit)
    if wanted is None or wanted.kind != own.kind:
        raise Refused(
            _(
                "the result is in %(unit)s and cannot be written in '%(wanted)s'",
                unit=own.shown or _("no unit"),
                wanted=in_unit[:20],
            )
        )
    return replace(worked, value=own.to(wanted, worked.value), unit=wanted.name)
