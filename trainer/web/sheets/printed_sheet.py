"""Turn a printed sheet into the plain data of its page and of its key."""

from __future__ import annotations

from typing import Any

from trainer.bank import Bank
from trainer.drills.exercise import Exercise
from trainer.drills.marking import written
from trainer.drills.mould import Mould
from trainer.services.teaching.printed import Shown
from trainer.web.sheets import presenting


def question_views(it: Shown, lengths: str = "drawn") -> list[dict[str, Any]]:
    """Return each exercise as it is asked; nothing of the key is in it."""
    return [
        {
            "no": no,
            "title": mould.read.drill.title,
            "view": presenting.exercise_view(mould, drawn, f"fig{no}", lengths=lengths),
        }
        for no, (mould, drawn) in enumerate(it.exercises, 1)
    ]


def key_views(bank: Bank, it: Shown) -> list[dict[str, Any]]:
    """Return each exercise with its answer, its working, and what the usual slips give."""
    return [_key_view(bank, no, *one) for no, one in enumerate(it.exercises, 1)]


def _key_view(bank: Bank, no: int, mould: Mould, drawn: Exercise) -> dict[str, Any]:
    drill = mould.read.drill
    return {
        "no": no,
        "title": drill.title,
        "ask": presenting.ask(drill, drawn.find),
        "given": presenting.given_words(mould, drawn),
        "answer": presenting.answer_words(mould, drawn),
        "working": presenting.working_view(bank, mould, drawn) | {"cautions": []},
        "slips": [(written(mould, s.value), drill.slips[s.place].name) for s in drawn.slips],
    }
