"""Answers with different numbers on one scale, and exercises in which a mistake shows."""

from __future__ import annotations

import pytest

from tests.banks import small_shelf
from trainer.drills.draw import draw
from trainer.drills.exercise import Interval
from trainer.drills.marking import judged
from trainer.drills.mistaken import mistaken
from trainer.drills.together import together

SHELF = small_shelf()
DRILL = "coil-low-fill-wall"


def test_right_answers_lie_in_the_band_and_wrong_ones_outside() -> None:
    """Over 200 draws each verdict agrees with where its ratio lies on the common scale."""
    mould = SHELF.mould(DRILL, "I")
    answers = [
        (drawn, judged(mould, drawn, drawn.answer * factor))
        for drawn in (draw(mould, seed) for seed in range(200))
        for factor in (0.9, 0.985, 0.999, 1.0, 1.01, 1.1, 1.13)
    ]
    found = together(answers)
    assert found is not None
    for (_, verdict), ratio in zip(answers, found.ratios, strict=True):
        assert verdict.right == (found.low <= ratio <= found.high)


def test_a_slip_is_counted_at_its_mean_ratio() -> None:
    """Three people who left out five turns stand together at five times what is right."""
    mould = SHELF.mould(DRILL, "I")
    answers = []
    for seed in range(3):
        drawn = draw(mould, seed)
        place = [s.id for s in mould.read.drill.slips].index("turns-forgotten")
        value = next(s.value for s in drawn.slips if s.place == place)
        answers.append((drawn, judged(mould, drawn, value)))
    found = together(answers)
    assert found is not None
    ((drill, slip, ratio, count),) = found.slips
    assert (drill, slip, count) == (DRILL, "turns-forgotten", 3)
    turns = [drawn.given["N"] for drawn, _ in answers]
    assert abs(ratio - sum(turns) / 3) < 0.01 * ratio


def test_nothing_and_below_zero_have_no_scale() -> None:
    """No answers, no scale; an answer below zero is told apart, not drawn."""
    mould = SHELF.mould(DRILL, "I")
    drawn = draw(mould, 1)
    assert together([]) is None
    found = together([(drawn, judged(mould, drawn, -5.0))])
    assert found is not None
    assert (found.ratios, found.apart) == ((), 1)


def test_every_slip_of_the_small_bank_can_be_shown() -> None:
    """For each find, each slip that has a way is found in some draw and is judged to be itself."""
    for drill_id in SHELF.bank.drills:
        for find in SHELF.bank.drill(drill_id).drill.finds:
            mould = SHELF.mould(drill_id, find)
            for place, slip in enumerate(mould.read.drill.slips):
                found = mistaken(mould, 0, slip.id)
                if mould.slips[place] is None:
                    assert found is None
                elif found is not None:
                    assert found[1].slip == slip.id
    assert mistaken(SHELF.mould(DRILL, "I"), 7, "turns-forgotten") is not None
    assert mistaken(SHELF.mould(DRILL, "I"), 7, "none-such") is None


def test_two_mistakes_are_drawn_together() -> None:
    """A pair is looked for by both its ids; one that does not exist is not found."""
    made = SHELF.mould("coil-low-fill-wall")
    found = mistaken(made, 7, "radius-for-diameter+ratio-upside-down")
    assert found is not None
    assert found[1].slips == ("radius-for-diameter", "ratio-upside-down")
    assert mistaken(made, 7, "radius-for-diameter+nothing") is None


def test_a_wrong_answer_between_the_limits_of_another_draw_is_set_beside_them() -> None:
    """On the one scale of a class it must not look right."""
    made = SHELF.mould("coil-low-fill-wall", "L")
    narrow = SHELF.draw("coil-low-fill-wall", 7, "L")
    wide = narrow._replace(accepted=Interval(narrow.answer / 2, narrow.answer * 2))
    for factor, beside in ((1.3, 2.0), (1 / 1.3, 0.5), (2.0, 2.0), (0.5, 0.5)):
        value = narrow.answer * factor
        wrong = judged(made, narrow, value)
        both = together([(narrow, wrong), (wide, judged(made, wide, wide.answer))])
        assert both is not None
        assert (both.low, both.high) == (0.5, 2.0)
        assert not 0.5 <= both.ratios[0] <= 2.0
        assert both.ratios[0] == pytest.approx(beside, rel=1e-4)
        assert both.ratios[1] == 1.0


def test_small_answers_have_a_scale_as_well() -> None:
    """Half of a unit is above zero like any other: its limits are ratios of it."""
    drawn = SHELF.draw(DRILL, 7, "I")
    half = drawn._replace(answer=0.5, accepted=Interval(0.4, 0.6), computed=Interval(0.4, 0.6))
    found = together([(half, judged(SHELF.mould(DRILL, "I"), half, 0.5))])
    assert found is not None
    assert (found.low, found.high, found.ratios) == (0.8, 1.2, (1.0,))


def test_a_right_answer_at_or_below_zero_has_no_ratio() -> None:
    """Then there is no scale, however little below zero the accepted interval begins."""
    exercise = SHELF.draw(DRILL, 7, "I")
    answer = judged(SHELF.mould(DRILL, "I"), exercise, exercise.answer)
    for low in (0.0, -0.5):
        assert together([(exercise._replace(accepted=Interval(low, 2.0)), answer)]) is None
