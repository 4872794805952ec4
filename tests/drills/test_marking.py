"""Marking: right, right with a remark, each slip by name, blunders, and what cannot be read."""

from __future__ import annotations

import math

import pytest

from tests.banks import shipped_shelf, small_shelf
from tests.drills.making import mould, slip, solved
from trainer.drills.blunders import blunder
from trainer.drills.exercise import Interval
from trainer.drills.marking import judged, mark, written
from trainer.formulas.units import unit

SHELF = small_shelf()
REAL = shipped_shelf()
COIL = SHELF.mould("coil-low-fill-wall")
EXERCISE = SHELF.draw("coil-low-fill-wall", 7)  # L 21.5 in, D 2.5 in, 5 turns: 45000/8.6/5 = 1046.5 A


@pytest.mark.parametrize("text", ["1047 A", "1046.5 A", "1,047 A", "1.047 kA", "1 050 A", "1047000 mA"])
def test_right_in_any_unit(text: str) -> None:
    """The same current is right in amperes, kiloamperes and milliamperes."""
    verdict = mark(COIL, EXERCISE, text)
    assert (verdict.kind, verdict.remark, verdict.heading) == ("right", False, "Right")


@pytest.mark.parametrize("text", ["950 A", "1.15 kA"])
def test_tolerance_of_the_document_is_right_with_a_remark(text: str) -> None:
    """Within plus or minus ten per cent (ASME V Art. 7, T-753.2(b)) is right, and it says so."""
    verdict = mark(COIL, EXERCISE, text)
    assert (verdict.kind, verdict.remark) == ("right", True)
    assert "T-753.2(b)" in verdict.says[0]


@pytest.mark.parametrize("place", range(len(EXERCISE.slips)))
def test_each_slip_is_named(place: int) -> None:
    """The value of a slip brings its name and what a good instructor would say."""
    slip = COIL.read.drill.slips[EXERCISE.slips[place].place]
    verdict = mark(COIL, EXERCISE, f"{EXERCISE.slips[place].value:.6g} A")
    assert verdict.kind == "wrong"
    assert slip.id in verdict.slips


def test_of_slips_to_both_sides_the_nearer_is_named() -> None:
    """A hundred may be 99.6 or 100.45 written down; a slip that gives nearly the same as the nearer is named too."""
    given = {"farther": "100.45", "nearer": "99.6", "beside": "99.58"}
    made = mould(slips=[slip(id=name, gives={"y": value}) for name, value in given.items()])
    assert judged(made, solved(made, a=3.0, b=4.0), 100.0).slips == ("nearer", "beside")


def test_of_slips_that_give_the_same_two_are_told() -> None:
    """All are kept with the answer; heading and sentences are of the first two."""
    names = ("first", "second", "third")
    wrong = [slip(id=name, name=f"the {name}", says=f"Of the {name}.", gives={"y": "100"}) for name in names]
    made = mould(slips=wrong)
    verdict = judged(made, solved(made, a=3.0, b=4.0), 100.0)
    assert (verdict.slips, verdict.heading) == (names, "Not right: the first or the second")
    assert verdict.says[1:] == ("Of the first.", "Of the second.")


def test_two_slips_together_are_named_as_a_pair() -> None:
    """The radius for the diameter and the ratio upside down double the second slip: 2 x 77 400 A."""
    verdict = judged(COIL, EXERCISE, 154800.0)
    assert verdict.together
    assert verdict.slips == ("radius-for-diameter", "ratio-upside-down")
    assert verdict.slip == "radius-for-diameter+ratio-upside-down"


@pytest.mark.parametrize(
    ("factor", "generic"),
    [(10, "decimal-point"), (2, "twice"), (0.5, "half"), (25.4, "inch-for-millimetre"), (1 / 3.14159265, "pi-missing"), (1.12, "close")],
)  # fmt: skip
def test_blunder_is_named(factor: float, generic: str) -> None:
    """A slip that belongs to no drill is still recognised."""
    assert judged(COIL, EXERCISE, EXERCISE.answer * factor).generic == generic


