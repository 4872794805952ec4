"""One sheet for one real part: the case taken, its result, and what the pack makes of the shot."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.bank.technique import PartQuantity
from trainer.drills.validity import forward
from trainer.errors import Refused
from trainer.formulas.units import Unit, spelled, unit
from trainer.formulas.writing import amount, number, with_unit
from trainer.languages import N_, _
from trainer.shopwork.choosing import Outcome, Tried, agrees, choose, concerns
from trainer.shopwork.pack import SHOT, Pack, known_of, read_shot
from trainer.shopwork.part import Part, chosen_words, read_part
from trainer.shopwork.power import Judgement, judge
from trainer.shopwork.shelf import ShopShelf

GOVERNS = N_(
    "A training aid. On a real part the written procedure governs; a calculated current is a starting value."
)
_FIGURES = 5


@dataclass(frozen=True, slots=True)
class Result:
    """A result in a unit: one value, or a band from low to high where the document gives one."""

    value: float
    unit: str
    low: float
    high: float
    band: bool

    @property
    def text(self) -> str:
        """The result as it is written on the sheet."""
        if self.band:
            return with_unit(
                _("%(low)s to %(high)s", low=number(self.low, _FIGURES), high=number(self.high, _FIGURES)),
                self.unit,
            )
        return amount(self.value, self.unit, _FIGURES)


@dataclass(frozen=True, slots=True)
class WorkSheet:
    """What came of a real part; ``judged_for`` says for which current the pack was judged."""

    outcome: Outcome
    result: Result | None
    judgement: Judgement | None
    judged_for: str = ""


@dataclass(frozen=True, slots=True)
class Asked:
    """What a person asks: texts by field (part, options, shot), the find, the pack, the unit wanted."""

    technique: str
    texts: Mapping[str, str]
    find: str = ""
    pack: Pack | None = None
    in_unit: str = ""
    decimal: str = "point"


def faults_of(shop: ShopShelf, asked: Asked) -> dict[str, str]:
    """Return a sentence for each field that cannot be taken."""
    return {**_part(shop, asked).faults, **_shot(shop, asked).faults}


def work_part(shop: ShopShelf, asked: Asked) -> WorkSheet:
    """Work a real part. Raises Refused with a sentence where something typed cannot be taken."""
    read = shop.technique(asked.technique)
    part, shot = _part(shop, asked), _shot(shop, asked)
    for field, says in {**part.faults, **shot.faults}.items():
        raise Refused(f"{field}: {says}")
    outcome = choose(shop.drills, read, part, _find(shop, asked))
    if outcome.taken is None or outcome.worked is None:
        return WorkSheet(outcome, None, None)
    found = result_of(outcome, outcome.taken, asked.in_unit)
    if asked.pack is None or not read.technique.current:
        return WorkSheet(outcome, found, None)
    current, says = _current(outcome, found, shot)
    if current is None:
        return WorkSheet(outcome, found, None)
    power = shop.power()
    known = {**known_of(power, asked.pack), **shot.values, "current": current}
    return WorkSheet(outcome, found, judge(shop.drills, power, known, asked.pack.name), says)


def result_of(outcome: Outcome, tried: Tried, in_unit: str = "") -> Result:
    """Return the result of a case in the technique's own unit, or in the one asked for. Raises Refused."""
    quantity = outcome.read.technique.quantities[outcome.find]
    to = _unit_wanted(quantity, in_unit)
    if tried.worked is None:
        raise Refused(_("This case has no result."))
    own, right = unit(tried.worked.unit), tried.worked.exercise.accepted
    low, high = own.to(to, right.low), own.to(to, right.high)
    return Result(own.to(to, tried.worked.value), to.name, low, high, tried.worked.mould.band)


def _part(shop: ShopShelf, asked: Asked) -> Part:
    texts = {symbol: text for symbol, text in asked.texts.items() if symbol not in SHOT}
    return read_part(shop.technique(asked.technique), texts, _find(shop, asked), asked.decimal)


def _shot(shop: ShopShelf, asked: Asked) -> Part:
    return read_shot(shop.power(), asked.texts, asked.decimal) if shop.bank.power else Part()


def _find(shop: ShopShelf, asked: Asked) -> str:
    """Return what is asked for: as named, else the first find not typed that a case gives for what was chosen."""
    read = shop.technique(asked.technique)
    chosen = chosen_words(read.technique.options, asked.texts)
    able = [case for case in read.cases if case.case.drill and agrees(case, chosen)]
    finds = read.technique.finds
    empty = [find for find in finds if not asked.texts.get(find, "").strip()]
    named = (find for find in empty if any(concerns(case, find) for case in able))
    return asked.find or next(named, empty[0] if empty else finds[0])


def _unit_wanted(quantity: PartQuantity, in_unit: str) -> Unit:
    own = unit(quantity.unit)
    wanted = spelled(in_unit) if in_unit else own
    if wanted is None or wanted.kind != own.kind:
        raise Refused(
            _(
                "The result is in %(own)s and cannot be written in '%(wanted)s'.",
                own=own.shown or _("no unit"),
                wanted=in_unit[:20],
            )
        )
    return wanted


def _current(outcome: Outcome, found: Result, shot: Part) -> tuple[float | None, str]:
    """Return the current of the shot and how it was taken: as it will be set, or of a band the lowest."""
    if "current" in shot.values:
        current = shot.values["current"]
        return current, _(
            "Judged for %(current)s, as you will set it.", current=amount(current, "A", _FIGURES)
        )
    values = outcome.values
    if found.band and outcome.taken:
        lowest = result_of(outcome, outcome.taken).low
        values = forward(outcome.read.derived, {**outcome.part.values, outcome.find: lowest})
    shown = values.get(outcome.read.technique.current or "")
    if shown is None:
        return None, ""
    told = amount(shown, "A", _FIGURES)
    if found.band:
        return shown, _("Judged for the lowest current of the band, %(current)s.", current=told)
    return shown, _("Judged for %(current)s.", current=told)
