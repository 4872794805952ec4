"""The working line by line, in numbers and symbols, and beside it the way of a slip."""

from __future__ import annotations

from typing import Any

import pytest

from tests.banks import small_shelf
from tests.drills.making import mould, slip, solved
from trainer.drills.draw import solved_with
from trainer.drills.reduction import brackets_done, chosen
from trainer.drills.working import accepted_says, formulas, working
from trainer.formulas.reading import read_relation
from trainer.formulas.tree import Choice, written

SHELF = small_shelf()


def test_the_working_in_symbols() -> None:
    """Each step by name, with the row that holds for these numbers."""
    made = SHELF.mould("prod-current-asme", "low")
    exercise = SHELF.draw("prod-current-asme", 7, "low")
    (line,) = formulas(made, exercise)
    assert (line.name, line.text) == ("Lowest current", "low = 90 × s")
    assert "<math" in line.mathml


def test_the_case_that_holds_is_said_with_the_symbols_shown() -> None:
    """A rule in two rows says which of them was taken, and by what; a rule in one row says nothing."""
    made = SHELF.mould("prod-current-asme", "low")
    (line,) = working(made, SHELF.draw("prod-current-asme", 7, "low"))
    assert line.note == "since t < 0.75"
    thick = solved_with(made, {"s": 3.0, "t": 0.75}, {"s": "3", "t": "0.75"})
    assert working(made, thick)[0].note == "since t ≥ 0.75"


def test_two_slips_are_worked_side_by_side() -> None:
    """The trainee's side has both, each line with the numbers that came in."""
    made, exercise = SHELF.mould("coil-low-fill-wall"), SHELF.draw("coil-low-fill-wall", 7)
    lines = working(made, exercise, ("radius-for-diameter", "ratio-upside-down"))
    assert lines[0].enters
    assert [line.slip_text.replace("\u202f", " ") for line in lines] == [
        "L/D = D / L = 1.25 in / 21.5 in = 0.05814",
        "NI = K / min(L/D, 15) = 45 000 A-turn / min(0.05814, 15) = 45 000 A-turn / 0.05814 = 774 000 A-turn",
        "I = NI / N = 774 000 A-turn / 5 = 154 800 A",
    ]


@pytest.mark.parametrize(
    "wrong",
    [
        slip(change={"y": "a*b*c"}),  # c is nowhere to be had
        slip(change={"y": "a/(b - b)"}),  # no value
        slip(put={"a": "a/(b - b)"}),
    ],
)
def test_a_slip_that_cannot_be_worked_has_no_side_of_its_own(wrong: dict[str, Any]) -> None:
    """The right working stands alone then."""
    made = mould(slips=[wrong])
    (line,) = working(made, solved(made, a=3.0, b=4.0), ("a-slip",))
    assert (line.slip_text, line.enters) == ("", False)


LINES = {
    "": ("L/D = 21.5 in / 2.5 in = 8.6", "NI = K / min(L/D, 15) = 45 000 A-turn / min(8.6, 15) = 45 000 A-turn / 8.6 = 5233 A-turn", "I = NI / N = 5233 A-turn / 5 = 1047 A"),
    "radius-for-diameter": ("L/D = 21.5 in / 1.25 in = 17.2", "NI = K / min(L/D, 15) = 45 000 A-turn / min(17.2, 15) = 45 000 A-turn / 15 = 3000 A-turn", "I = NI / N = 3000 A-turn / 5 = 600 A"),
    "ratio-upside-down": ("L/D = D / L = 2.5 in / 21.5 in = 0.1163", "NI = K / min(L/D, 15) = 45 000 A-turn / min(0.1163, 15) = 45 000 A-turn / 0.1163 = 387 000 A-turn", "I = NI / N = 387 000 A-turn / 5 = 77 400 A"),
    "turns-twice": ("L/D = 21.5 in / 2.5 in = 8.6", "NI = K / min(L/D, 15) = 45 000 A-turn / min(8.6, 15) = 45 000 A-turn / 8.6 = 5233 A-turn", "I = NI / N^2 = 5233 A-turn / 5^2 = 5233 A-turn / 25 = 209.3 A"),
}  # fmt: skip


