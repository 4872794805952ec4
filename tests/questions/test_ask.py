"""Asking: the same sheet for ever, options shuffled evenly, numbers drawn from a drill and made again."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from tests.questions.writing import shelf_with
from trainer.bank.entries import question_of
from trainer.drills.numbers import Numbers
from trainer.drills.shelf import Shelf
from trainer.errors import NotFound, Refused
from trainer.questions.ask import Asked, ask, ask_again, shuffled
from trainer.questions.sketch import sketch
from trainer.questions.telling import as_data, as_text

SHELF = shipped_shelf()


def the(question: str, seed: int, shelf: Shelf = SHELF) -> Asked:
    """One question of the shipped bank."""
    return ask(shelf, shelf.bank.question(question), seed)


def test_golden_order() -> None:
    """This seed gives this order, today and in ten years."""
    asked = the("coil-bar-laid-across", 7)
    assert [choice.text for choice in asked.choices] == GOLDEN
    assert asked.key == "ABCD"[GOLDEN.index("0.25")]


GOLDEN = ["15", "0.25", "4", "3"]


def test_every_order_comes_equally_often() -> None:
    """Over 2400 seeds each of the 24 orders comes about a hundred times."""
    orders = Counter(tuple(shuffled("abcd", Numbers(f"x/{seed}"))) for seed in range(2400))
    assert len(orders) == 24
    assert 60 < min(orders.values()) <= max(orders.values()) < 145


def test_numbers_come_from_the_drill() -> None:
    """The right option is the drill's own answer; the wrong ones are its slips with what it says of them."""
    asked = the("pick-coil-ampere-turns", 3)
    assert asked.drawn is not None
    mould, exercise = asked.drawn
    says = {slip.says for slip in mould.read.drill.slips}
    assert [c.because in says for c in asked.choices] == [not c.right for c in asked.choices]
    right = asked.choice(asked.key)
    assert right is not None
    assert right.text == f"{exercise.answer:.4g}\u202fA"


@pytest.mark.parametrize("question", ["coil-bar-laid-across", "pick-sling-load"])
def test_what_is_kept_asks_it_again(question: str) -> None:
    """From the snapshot and the stored content alone the same sheet comes back."""
    asked = the(question, 11)
    kept = json.loads(json.dumps(asked.snapshot()))
    entry = question_of(json.loads(json.dumps(asked.entry.content)))
    assert entry.edition == asked.entry.edition
    again = ask_again(SHELF, entry, kept)
    assert again.choices == asked.choices


def test_another_seed_is_another_sheet() -> None:
    """Two seeds differ in the order of options, and in the numbers where they are drawn."""
    assert the("pick-sling-load", 1).choices != the("pick-sling-load", 2).choices
    assert len({the("coil-bar-laid-across", seed).key for seed in range(40)}) == 4


def test_a_letter_that_is_none_is_no_choice() -> None:
    """What is neither of the four letters stands for nothing."""
    asked = the("coil-bar-laid-across", 1)
    assert [asked.choice(one) for one in ("E", "", "a", "AB")] == [None] * 4


def test_figures_are_drawn() -> None:
    """A picture with fixed numbers, the figure of a drill, or none."""
    assert sketch(the("coil-axle-fillet-crack", 1), "f") is not None
    assert sketch(the("pick-sling-load", 1), "f") is not None
    assert sketch(the("coil-bar-laid-across", 1), "f") is None


def test_told_with_key_and_reasons() -> None:
    """The command line shows stem, options with reasons, source."""
    asked = the("pick-sling-load", 3)
    assert as_data(asked)["key"] == asked.key
    text = as_text(asked)
    assert all(choice.because in text for choice in asked.choices)
    assert "Balance of forces" in text


def test_unknown_question_names_the_nearest() -> None:
    """A misspelt id gets a proposal."""
    with pytest.raises(NotFound, match="did you mean coil-bar-laid-across"):
        SHELF.bank.question("coil-bar-laid-accross")


def test_a_band_has_no_slips_to_choose(tmp_path: Path) -> None:
    """A find whose answer is a band cannot be asked with options; it is told."""
    old = "drill: coil-low-fill-wall, find: I"
    shelf = shelf_with(tmp_path, old, "drill: prod-current-asme, find: I")
    with pytest.raises(Refused, match="three slips far enough apart"):
        ask(shelf, shelf.bank.question("pick-amperes"), 1)
