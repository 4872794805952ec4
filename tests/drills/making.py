"""Drills of a few lines, for what no drill of a bank should ever do."""

from __future__ import annotations

from typing import Any

from trainer.bank.entries import drill_of
from trainer.drills.draw import solved_with
from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould, cast
from trainer.drills.reading import ReadDrill, read_drill
from trainer.formulas.solved import SolvedForms


def written_drill(**changes: Any) -> dict[str, Any]:
    """The plain data of a drill that asks for y = a*b; each key may be written otherwise."""
    numbers = {"choices": [3, 4, 5]}
    return {
        "id": "made-for-a-test",
        "topic": "coil",
        "title": "Made for a test",
        "level": "I",
        "sources": [{"document": "none", "status": "ours"}],
        "quantities": {
            "a": {"name": "length", "unit": "1", **numbers},
            "b": {"name": "times", "unit": "1", **numbers},
            "c": {"name": "between", "unit": "1"},
            "y": {"name": "result", "unit": "1"},
            "z": {"name": "other result", "unit": "1"},
        },
        "relations": ["y = a*b"],
        "finds": {"y": {"ask": "What comes out?"}},
        "situations": [{"part": "Axle", "text": "It lies there."}],
        "figure": {"kind": "bar", "roles": {}},
        **changes,
    }


def slip(**changes: Any) -> dict[str, Any]:
    """A slip of such a drill; say what differs by put, change or gives."""
    return {"id": "a-slip", "name": "a slip", "says": "Look again.", **changes}


def read(**changes: Any) -> ReadDrill:
    """Such a drill with its formulas read."""
    entry = drill_of(written_drill(**changes))
    found, faults = read_drill(entry.drill, entry.edition)
    assert found is not None, faults
    return found


def mould(find: str = "y", **changes: Any) -> Mould:
    """The mould of one of its finds."""
    return cast(read(**changes), find, SolvedForms())


def asked(*finds: str, **more: Any) -> dict[str, Any]:
    """The key ``finds`` for these symbols; ``more`` stands under each."""
    return {find: {"ask": "What comes out?", **more} for find in finds}


def solved(made: Mould, **given: float) -> Exercise:
    """An exercise of a mould with these values."""
    return solved_with(made, given, {s: f"{v:g}" for s, v in given.items()})