@pytest.mark.parametrize("wrong", ["radius-for-diameter", "ratio-upside-down", "turns-twice"])
def test_the_working_line_by_line(wrong: str) -> None:
    """45 000 A-turn over 21.5/2.5, shared by five turns, and beside it each slip from the line where it enters."""
    made, exercise = SHELF.mould("coil-low-fill-wall"), SHELF.draw("coil-low-fill-wall", 7)
    lines = working(made, exercise, (wrong,))
    assert tuple(line.right_text.replace("\u202f", " ") for line in lines) == LINES[""]
    assert tuple(line.slip_text.replace("\u202f", " ") for line in lines) == LINES[wrong]
    assert [line.enters for line in lines].index(True) == (2 if wrong == "turns-twice" else 0)
    assert sum(line.enters for line in lines) == 1
    assert all(bool(line.note_at_slip) == line.enters for line in lines)
    assert all(line.slip_text == "" for line in working(made, exercise))


def test_only_the_number_that_a_slip_put_in_is_marked() -> None:
    """The radius stands out in the line where it went in; results and the right side do not."""
    made, exercise = SHELF.mould("coil-low-fill-wall"), SHELF.draw("coil-low-fill-wall", 7)
    lines = working(made, exercise, ("radius-for-diameter",))
    assert not any('class="live"' in line.right_mathml for line in lines)
    assert [line.slip_mathml.count('class="live"') for line in lines] == [1, 0, 0]
    assert '<mrow class="live"><mn>1.25</mn>' in lines[0].slip_mathml


def test_a_wrong_end_is_worked_as_it_was_made() -> None:
    """A slip that states its own result stands beside the last line, and nothing before it differs."""
    made = mould(relations=["c = a/2", "y = c*b"], slips=[slip(gives={"y": "c + b"})])
    lines = working(made, solved(made, a=6.0, b=4.0), ("a-slip",))
    assert [(line.right_text, line.slip_text, line.enters) for line in lines] == [
        ("c = a / 2 = 6 / 2 = 3", "c = a / 2 = 6 / 2 = 3", False),
        ("y = c × b = 3 × 4 = 12", "y = c + b = 3 + 4 = 7", True),
    ]


def test_brackets_are_worked_before_the_rest() -> None:
    """A sum or a root inside stands with its own value first; what is at the top does not."""
    made = mould(relations=["y = (a + b)*b"])
    (line,) = working(made, solved(made, a=3.0, b=4.0))
    assert line.right_text == "y = (a + b) × b = (3 + 4) × 4 = 7 × 4 = 28"
    rule = read_relation("y = (a + b)*b - sqrt(a)", {"a", "b", "y"}).right
    shorter, parts = brackets_done(rule, {"a": 4.0, "b": 5.0})
    assert (written(shorter), parts) == ("part0*b - part1", {"part0": 9.0, "part1": 2.0})
    least = read_relation("y = min(a + b, 15)", {"a", "b", "y"}).right
    assert brackets_done(least, {"a": 4.0, "b": 5.0})[1] == {"part0": 9.0}


def test_a_side_that_says_the_same_again_is_left_out() -> None:
    """Where one quantity is another the line has the number once."""
    made = mould(relations=["c = a", "y = c*b"])
    lines = working(made, solved(made, a=3.0, b=4.0))
    assert [line.right_text for line in lines] == ["c = 3", "y = c × b = 3 × 4 = 12"]


@pytest.mark.parametrize(("figures", "word"), [(3, "three"), (4, "four")])
def test_the_figures_to_be_carried_are_said(figures: int, word: str) -> None:
    """As many as the drill asks for."""
    made = mould(accept={"figures": figures})
    assert f"rounding on the way to {word} figures" in accepted_says(made, solved(made, a=3.0, b=4.0))


def test_what_was_given_stands_as_it_was_given() -> None:
    """A number of six figures is not rounded where it is put in; the result is."""
    made = mould()
    exercise = solved(made, a=3.14159, b=4.0)
    (line,) = working(made, exercise)
    assert line.right_text == "y = a × b = 3.14159 × 4 = 12.57"


def test_a_rule_without_a_case_stays_as_it_is() -> None:
    """Where none of the rows holds, the rule stands whole, and nothing of it is worked out."""
    rule = read_relation("y = 2*a if a > 3, 4*a if a < 1", {"y", "a"}).right
    assert isinstance(rule, Choice)
    assert chosen(rule, {"a": 2.0}) == (rule, None)
    assert brackets_done(rule, {"a": 2.0}) == (rule, {})
