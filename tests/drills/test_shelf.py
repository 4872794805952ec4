"""The shelf: what stands on it, what it makes again, and what it remembers."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.drills.making import read, slip, written_drill
from tests.work import calls_in
from trainer.bank.entries import drill_of
from trainer.drills.draw import draw
from trainer.drills.mould import cast
from trainer.drills.reading import read_drill
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles
from trainer.formulas.solved import SolvedForms

DRILL = "coil-low-fill-wall"
SMALL = Path(__file__).parents[1] / "small_bank"
SHELF = Shelf.of_folder(SMALL)


def test_a_stored_exercise_is_made_again_once() -> None:
    """Sheet, answer and verdict of one exercise cost one making; another one, or other numbers, are made themselves."""
    shelf = Shelf.of_folder(SMALL)
    one, other = (shelf.draw(DRILL, seed, "I").snapshot() for seed in (71, 72))
    first = calls_in(lambda: shelf.stored(None, one))
    assert calls_in(lambda: shelf.stored(None, one)) < first / 3
    assert shelf.stored(None, one)[1].snapshot() == one
    assert shelf.stored(None, other)[1].snapshot() == other
    assert shelf.stored(None, {**one, "given": other["given"]})[1].given == shelf.stored(None, other)[1].given


def test_a_drill_with_a_faulty_formula_is_not_on_the_shelf() -> None:
    """The faults come with their places, from whichever key they stand under."""
    content = written_drill(relations=["y = a*"], where=["a +"], slips=[slip(put={"a": "b*("})])
    with pytest.raises(FaultyFiles) as told:
        SHELF.read(drill_of(content))
    assert len(told.value.faults) == 3
    entry = drill_of(content)
    assert read_drill(entry.drill, entry.edition)[0] is None


def test_a_stored_exercise_is_made_again_from_its_own_edition() -> None:
    """From the bank where the edition is the same, else from what was kept; the numbers are those shown."""
    exercise = SHELF.draw(DRILL, 7)
    entry = SHELF.bank.drill(DRILL)
    for _ in range(2):
        made, again = SHELF.stored(entry.located.data, exercise.snapshot())
        assert (again.given, again.answer, again.edition) == (exercise.given, exercise.answer, entry.edition)
        assert made is SHELF.mould(DRILL)
    old = drill_of(written_drill(id=DRILL))
    drawn = draw(cast(read(id=DRILL), "y", SolvedForms()), 3)
    assert SHELF.stored(old.located.data, drawn.snapshot())[1].answer == drawn.answer


def test_slips_have_their_names_in_tallies() -> None:
    """A drill's own, two together, a general blunder; one that nobody knows is written as it is kept."""
    assert SHELF.slip_name(DRILL, "ratio-upside-down") == "the ratio is upside down"
    assert SHELF.slip_name(DRILL, "turns-twice+half") == ("divided by the turns twice, and half the value")
    assert SHELF.slip_name("nowhere", "what") == "what"


def test_a_shelf_over_another_bank_has_its_forms() -> None:
    """What is solved for a draft is kept apart."""
    shelf, forms = Shelf.of_folder(SMALL), SolvedForms()
    shelf.over(shelf.bank, forms).mould(DRILL, "D")
    assert (forms.added > 0, shelf.forms.added) == (True, 0)
