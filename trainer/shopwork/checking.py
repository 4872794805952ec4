"""Check techniques and the questions to a pack beyond their spelling: drills, symbols, units and words fit."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.bank import Bank, PowerEntry, TechniqueEntry
from trainer.bank.drill import Drill
from trainer.bank.technique import Case, Technique
from trainer.bank.yamltext import Place
from trainer.errors import Fault, Refused
from trainer.formulas.units import unit
from trainer.shopwork.carrying import fixed_amount
from trainer.shopwork.pack import RESERVED
from trainer.shopwork.reading import read_power, read_technique

Found = Iterator[tuple[Place, str]]


def check_technique(bank: Bank, entry: TechniqueEntry) -> list[Fault]:
    """Return every fault of a technique, each with its place."""
    _, faults = read_technique(entry.technique, entry.edition)
    found = (*faults, *_symbols(entry.technique), *_cases(bank, entry.technique))
    return [entry.located.fault(place, says) for place, says in found]


def check_power(bank: Bank, entry: PowerEntry) -> list[Fault]:
    """Return every fault of the questions to a pack, each with its place."""
    power = entry.power
    _, faults = read_power(power)
    found: list[tuple[Place, str]] = list(faults)
    units = {s: q.unit for s, q in power.quantities.items()} | {s: d.unit for s, d in power.derived.items()}
    for index, step in enumerate(power.steps):
        place: Place = ("steps", index)
        drill = _drill(bank, step.drill)
        if drill is None:
            found.append(((*place, "drill"), f"there is no drill '{step.drill}' in the bank"))
            continue
        found.extend(_given(drill, step.given, units, place))
        if step.find not in drill.quantities:
            found.append(((*place, "find"), f"'{step.find}' is not a quantity of {drill.id}"))
        else:
            units[step.answer] = drill.quantities[step.find].unit
    return [entry.located.fault(place, says) for place, says in found]


def _symbols(technique: Technique) -> Found:
    known = {*technique.quantities, *technique.derived}
    for index, find in enumerate(technique.finds):
        if find not in technique.quantities:
            yield ("finds", index), f"'{find}' is not a quantity of this technique"
        elif not any(case.drill and find in _found(case) for case in technique.cases):
            yield ("finds", index), f"no case gives '{find}'; add one, or do not ask for it"
    for symbol in (*technique.derived, *technique.options):
        if symbol in technique.quantities:
            yield ("quantities", symbol), f"'{symbol}' stands twice; give each its own symbol"
    for symbol in (*technique.quantities, *technique.options):
        if symbol in RESERVED:
            yield ("quantities", symbol), f"'{symbol}' is the name of a field of the sheet; take another"
    if technique.current is not None and technique.current not in known:
        yield ("current",), f"'{technique.current}' is not a quantity of this technique"


def _found(case: Case) -> tuple[str, ...]:
    return case.finds if case.finds is not None else tuple(case.given.values())


def _cases(bank: Bank, technique: Technique) -> Found:
    units = {s: q.unit for s, q in technique.quantities.items()}
    units |= {s: d.unit for s, d in technique.derived.items()}
    seen: set[str] = set()
    for index, case in enumerate(technique.cases):
        place: Place = ("cases", index)
        if case.id in seen:
            yield (*place, "id"), f"the case '{case.id}' stands twice; give each its own id"
        seen.add(case.id)
        yield from _chosen(technique, case, place)
        if case.drill is None:
            continue
        drill = _drill(bank, case.drill)
        if drill is None:
            yield (*place, "drill"), f"there is no drill '{case.drill}' in the bank"
            continue
        yield from _given(drill, case.given, units, place)
        yield from _fixed(drill, case, place)


def _chosen(technique: Technique, case: Case, place: Place) -> Found:
    for symbol, words in case.chosen.items():
        option = technique.options.get(symbol)
        if option is None:
            yield (*place, "chosen", symbol), f"'{symbol}' is not an option of this technique"
            continue
        for word in words:
            if word not in option.words:
                known = ", ".join(option.words)
                yield (*place, "chosen", symbol), f"'{symbol}' has no word '{word}'; it has {known}"
    for index, find in enumerate(case.finds or ()):
        if find not in technique.finds:
            yield (*place, "finds", index), f"'{find}' is not asked for; add it to the finds of the technique"


def _given(drill: Drill, given: dict[str, str], units: dict[str, str], place: Place) -> Found:
    for symbol, own in given.items():
        if symbol not in drill.quantities:
            yield (*place, "given", symbol), f"'{symbol}' is not a quantity of {drill.id}"
        elif own not in units:
            yield (*place, "given", symbol), f"'{own}' is not known here"
        elif unit(units[own]).kind != unit(drill.quantities[symbol].unit).kind:
            yield (*place, "given", symbol), f"'{own}' and the drill's '{symbol}' measure different things"


def _fixed(drill: Drill, case: Case, place: Place) -> Found:
    for symbol, text in case.fixed.items():
        try:
            if symbol not in drill.quantities:
                raise Refused(f"'{symbol}' is not a quantity of {drill.id}")
            fixed_amount(drill, symbol, text)
        except Refused as refused:
            yield (*place, "fixed", symbol), str(refused)


def _drill(bank: Bank, drill_id: str) -> Drill | None:
    entry = bank.drills.get(drill_id)
    return entry.drill if entry else None
