"""Typed answers to every find of the bank: made of pieces, or a number with a unit written in one of many ways."""

from __future__ import annotations

import random
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path

from tests.faults.fuzzing import Target
from tests.faults.fuzzing.spoiling import text
from trainer.drills.exercise import Exercise
from trainer.drills.marking import judged, mark
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.formulas.units import alike, unit

BANK = Path(__file__).parents[3] / "question_bank"
SEEDS = 3
FACTORS = (1, 1, 1, 1.0001, 1.004, 1.02, 0.98, 0.5, 2, 10, 0.1, 1000, 0.001, 3.1416, -1, 0)
GROUPING = {"point": (",", " ", "'"), "comma": (".", " ", "'")}


@contextmanager
def begun(folder: Path) -> Iterator[Target]:
    """Mark one made-up answer after the other."""
    shelf = Shelf.of_folder(BANK)
    finds = [(drill, find) for drill, entry in shelf.bank.drills.items() for find in entry.drill.finds]

    @cache
    def drawn(drill: str, find: str, seed: int) -> Exercise:
        return shelf.draw(drill, seed, find)

    def one(chance: random.Random) -> str:
        drill, find = chance.choice(finds)
        mould, exercise = shelf.mould(drill, find), drawn(drill, find, chance.randrange(SEEDS))
        decimal = chance.choice(("point", "comma"))
        if chance.random() < 0.4:
            return _told(mould, exercise, text(chance), decimal)
        value = float(f"{exercise.answer * chance.choice(FACTORS):.{chance.randrange(1, 8)}g}")
        written = _number(value, chance, decimal)
        if chance.random() < 0.4:
            return _told(mould, exercise, _spoilt(f"{written} {_unit(mould, chance)}", chance), decimal)
        outcome = _told(mould, exercise, f"{written} {unit(_own(mould)).shown}", decimal)
        wanted = judged(mould, exercise, value).kind
        return (
            outcome if outcome in (wanted, "unreadable") else f"false {outcome}: {written} for {drill} {find}"
        )

    yield one


def _told(mould: Mould, exercise: Exercise, typed: str, decimal: str) -> str:
    """The kind of the verdict, when its words have been made as well."""
    verdict = mark(mould, exercise, typed, decimal)
    assert verdict.heading
    assert all(verdict.says)
    return verdict.kind


def _own(mould: Mould) -> str:
    return mould.read.drill.quantities[mould.find].unit


def _unit(mould: Mould, chance: random.Random) -> str:
    return chance.choice([one.shown for one in alike(_own(mould))])


def _number(value: float, chance: random.Random, decimal: str) -> str:
    """A number as people write it, by the habit of the one who types."""
    plain = f"{value:f}".rstrip("0").rstrip(".") if float(f"{value:f}") == value else f"{value!r}"
    if "e" in plain:
        return plain.replace(".", "," if decimal == "comma" else ".")
    whole, dot, rest = plain.partition(".")
    point = "," if decimal == "comma" else "."
    if abs(value) >= 1000 and chance.random() < 0.3:
        group = chance.choice(GROUPING[decimal])
        return f"{int(whole):,}".replace(",", group) + (point if dot else "") + rest
    if chance.random() < 0.1:
        return f"{plain.replace('.', point)}{chance.choice(('e0', 'x10^0', ' x 10^0', 'E+0'))}"
    return plain.replace(".", point)


def _spoilt(typed: str, chance: random.Random) -> str:
    for _ in range(chance.randrange(1, 3)):
        place = chance.randrange(len(typed) + 1)
        typed = typed[:place] + text(chance)[:3] + typed[place + chance.randrange(3) :]
    return typed
