"""Judge a pack and its leads for one shot: duty, time on, wait, volts lost, heat; each by a drill of the bank."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from trainer.bank.power import Power, PowerStep
from trainer.drills.shelf import Shelf
from trainer.drills.validity import forward, holds
from trainer.drills.work import Worked
from trainer.errors import Refused
from trainer.languages import _
from trainer.shopwork.carrying import carried, worked
from trainer.shopwork.reading import ReadPower


@dataclass(frozen=True, slots=True)
class Answered:
    """One question to the pack or the leads, with the drill that answers it."""

    step: PowerStep
    worked: Worked
    shown: float


@dataclass(frozen=True, slots=True)
class Judgement:
    """What a pack and its leads make of a shot. ``able`` is None where too little is known to say."""

    read: ReadPower
    name: str
    values: dict[str, float]
    answers: tuple[Answered, ...]
    able: bool | None
    unable: tuple[str, ...]
    warnings: tuple[str, ...]


def judge(shelf: Shelf, read: ReadPower, values: Mapping[str, float], name: str = "") -> Judgement:
    """Ask every question that the values allow, each with the answers before it; ``name`` is the pack's."""
    known = forward(read.derived, values)
    answers = []
    for step, when in zip(read.power.steps, read.whens, strict=True):
        asked = when is None or holds(when, known)
        found = _answered(shelf, read.power, step, known) if asked else None
        if found is not None:
            known = forward(read.derived, {**known, step.answer: found.value})
            answers.append(Answered(step, found, known[step.shown or step.answer]))
    decided = [holds(one.test, known) for one in read.able]
    unable = tuple(one.says for one, held in zip(read.able, decided, strict=True) if held is False)
    able = False if unable else True if decided[0] else None
    told = (text for one in answers if not one.step.shown for text in one.worked.warnings)
    loud = (one.says for one in read.valid if holds(one.test, known) is False)
    return Judgement(
        read, name, dict(known), tuple(answers), able, unable, tuple(dict.fromkeys((*told, *loud)))
    )


def lead_size(power: Power, name: str) -> dict[str, float]:
    """Return what a size of lead says of itself. Raises Refused, naming the sizes that are known."""
    found = power.leads.get(" ".join(name.split()))
    if found is None:
        raise Refused(
            _(
                "'%(name)s' is no size of lead that is known here; write %(sizes)s.",
                name=name[:20],
                sizes=", ".join(power.leads),
            )
        )
    return {"area": found.area, "r": found.resistance}


def units_of(power: Power) -> dict[str, str]:
    """Return the unit of every value that is known of pack and leads before a question is asked."""
    typed = {symbol: one.unit for symbol, one in power.quantities.items()}
    return typed | {symbol: one.unit for symbol, one in power.derived.items()}


def _answered(shelf: Shelf, power: Power, step: PowerStep, known: Mapping[str, float]) -> Worked | None:
    """Work one question; None where a value is missing or the drill has no result for these."""
    if not known.keys() >= set(step.given.values()):
        return None
    drill = shelf.bank.drill(step.drill).drill
    try:
        return worked(shelf, step.drill, carried(drill, step.given, known, units_of(power)), step.find)
    except Refused:
        return None
