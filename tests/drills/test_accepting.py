"""What is accepted: intervals, the bands of a document, whole numbers."""

from __future__ import annotations

from typing import Any

import pytest

from tests.drills.making import asked, mould, slip, solved, written_drill
from trainer.drills.accepting import Inseparable, accepted
from trainer.drills.draw import draw, solved_with
from trainer.drills.exercise import Interval, SlipValue
from trainer.drills.marking import judged
from trainer.drills.working import accepted_says

BAND = {
    "relations": ["c = a*b", "z = 2*a*b"],
    "finds": asked("y", band=["c", "z"]),
}  # any y from c to z
ROUNDED_ON_THE_WAY = {
    "quantities": {
        "a": {"name": "length", "unit": "1", "choices": [7, 8]},
        "c": {"name": "third", "unit": "1"},
        "y": {"name": "pieces", "unit": "1", "up": True, "count": "pieces"},
    },
    "relations": ["c = a/3", "y = ceil(c*3)"],
}  # 8/3 to four figures is 2.667, and three of those are 8.001, which is nine pieces


@pytest.mark.parametrize(
    ("changes", "given"),
    [
        ({}, {"a": 1e200, "b": 1e200}),  # beyond every number
        ({"relations": ["c = a*b", "z = a*b"], "finds": asked("y", band=["c", "z"])}, {"a": 3, "b": 4}),
    ],
)
def test_an_answer_without_end_or_breadth_is_drawn_again(changes: Any, given: dict[str, float]) -> None:
    """Neither an infinite answer nor a band between two equal limits can be asked."""
    with pytest.raises(Inseparable):
        solved(mould(**changes), **given)


def test_an_alternative_of_the_document_widens_a_band_where_it_holds() -> None:
    """From 12 to 24; where b is over 3 the source's other rule reaches from 6 to 36."""
    other = {"change": {"c": "a*b/2", "z": "3*a*b"}, "when": "b > 3", "says": "The other form."}
    made = mould(**BAND, alternatives=[other])
    assert solved(made, a=3.0, b=4.0).accepted == Interval(6.0, 36.0)
    assert solved(made, a=4.0, b=3.0).accepted == Interval(12.0, 24.0)


def test_a_slip_of_a_band_needs_values_and_must_lie_outside() -> None:
    """A slip that leads below zero, or into the band, is none; one that leads out has its far end."""
    below = slip(id="below", change={"c": "a - 3.5"})
    inside = slip(id="inside", change={"c": "a*b*1.1", "z": "a*b*1.9"})
    above = slip(id="above", change={"z": "5*a*b"})
    endless = slip(id="endless", change={"z": "a*a*a"})
    made = mould(**BAND, slips=[below, inside, above])
    assert "y" not in solved(made, a=3.0, b=4.0).values
    assert solved(made, a=3.0, b=4.0).slips == (SlipValue(2, 60.0, Interval(12.0, 60.0)),)
    assert solved(mould(**BAND, slips=[endless]), a=1e110, b=4.0).slips == ()


def test_a_band_is_said_as_one() -> None:
    """Verdict and explanation name both limits."""
    made = mould(**BAND)
    exercise = solved(made, a=3.0, b=4.0)
    assert judged(made, exercise, 20.0).says == ("Any value from 12 to 24 is right.",)
    assert (
        accepted_says(made, exercise)
        == "Accepted is the whole band of the document, 12 to 24, both limits included."
    )


def test_a_whole_number_that_hangs_on_rounding_is_not_drawn_but_marked_kindly() -> None:
    """Eight pieces by the exact way, nine by four figures: drawn it is thrown away, typed in both are right."""
    made = mould(**ROUNDED_ON_THE_WAY)
    with pytest.raises(Inseparable):
        accepted(made, (8.0,))
    assert draw(made, 0).given == {"a": 7.0}
    exercise = solved(made, a=8.0)
    assert exercise.accepted == Interval(8.0, 9.0)
    assert [judged(made, exercise, value).right for value in (7, 8, 8.5, 9, 10)] == [
        False,
        True,
        False,
        True,
        False,
    ]
    assert accepted_says(made, exercise) == (
        "Accepted is 8 pieces or 9 pieces: the rounding on the way decides."
    )


def test_a_count_is_said_without_tolerance() -> None:
    """One number is accepted, and both sentences say so."""
    made = mould(**ROUNDED_ON_THE_WAY)
    exercise = solved(made, a=7.0)
    assert judged(made, exercise, 7.0).says == ("7 pieces it is; a count has no tolerance.",)
    assert accepted_says(made, exercise) == "Only 7 pieces is accepted, since a count is whole."
    assert "Accepted is 7 pieces, so that is 2 pieces too much." in judged(made, exercise, 9.0).says[0]


