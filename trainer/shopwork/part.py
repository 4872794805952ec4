"""The part as a person describes it: typed values, chosen words, and a sentence for each that cannot be taken."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from trainer.bank.technique import Option, PartQuantity
from trainer.drills.validity import holds, settled
from trainer.drills.work import read_amount
from trainer.errors import Refused
from trainer.formulas.typed import AnswerProblem
from trainer.formulas.units import TEMPERATURES, unit
from trainer.languages import _
from trainer.shopwork.reading import ReadTechnique

LONGEST = 80


@dataclass(slots=True)
class Part:
    """What is known: values in the technique's units, words chosen, and the faults by the name of their field."""

    values: dict[str, float] = field(default_factory=dict)
    typed: dict[str, str] = field(default_factory=dict)
    chosen: dict[str, str] = field(default_factory=dict)
    faults: dict[str, str] = field(default_factory=dict)


def read_part(read: ReadTechnique, texts: Mapping[str, str], find: str, decimal: str = "point") -> Part:
    """Read what was typed for a technique; every fault is kept beside what was typed, none is raised."""
    technique = read.technique
    part = Part(chosen=chosen_words(technique.options, texts))
    for symbol in (s for s in texts if s not in technique.quantities and s not in technique.options):
        known = ", ".join((*technique.quantities, *technique.options))
        part.faults[symbol[:20]] = _(
            "%(title)s has no '%(symbol)s'; it has %(known)s.",
            title=technique.title,
            symbol=symbol[:20],
            known=known,
        )
    for symbol, option in technique.options.items():
        if part.chosen[symbol] not in option.words:
            part.faults[symbol] = _(
                "%(name)s: choose %(words)s.", name=option.name, words=_(" or ").join(option.words)
            )
    read_values(part, technique.quantities, texts, decimal, without=find)
    if find in part.typed:
        part.faults[find] = _("This is what is asked for; leave it empty.")
    if find not in technique.finds:
        part.faults["find"] = _("What is asked for is one of %(finds)s.", finds=", ".join(technique.finds))
    return part


def check_sound(read: ReadTechnique, part: Part, values: Mapping[str, float]) -> str:
    """Return the sentence of the first condition that no real part breaks, or nothing."""
    return next((one.says for one in read.sound if holds(one.test, values) is False), "")


def read_values(
    part: Part,
    quantities: Mapping[str, PartQuantity],
    texts: Mapping[str, str],
    decimal: str = "point",
    without: str = "",
) -> None:
    """Read the typed values of these quantities into ``part``; assume what the content file assumes."""
    for symbol, quantity in quantities.items():
        text = texts.get(symbol, "").strip()
        if text:
            part.typed[symbol] = text
            try:
                part.values[symbol] = value_of(quantity, text, decimal)
            except Refused as refused:
                part.faults[symbol] = str(refused)
        elif quantity.assumed is not None and symbol != without:
            part.values[symbol] = float(quantity.assumed)


def value_of(quantity: PartQuantity, text: str, decimal: str = "point") -> float:
    """Read one typed value into the quantity's own unit. Raises Refused with a sentence."""
    own = unit(quantity.unit)
    try:
        typed = read_amount(text, decimal)
    except AnswerProblem as problem:
        raise Refused(str(problem)) from None
    if typed.unit is None and own.shown:
        raise Refused(
            _(
                "A unit is missing: write %(text)s %(unit)s, or another unit of that kind.",
                text=text[:LONGEST],
                unit=own.sign,
            )
        )
    if typed.unit is not None and typed.unit.kind != own.kind:
        wanted = _("as a value in %(unit)s", unit=own.sign) if own.shown else _("as a plain number")
        raise Refused(
            _(
                "%(typed)s does not measure this; write it %(wanted)s.",
                typed=typed.unit.sign or _("A plain number"),
                wanted=wanted,
            )
        )
    value = settled(typed.value if typed.unit is None else typed.unit.to(own, typed.value))
    if own.name not in TEMPERATURES and (value < 0 or (value == 0 and quantity.assumed != 0)):
        raise Refused(_("Write a value above zero."))
    return value


def chosen_words(options: Mapping[str, Option], texts: Mapping[str, str]) -> dict[str, str]:
    """Return the word chosen for each option, the first one where none is."""
    return {s: texts.get(s, "").strip()[:LONGEST] or next(iter(o.words)) for s, o in options.items()}