@pytest.mark.parametrize(("value", "generic"), [(EXERCISE.answer**2, "square"), (EXERCISE.answer**0.5, "root"), (1 / EXERCISE.answer, "upside-down")])  # fmt: skip
def test_square_root_and_inverse_are_named(value: float, generic: str) -> None:
    """The square, the root and one over the value are recognised."""
    assert judged(COIL, EXERCISE, value).generic == generic


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("1047", "The number is right, the unit is missing"), ("3", "The unit is missing"),
        ("1047 in", "wrong kind of unit"), ("1.05k", "no thousand here. Write all the digits, as in 1234\u202fA"), ("5233 A-turns", "ampere-turns are the current times the turns"),
        ("1047 bananas", "is not a unit"), ("", "no answer yet"), ("10**10**10", "not a calculation"),
    ],
)  # fmt: skip
def test_unreadable_gets_a_hint(text: str, says: str) -> None:
    """What cannot be judged is not wrong: it gets a hint and can be written again."""
    verdict = mark(COIL, EXERCISE, text)
    assert verdict.kind == "unreadable"
    assert says in verdict.says[0]


def test_a_unit_on_a_plain_number_is_told_as_one_too_many() -> None:
    """Where the answer has no unit the hint asks for the number alone, and names the unit that was typed."""
    ratio = REAL.mould("coil-low-fill-wall", "ratio")
    verdict = mark(ratio, REAL.draw("coil-low-fill-wall", 7, "ratio"), "4 A")
    assert (verdict.kind, verdict.says[0]) == (
        "unreadable",
        "This answer has no unit. Write the number without A.",
    )


@pytest.mark.parametrize("value", [0.0, -5.0])
def test_nothing_or_less_is_said_so(value: float) -> None:
    """A current of zero or less is told that it must be more."""
    assert "more than zero" in judged(COIL, EXERCISE, value).heading


def test_unrecognised_says_how_far_off() -> None:
    """Without a known slip the verdict still says what is accepted and by how much it misses."""
    verdict = judged(COIL, EXERCISE, 2900.0)
    assert (verdict.kind, verdict.slip) == ("wrong", None)
    assert "Accepted is" in verdict.says[0]
    assert "too much" in verdict.says[0]


@pytest.mark.parametrize(("find", "says"), [("ratio", "4.333"), ("N", "5 turns"), ("I", "1047 A")])
def test_an_amount_has_its_unit_its_counting_word_or_neither(find: str, says: str) -> None:
    """A ratio is a number by itself."""
    assert (
        written(SHELF.mould("coil-low-fill-wall", find), float(says.split()[0])).replace("\u202f", " ")
        == says
    )


def test_a_count_has_no_tolerance() -> None:
    """Turns are whole: one more is wrong."""
    mould, exercise = SHELF.mould("coil-low-fill-wall", "N"), SHELF.draw("coil-low-fill-wall", 1, "N")
    assert mark(mould, exercise, f"{exercise.answer:.0f}").right
    assert mark(mould, exercise, f"{exercise.answer:.0f} turns").right
    assert not mark(mould, exercise, f"{exercise.answer + 1:.0f}").right


def test_a_band_is_right_from_end_to_end() -> None:
    """ASME V T-752.2 at 3.5 in and 3/4 in: 350 to 437.5 A, both included (100 to 125 A an inch)."""
    mould, exercise = SHELF.mould("prod-current-asme"), SHELF.draw("prod-current-asme", 7)
    found = [mark(mould, exercise, f"{a} A").right for a in (349, 350, 400, 437.5, 438)]
    assert found == [False, True, True, True, False]


CONVERSIONS = [
    (entry.drill.id, find)
    for entry in REAL.bank.drills.values()
    if entry.drill.accept.own_unit
    for find in entry.drill.finds
]


@pytest.mark.parametrize(("drill", "find"), CONVERSIONS)
def test_a_conversion_is_not_answered_by_copying(drill: str, find: str) -> None:
    """What is given, typed back in its own unit, is no answer where turning the unit is the question."""
    mould, exercise = REAL.mould(drill, find), REAL.draw(drill, 4, find)
    for symbol, text in exercise.texts.items():
        sign = unit(mould.read.drill.quantities[symbol].unit).shown
        verdict = mark(mould, exercise, f"{text} {sign}")
        assert verdict.kind == "unreadable"
        assert "Turning the unit is the question" in verdict.says[0]