def test_a_whole_step_on_the_way_is_not_rounded_again() -> None:
    """ceil(10/3) is 4 on every path, so only the result is rounded."""
    made = mould(relations=["c = ceil(a/3)", "y = c*b"])
    exercise = solved(made, a=10.0, b=3.25)
    assert exercise.answer == 13.0
    assert exercise.accepted.low == pytest.approx(13 * 0.995)


def test_an_answer_to_three_figures_is_accepted_where_the_share_is_narrow() -> None:
    """1.0049 within a ten-thousandth would refuse 1.00, which is how it is written down."""
    made = mould(accept={"within": 0.0001})
    assert solved(made, a=1.0049, b=1.0).accepted == Interval(1.0, pytest.approx(1.0049 * 1.0001))


@pytest.mark.parametrize(
    ("within", "shown"),
    [
        (0.005, "11.94 to 12.06"),
        (0.0001, "11.999 to 12.001"),
        (0.00006, "11.9993 to 12.0007"),
        (1e-8, "11.9999999 to 12.0000001"),
    ],
)
def test_limits_that_are_shown_are_accepted(within: float, shown: str) -> None:
    """However narrow the drill makes them: with five figures 11.99928 would be shown as 11.999."""
    made = mould(accept={"within": within})
    exercise = solved(made, a=3.0, b=4.0)
    assert f"Accepted is {shown}: " in accepted_says(made, exercise)
    assert f"{shown} is accepted." in judged(made, exercise, 12.0).says[0]
    assert all(judged(made, exercise, float(limit)).right for limit in shown.split(" to "))


def test_nothing_is_nothing_where_nothing_is_accepted() -> None:
    """An interval without breadth at zero has no room for the conversion of units, and holds zero."""
    assert [Interval(0.0, 0.0).holds(value) for value in (0.0, 1e-300, -1e-300)] == [True, False, False]


def test_an_absolute_tolerance_does_not_reach_below_zero() -> None:
    """Twelve give or take fifty is nought to 62."""
    made = mould(accept={"absolute": 50.0})
    assert solved(made, a=3.0, b=4.0).accepted == Interval(0.0, 62.0)


def test_an_answer_below_zero_keeps_its_whole_interval() -> None:
    """A temperature may be below zero; what is accepted then reaches as far to both sides."""
    quantities = {**written_drill()["quantities"], "y": {"name": "temperature", "unit": "degC"}}
    made = mould(quantities=quantities, relations=["y = a - b*10"])
    exercise = solved(made, a=3.0, b=4.0)
    assert exercise.accepted == Interval(pytest.approx(-37.185), pytest.approx(-36.815))
    assert [judged(made, exercise, value).right for value in (-37.3, -37, 37)] == [False, True, False]


def test_a_slip_has_a_value_above_zero_and_an_end() -> None:
    """Nobody would write down a size of nothing, of less, or without end; a small one is a slip like any other."""
    ends = ("a - a", "0.5 - a/a", "a*a", "a/a/8")
    made = mould(
        relations=["y = a + b"], slips=[slip(id=f"to-{n}", gives={"y": end}) for n, end in enumerate(ends)]
    )
    assert solved(made, a=1e200, b=1.0).slips == (SlipValue(3, 0.125),)


AMPLIFIED = {
    "relations": ["c = a/b", "y = c - 2.66"],
}  # of 8/3 0.00667; by way of 2.667 it is 0.007, by way of 2.666 it is 0.006: a tenth to either side


@pytest.mark.parametrize(
    ("changes", "near", "far"),
    [
        ({}, 0.029, 0.031),  # three hundredths of the answer
        (
            {"accept": {"within": 0.02, "absolute": 0.36}},
            0.059,
            0.061,
        ),  # twice the 0.36 that twelve may be off
        (
            {"accept": {"document": 0.1, "document_finds": ["y"]}},
            0.109,
            0.111,
        ),  # a hundredth beyond the tenth
        (AMPLIFIED, 0.28, 0.29),  # three times what rounding does beyond the half hundredth
    ],
    ids=["share", "absolute", "document", "rounding"],
)
def test_a_slip_keeps_its_distance_to_both_sides(changes: Any, near: float, far: float) -> None:
    """One that lies too near could be a reading of the right answer, so the draw is thrown away."""
    given, right = ({"a": 3.0, "b": 4.0}, "a*b")
    if changes is AMPLIFIED:
        given, right = {"a": 8.0, "b": 3.0}, "(a/b - 2.66)"
    for side in (1, -1):
        made = mould(**changes, slips=[slip(gives={"y": f"{right}*{1 + side * far}"})])
        (found,) = solved_with(made, given, {}, fair=True).slips
        assert found.value == pytest.approx(solved(made, **given).answer * (1 + side * far))
        made = mould(**changes, slips=[slip(gives={"y": f"{right}*{1 + side * near}"})])
        with pytest.raises(Inseparable):
            solved_with(made, given, {}, fair=True)
