"""The lettering of every drill's figure can be read at 390 px, however long the list of parts beside it is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from trainer.drills.shelf import Shelf
from trainer.drills.sketch import sketch

STYLE = Path("trainer/web/static/house.css").read_text(encoding="utf-8")
REM = 16.0
WIDE = 390 - 2 * 8  # px that the figure has across
LEAST = 10.0
SEEDS = 3


def height(selector: str) -> float:
    """The most px that the style sheet gives the figure on a phone; of a clamp, the least of the most."""
    found = re.search(
        re.escape(selector) + r" > figure \.figure \{ max-height: (?:clamp\()?([0-9.]+)rem", STYLE
    )
    assert found, selector
    return float(found[1]) * REM


@pytest.fixture(scope="module")
def shipped() -> Shelf:
    """The bank that comes with the program."""
    return shipped_shelf()


def test_lettering_is_never_below_ten_px(shipped: Shelf) -> None:
    """The smallest lettering is that of ticks; lists of more than four rows leave the figure least room."""
    tick = re.search(r"\.figure \.tick \{ font-size: ([0-9.]+)px", STYLE)
    assert tick
    few, many = height(".work:has(.find)"), height(".work.many")
    small = {}
    for name, entry in shipped.bank.drills.items():
        for find in entry.drill.finds:
            for seed in range(SEEDS):
                exercise = shipped.draw(name, seed, find)
                figure = sketch(entry.drill, exercise, "f")
                rows = exercise.texts.keys() | {exercise.find}  # the unknown has its row too
                room = many if len(rows) > 4 else few
                size = float(tick[1]) * min(WIDE / figure.width, room / figure.height)
                if size < LEAST:
                    small[name, find, seed] = round(size, 1)
    assert small == {}
