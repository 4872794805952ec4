"""The shelf remembers what it made again, and only for exactly what was stored."""

from __future__ import annotations

from tests.work import calls_in
from trainer.drills.shelf import Shelf

DRILL = "coil-low-fill-wall"


def test_a_stored_exercise_is_made_again_once(shelf: Shelf) -> None:
    """Sheet, answer and verdict of one exercise cost one making; another one, or other numbers, are made themselves."""
    one, other = (shelf.draw(DRILL, seed, "I").snapshot() for seed in (71, 72))
    first = calls_in(lambda: shelf.stored(None, one))
    assert calls_in(lambda: shelf.stored(None, one)) < first / 3
    assert shelf.stored(None, one)[1].snapshot() == one
    assert shelf.stored(None, other)[1].snapshot() == other
    assert shelf.stored(None, {**one, "given": other["given"]})[1].given == shelf.stored(None, other)[1].given
