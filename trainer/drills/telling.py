"""An exercise as plain data with stable keys, and as text for the terminal."""

from __future__ import annotations

from typing import Any

from trainer.bank.drill import Source
from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould
from trainer.drills.working import accepted_says, working
from trainer.formulas.units import unit
from trainer.formulas.writing import amount, with_unit


def as_data(
    mould: Mould, exercise: Exercise, in_unit: str | None = None, shared: str | None = None
) -> dict[str, Any]:
    """Return the exercise with the keys that scripts depend on; values in ``in_unit`` if one is named."""
    drill = mould.read.drill
    own = unit(shared or drill.quantities[mould.find].unit)
    shown = unit(in_unit) if in_unit else own
    return {
        "drill": drill.id,
        "edition": exercise.edition,
        "seed": exercise.seed,
        "find": exercise.find,
        "prompt": prompt(mould, exercise),
        "given": {s: {"value": v, "unit": drill.quantities[s].unit} for s, v in exercise.given.items()},
        "answer": {"value": own.to(shown, exercise.answer), "unit": shown.name},
        "accepted": {
            "low": own.to(shown, exercise.accepted.low),
            "high": own.to(shown, exercise.accepted.high),
            "unit": shown.name,
        },
        "slips": [
            {
                "id": drill.slips[s.place].id,
                "value": own.to(shown, s.value),
                "unit": shown.name,
                "says": drill.slips[s.place].says,
            }
            for s in exercise.slips
        ],
        "working": [line.right_text for line in working(mould, exercise)],
        "source": [source_text(s) for s in drill.sources],
        "unconfirmed": drill.unconfirmed,
    }


def prompt(mould: Mould, exercise: Exercise) -> str:
    """Return the question in words: the situation and what is asked."""
    drill = mould.read.drill
    situation = drill.situations[exercise.situation]
    find = drill.finds.get(exercise.find)
    asks = find.ask if find else f"What is the {drill.quantities[exercise.find].name}?"
    return f"{situation.part}. {situation.text} {asks}"


def source_text(source: Source) -> str:
    """Write a source on one line: document, edition, clause, how far it was read."""
    where = ", ".join(filter(None, [source.document, source.edition, source.clause]))
    return f"{where} ({source.status})"


def as_text(mould: Mould, exercise: Exercise, value: float | None = None, in_unit: str | None = None) -> str:
    """Write the exercise with its working for the terminal."""
    drill = mould.read.drill
    given = [
        f"  {drill.quantities[s].name} {s} = {with_unit(t, drill.quantities[s].unit)}"
        for s, t in exercise.texts.items()
    ]
    result = exercise.answer if value is None else value
    unit_name = in_unit or drill.quantities[mould.find].unit
    head = prompt(mould, exercise) if value is None else drill.title
    lines = [head, *given, "Working"]
    lines += [
        f"  {line.right_text}" + (f"   ({line.note})" if line.note else "")
        for line in working(mould, exercise)
    ]
    lines += [f"Answer: {drill.quantities[mould.find].name} {mould.find} = {amount(result, unit_name, 5)}"]
    lines += [accepted_says(mould, exercise)] if value is None else []
    lines += [f"Limit: {text}" for text in drill.limits]
    lines += [f"Source: {source_text(s)}" for s in drill.sources]
    lines += (
        ["Unconfirmed: this rests on memory; check your copy of the document."] if drill.unconfirmed else []
    )
    lines += ["A training aid. On a real part the written procedure rules."]
    return "\n".join(lines)
