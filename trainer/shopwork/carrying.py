"""Carry values from the shop's symbols and units into a drill's, and work the drill with them."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.bank.drill import Drill
from trainer.drills.shelf import Shelf
from trainer.drills.validity import settled
from trainer.drills.work import Worked, read_amount, work_with
from trainer.errors import Refused
from trainer.formulas.units import unit
from trainer.languages import _

Known = Mapping[str, float]


def carried(
    drill: Drill, given: Mapping[str, str], known: Known, units: Mapping[str, str]
) -> dict[str, float]:
    """Return what is known of the drill's quantities, in the drill's units."""
    return {
        symbol: settled(unit(units[own]).to(unit(drill.quantities[symbol].unit), known[own]))
        for symbol, own in given.items()
        if own in known
    }


def fixed_amount(drill: Drill, symbol: str, text: str) -> float:
    """Return an amount that a document fixes ("90 A/in") in the drill's unit. Raises Refused."""
    typed, wanted = read_amount(text), unit(drill.quantities[symbol].unit)
    own = typed.unit or wanted
    if own.kind != wanted.kind:
        raise Refused(
            _(
                "'%(text)s' does not measure %(name)s; write it in %(unit)s",
                text=text,
                name=drill.quantities[symbol].name,
                unit=wanted.name,
            )
        )
    return own.to(wanted, typed.value)


def worked(shelf: Shelf, drill_id: str, amounts: Known, find: str) -> Worked:
    """Work a drill; a result that nothing real can have is refused like one that cannot be worked out."""
    found = work_with(shelf, drill_id, amounts, find)
    if found.value < 0:
        name = found.mould.read.drill.quantities[find].name
        raise Refused(_("the %(name)s comes out below zero: with these values there is none", name=name))
    return found


def taken_back(found: Worked, to_unit: str) -> float:
    """Return the result in the shop's own unit."""
    return settled(unit(found.unit).to(unit(to_unit), found.value))
