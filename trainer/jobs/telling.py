"""A drawn job as plain data with stable keys, and as text for the terminal."""

from __future__ import annotations

from typing import Any

from trainer.drills import telling
from trainer.drills.working import working
from trainer.formulas.writing import with_unit
from trainer.jobs.casting import CastJob
from trainer.jobs.draw import DrawnJob


def as_data(cast: CastJob, drawn: DrawnJob) -> dict[str, Any]:
    """Return the job with the keys that scripts depend on.

    ``parts`` holds for each step what a drill's exercise has, with its ``marks`` and, under ``earlier``,
    which given comes from the answer of which step (counted from 1).
    """
    situation = cast.job.situations[drawn.situation]
    return {
        "job": drawn.job,
        "edition": drawn.edition,
        "seed": drawn.seed,
        "title": cast.job.title,
        "prompt": f"{situation.part}. {situation.text}",
        "given": {s: {"value": v, "unit": cast.job.given[s].unit} for s, v in drawn.given.items()},
        "marks": cast.job.marks,
        "parts": [
            {
                **telling.as_data(part.mould, one),
                "marks": part.part.marks,
                "earlier": {symbol: place + 1 for symbol, place in part.earlier},
            }
            for part, one in zip(cast.parts, drawn.exercises, strict=True)
        ],
        "unconfirmed": cast.unconfirmed,
    }


def as_text(cast: CastJob, drawn: DrawnJob) -> str:
    """Write the job with the working of every step for the terminal."""
    job, situation = cast.job, cast.job.situations[drawn.situation]
    lines = [f"{job.title} ({job.marks} marks)", f"{situation.part}. {situation.text}"]
    lines += [
        f"  {quantity.name} {symbol} = {with_unit(drawn.texts[symbol], quantity.unit)}"
        for symbol, quantity in job.given.items()
    ]
    for place, (part, one) in enumerate(zip(cast.parts, drawn.exercises, strict=True), 1):
        drill, marks = part.mould.read.drill, part.part.marks
        lines += [f"Step {place}, {marks} {'mark' if marks == 1 else 'marks'}: {drill.title}"]
        lines += [f"  {part.part.text} {drill.finds[part.part.find].ask}"]
        lines += [f"  {line.right_text}" for line in working(part.mould, one)]
        lines += [f"  Source: {telling.source_text(drill.sources[0])}"]
    lines += ["Unconfirmed: a step rests on memory; check your copy."] if cast.unconfirmed else []
    lines += ["A training aid. On a real part the written procedure rules."]
    return "\n".join(lines)
