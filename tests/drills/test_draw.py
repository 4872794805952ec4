"""Draws: the same exercise for ever, and every one fair."""

from __future__ import annotations

import pytest

from tests.banks import shipped_shelf, small_shelf
from trainer.drills.checking import check_find
from trainer.drills.draw import LARGEST_SEED, draw, read_number, remade
from trainer.drills.shelf import Shelf
from trainer.drills.working import working
from trainer.errors import Refused

REAL = shipped_shelf()
SMALL = small_shelf()
QUESTIONS = [(e.drill.id, find) for e in REAL.bank.drills.values() for find in e.drill.finds]

# seed 7: numbers shown, answer, situation, accepted
GOLDEN = [
    (SMALL, "coil-low-fill-wall", {"L": "21.5", "D": "2.5", "bore": "18", "N": "5", "K": "45\u202f000"}, 1046.5116279069766, 1, (941.860465116279, 1151.1627906976744)),
    (SMALL, "prod-current-asme", {"s": "3.5", "t": "0.75"}, 393.75, 0, (350.0, 437.5)),
]  # fmt: skip


@pytest.mark.parametrize(("shelf", "drill", "texts", "answer", "situation", "accepted"), GOLDEN)
def test_golden_exercise(
    shelf: Shelf,
    drill: str,
    texts: dict[str, str],
    answer: float,
    situation: int,
    accepted: tuple[float, float],
) -> None:
    """Seed 7 shows these numbers and wants this answer, today and in ten years."""
    exercise = shelf.draw(drill, 7)
    assert (exercise.texts, exercise.situation) == (texts, situation)
    assert exercise.answer == pytest.approx(answer, rel=1e-12)
    assert (exercise.accepted.low, exercise.accepted.high) == pytest.approx(accepted, rel=1e-12)
    assert shelf.draw(drill, 7) == exercise


@pytest.mark.parametrize(("drill", "find"), QUESTIONS)
def test_question_is_fair(drill: str, find: str) -> None:
    """Over seeds: the exact answer and every alternative are accepted, no slip is, each slip is named."""
    assert check_find(REAL.bank.drill(drill), REAL.mould(drill, find), 5).faults == ()


@pytest.mark.parametrize(("drill", "find"), QUESTIONS)
def test_slips_are_excluded_with_a_margin(drill: str, find: str) -> None:
    """A slip misses the accepted interval by a hundredth of the answer; a count is simply another."""
    mould = REAL.mould(drill, find)
    for seed in range(10):
        exercise = draw(mould, seed)
        low, high = exercise.accepted.low, exercise.accepted.high
        room = 0 if mould.whole or mould.band else 0.0099 * abs(exercise.answer)
        assert low <= exercise.answer <= high
        for slip in exercise.slips if not mould.band else ():
            assert not low - room <= slip.value <= high + room


@pytest.mark.parametrize(("drill", "find"), QUESTIONS)
def test_stored_exercise_is_made_again(drill: str, find: str) -> None:
    """The numbers that were shown give answer, interval and slips back."""
    mould = REAL.mould(drill, find)
    first = draw(mould, 11)
    again = remade(mould, 11, first.texts, first.situation)
    assert (again.answer, again.accepted) == (first.answer, first.accepted)
    assert {s.place: s.value for s in first.slips}.items() <= {s.place: s.value for s in again.slips}.items()


@pytest.mark.parametrize(("drill", "find"), QUESTIONS)
def test_working_shows_the_numbers_of_the_exercise(drill: str, find: str) -> None:
    """Numbers as shown are the numbers worked with, and the last line names the find."""
    mould = REAL.mould(drill, find)
    exercise = draw(mould, 2)
    assert {s: read_number(t) for s, t in exercise.texts.items()} == exercise.given
    lines = working(mould, exercise)
    assert [line.symbol for line in lines] == [step.symbol for step in mould.steps]
    if not mould.band:
        assert lines[-1].symbol == find


def test_a_step_that_is_turned_round_says_nothing_of_the_way_there() -> None:
    """From L/D the ampere-turns are the constant over L/D; from the current they are not, and no line says so."""
    forward, back = (REAL.mould("coil-low-fill-wall", find) for find in ("I", "ratio"))
    notes = [{line.symbol: line.note for line in working(one, draw(one, 2))} for one in (forward, back)]
    assert notes[0]["NI"] == "the constant over L/D"
    assert notes[1]["NI"] == ""


@pytest.mark.parametrize("seed", [-1, LARGEST_SEED + 1])
def test_seed_outside_its_range_is_refused(seed: int) -> None:
    """A seed is a whole number from 0 up to 2**63 - 1."""
    with pytest.raises(Refused, match="a seed is a whole number"):
        SMALL.draw("coil-low-fill-wall", seed)


def test_seeds_differ() -> None:
    """Different seeds give different exercises."""
    assert len({tuple(SMALL.draw("coil-low-fill-wall", s).texts.values()) for s in range(50)}) > 40


def test_the_largest_seed_is_what_a_database_holds() -> None:
    """A whole number of 64 bits with its sign."""
    assert LARGEST_SEED == 9_223_372_036_854_775_807