def test_there_are_conversions() -> None:
    """The law above speaks of at least the eight of the catalogue and the two light units."""
    assert len({drill for drill, _ in CONVERSIONS}) >= 10


def test_an_angle_is_no_plain_number() -> None:
    """25 degrees are not an answer to a ratio, though mathematics counts angles without a unit."""
    mould = REAL.mould("coil-length-to-diameter", "ratio")
    verdict = mark(mould, REAL.draw("coil-length-to-diameter", 1, "ratio"), "25 deg")
    assert verdict.kind == "unreadable"


def test_nothing_is_no_blunder() -> None:
    """A factor of zero names nothing; one is a number like any other."""
    assert blunder(0.0, Interval(-1, 1), 5.0) is None
    assert blunder(5.0, Interval(4, 6), 0.0) is None
    found = [blunder(answer, Interval(answer, answer), value) for answer, value in ((1.0, 2.0), (2.0, 1.0))]
    assert [one.id for one in found if one] == ["twice", "half"]


def test_far_too_much_is_told_as_a_factor() -> None:
    """Beyond four times the answer the difference says little."""
    made = mould()
    exercise = solved(made, a=3.0, b=4.0)
    for value, times in ((84.0, "7"), (64.8, "5.4"), (65.04, "5.4"), (49.2, "4.1")):
        assert f"that is {times} times as much as it should be." in judged(made, exercise, value).says[0]
    assert "too much" in judged(made, exercise, 48.0).says[0]
    small = solved(made, a=0.003, b=4.0)
    assert "that is 7 times as much as it should be." in judged(made, small, 0.084).says[0]


@pytest.mark.parametrize(
    ("value", "word"),
    [
        (7 * 25.4, "inch-for-millimetre"), (7 / 25.4, "millimetre-for-inch"), (14, "twice"), (3.5, "half"),
        (7 * math.pi, "pi-too-many"), (7 / math.pi, "pi-missing"), (49, "square"), (7**0.5, "root"), (1 / 7, "upside-down"),
    ],
)  # fmt: skip
def test_each_general_blunder_has_its_word(value: float, word: str) -> None:
    """Of seven, in every way that is recognised in any drill."""
    made = mould()
    assert judged(made, solved(made, a=3.5, b=2.0), value).generic == word


def test_a_blunder_is_recognised_to_three_figures() -> None:
    """Twice 6.1745 may be written down as 12.3, which is a good three thousandths off, and not as 12.4."""
    made = mould()
    exercise = solved(made, a=6.1745, b=1.0)
    assert [judged(made, exercise, value).generic for value in (12.3, 12.4)] == ["twice", None]


def test_close_reaches_three_hundredths_beyond_both_limits() -> None:
    """Of accepted 10 to 100: 7 and 103 are close, what lies beyond is not."""
    made = mould()
    exercise = solved(made, a=10.0, b=5.0)._replace(accepted=Interval(10.0, 100.0))
    found = [judged(made, exercise, value).generic for value in (6.99, 7.0, 103.0, 103.1)]
    assert found == [None, "close", "close", None]


@pytest.mark.parametrize("power", [1, -1, 2, -2, 3, -3])
def test_a_decimal_point_is_recognised_up_to_three_places(power: int) -> None:
    """In tallies it stands by its own word."""
    made = mould()
    exercise = solved(made, a=3.5, b=2.0)
    verdict = judged(made, exercise, exercise.answer * 10.0**power)
    assert (verdict.generic, verdict.slip) == ("decimal-point", "decimal-point")


@pytest.mark.parametrize(("find", "text", "like"), [("I", "1046.5", "1234 A"), ("L", "21.5", "12.3 in")])
def test_an_answer_without_unit_is_shown_how(find: str, text: str, like: str) -> None:
    """The example has the unit that is wanted and is nobody's answer."""
    verdict = mark(SHELF.mould("coil-low-fill-wall", find), SHELF.draw("coil-low-fill-wall", 7, find), text)
    assert verdict.kind == "unreadable"
    assert f"as in {like}." in verdict.says[0].replace("\u202f", " ")
