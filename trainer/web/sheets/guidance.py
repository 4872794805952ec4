"""What stands beside an exercise to help: steps written out, rungs of the ladder, a lesson on one slip."""

from __future__ import annotations

from typing import Any

from trainer.bank import Bank
from trainer.drills.exercise import Exercise
from trainer.drills.marking import written
from trainer.drills.mould import Mould
from trainer.drills.working import formulas
from trainer.languages import N_, _
from trainer.practice.ladder import RUNGS, following
from trainer.services.practising.lessons import Shown
from trainer.web.sheets import presenting

_ASKED = {
    "formula": N_("Show me the formula"),
    "first-step": N_("Show me the first step"),
    "working": N_("Show me the whole working"),
}


def start_view(mould: Mould, exercise: Exercise) -> dict[str, Any] | None:
    """Return the second meeting: the first steps by name, the later ones written out. None for one step."""
    steps = formulas(mould, exercise)
    own = (len(steps) + 1) // 2
    return {"own": [s.name for s in steps[:own]], "written": steps[own:]} if len(steps) > own else None


def ladder_view(bank: Bank, mould: Mould, exercise: Exercise, hints: int) -> dict[str, Any]:
    """Return the rungs that were asked for, and the next one."""
    working = presenting.working_view(bank, mould, exercise) if hints > 1 else None
    rung = following(hints, len(mould.steps))
    return {
        "formulas": formulas(mould, exercise) if 0 < hints < len(RUNGS) else (),
        "working": working and {**working, "steps": working["steps"][:1], "accepted_says": ""}
        if hints < len(RUNGS)
        else working,
        "whole": hints == len(RUNGS),
        "next": (rung, _(_ASKED[rung])) if rung else None,
    }


def lesson_view(bank: Bank, it: Shown) -> dict[str, Any]:
    """Return a lesson: both values, both workings, the figure with what the slip is about in the live colour."""
    drill = it.mould.read.drill
    return {
        "ask": presenting.ask(drill, it.drawn.find),
        "given": presenting.given_words(it.mould, it.drawn),
        "wrong": written(it.mould, it.wrong.value or 0.0),
        "right": presenting.answer_words(it.mould, it.drawn),
        "working": presenting.working_view(bank, it.mould, it.drawn, it.wrong),
        "figure": presenting.solved_figure(it.mould, it.drawn, it.wrong),
    }
