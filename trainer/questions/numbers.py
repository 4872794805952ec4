"""Options that carry numbers: the answer of a drawn exercise and three of its slips, far enough apart to choose."""

from __future__ import annotations

from trainer.bank.question import OPTIONS, NumberQuestion
from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise
from trainer.drills.marking import written
from trainer.drills.mould import Mould
from trainer.drills.numbers import Numbers
from trainer.drills.shelf import Shelf
from trainer.drills.working import working
from trainer.errors import Refused

MOST_DRAWS = 40
_FARTHEST = 50.0  # a number fifty times off gives itself away
_APART = 0.05  # share by which two options differ at least, so that nobody has to reckon to the last figure


def draw_numbers(shelf: Shelf, question: NumberQuestion, seed: int) -> tuple[Mould, Exercise]:
    """Draw an exercise that has three slips to choose from; Refused where the drill has none such."""
    mould = shelf.mould(question.drill, question.find)
    stream = Numbers(f"{question.id}/numbers/{seed}")
    for _turn in range(MOST_DRAWS):
        exercise = draw(mould, stream.below(2**31))
        if len(_apart(mould, exercise)) >= OPTIONS - 1:
            return mould, exercise
    raise Refused(
        f"{question.drill} has no draw of {question.find} with three slips far enough apart; "
        "choose another find, or ask it as a drill"
    )


def number_choices(mould: Mould, exercise: Exercise) -> list[tuple[str, bool, str]]:
    """Return text, rightness and reason of the four options, the right one first."""
    slips = mould.read.drill.slips
    wrong = [
        (written(mould, value), False, slips[place].says)
        for place, value in _apart(mould, exercise)[: OPTIONS - 1]
    ]
    return [(written(mould, exercise.answer), True, working(mould, exercise, ())[-1].right_text), *wrong]


def _apart(mould: Mould, exercise: Exercise) -> list[tuple[int, float]]:
    """Return place and value of the slips that stand apart from the answer and from each other."""
    kept: list[tuple[int, float]] = []
    taken = [exercise.answer]
    for slip in () if mould.band else exercise.slips:
        near = 1 / _FARTHEST <= slip.value / exercise.answer <= _FARTHEST
        if near and all(abs(slip.value - one) > _APART * max(slip.value, one) for one in taken):
            kept.append((slip.place, slip.value))
            taken.append(slip.value)
    return kept
