"""Working a real part: any sub-set that suffices, any unit; and a new drill is one file."""

from __future__ import annotations

import re
import shutil
from pathlib import Path

import pytest

from tests.banks import shipped_shelf, small_shelf
from tests.drills.making import mould, solved, written_drill
from trainer.drawing.inspection import lettering
from trainer.drills.marking import mark
from trainer.drills.shelf import Shelf
from trainer.drills.sketch import field_roles, sketch
from trainer.drills.telling import as_data, as_text
from trainer.drills.work import work
from trainer.errors import NotFound, Refused

TESTS = Path(__file__).parents[1]
SHELF = small_shelf()
REAL = shipped_shelf()
COIL = "coil-low-fill-wall"


@pytest.mark.parametrize(
    ("given", "find", "value"),
    [
        ({"L": "10 in", "D": "2 in", "N": "5"}, None, 1800),  # T.O. 33B-1-1: 45000/5/5
        ({"L": "254 mm", "D": "50.8 mm", "N": "5 turns"}, "I", 1800),
        ({"L": "10 in", "D": "2 in"}, "NI", 9000),
        ({"N": "5", "I": "1.8 kA"}, "ratio", 5),
        ({"ratio": "5", "N": "5"}, "I", 1800),
        ({"L": "10 in", "D": "2 in", "I": "1700 A"}, "N", 6),
        ({"D": "2 in", "N": "5", "I": "1800 A"}, "L", 10),
        ({"L": "10 in", "N": "5", "I": "1800 A"}, "D", 2),
    ],
)
def test_any_unknown_from_what_suffices(given: dict[str, str], find: str | None, value: float) -> None:
    """Every unknown that the relations allow can be asked, from any sub-set that leads there."""
    assert work(SHELF, COIL, given, find).value == pytest.approx(value, rel=1e-9)


def test_result_in_the_unit_asked_for() -> None:
    """The same current in kiloamperes."""
    worked = work(SHELF, COIL, {"L": "10 in", "D": "2 in", "N": "5"}, "I", "kA")
    assert (worked.value, worked.unit) == (pytest.approx(1.8), "kA")


@pytest.mark.parametrize(
    ("given", "find", "in_unit", "says"),
    [
        ({"L": "10 in"}, "I", None, "cannot be worked out from L"), ({"L": "10 A"}, None, None, "write it in in"),
        ({"L": "ten"}, None, None, "must begin with a number"), ({"L": "10 bananas"}, None, None, "is not a unit"),
        ({"I": "5 A"}, "I", None, "given already"),
        ({"L": "10 in", "D": "2 in", "N": "5"}, "I", "mm", "cannot be written in 'mm'"),
        ({"L": "10 in", "D": "2 in", "N": "5"}, "I", "m" * 1000, f"cannot be written in '{'m' * 20}'"),
        ({"L": "10 in", "D": "0 in", "N": "5"}, "I", None, "these values give no I"),
    ],
)  # fmt: skip
def test_what_cannot_be_worked_is_told_why(
    given: dict[str, str], find: str | None, in_unit: str | None, says: str
) -> None:
    """Each refusal is a sentence that says what to do."""
    with pytest.raises(Refused, match=says):
        work(SHELF, COIL, given, find, in_unit)


@pytest.mark.parametrize(
    ("drill", "given", "find", "says"),
    [
        (COIL, {"L": "10 in"}, "I", "I cannot be worked out from L; give more, such as D, N, ratio, NI"),
        (COIL, {"D": "2 in", "N": "5"}, "L", "L cannot be worked out from D, N; give more, such as ratio, NI, I"),
        (
            COIL, {}, None,
            "I or NI or N or L or D or ratio cannot be worked out from nothing; give more, such as L, D, N, ratio",
        ),
        (
            "prod-current-asme", {"s": "4 in", "low": "400 A", "high": "500 A"}, "t",
            "no formula of this drill gives t; ask for another quantity",
        ),
    ],
)  # fmt: skip
def test_what_is_missing_is_what_would_help(
    drill: str, given: dict[str, str], find: str | None, says: str
) -> None:
    """Quantities of the formulas that nobody gave; no constant, and no coil bore that stands in none of them."""
    with pytest.raises(Refused, match=f"^{says}$"):
        work(SHELF, drill, given, find)


def test_unknown_names_are_not_found() -> None:
    """A drill or quantity that is not there is said to be missing."""
    with pytest.raises(NotFound, match="has no quantity 'Q'"):
        work(SHELF, COIL, {"Q": "1"})
    with pytest.raises(NotFound, match="there is no drill"):
        work(SHELF, "nothing-of-the-kind", {})
    with pytest.raises(NotFound, match=f"has no quantity '{'Q' * 20}'"):
        work(SHELF, COIL, {"Q" * 1000: "1"})


def test_a_new_drill_is_one_file(tmp_path: Path) -> None:
    """A file put into a folder is a drill that is drawn, marked, worked and shown."""
    shutil.copytree(TESTS / "small_bank", tmp_path / "bank")
    text = (TESTS / "small_bank/drills/prods/prod-current-asme.yaml").read_text(encoding="utf-8")
    new = text.replace("id: prod-current-asme", "id: prod-current-new").replace("100*s", "105*s")
    (tmp_path / "bank/drills/prods/prod-current-new.yaml").write_text(new, encoding="utf-8")
    shelf = Shelf.of_folder(tmp_path / "bank")
    mould, exercise = shelf.mould("prod-current-new", "low"), shelf.draw("prod-current-new", 3, "low")
    assert mark(mould, exercise, f"{exercise.answer} A").right
    assert "Working" in as_text(mould, exercise)
    assert "<svg" in sketch(mould.read.drill, exercise, "f").svg
    assert work(shelf, "prod-current-new", {"s": "4 in", "t": "1 in"}, "low").value == pytest.approx(420)


def test_an_exercise_in_another_unit() -> None:
    """Answer, limits and slips are told in the unit that was asked for."""
    made, exercise = SHELF.mould("coil-low-fill-wall"), SHELF.draw("coil-low-fill-wall", 7)
    told = as_data(made, exercise, "kA")
    assert told["answer"] == {"value": pytest.approx(exercise.answer / 1000), "unit": "kA"}
    assert told["accepted"]["low"] == pytest.approx(exercise.accepted.low / 1000)
    assert told["slips"][0]["value"] == pytest.approx(exercise.slips[0].value / 1000)
    assert as_data(made, exercise)["answer"]["value"] == exercise.answer
    assert len(told["working"]) == len(made.steps)


def test_a_quantity_of_any_unit_takes_the_unit_typed() -> None:
    """Peak and mean may be volts or amperes, but both the same."""
    volts = work(REAL, "half-wave", {"Ip": "100 V"}, "Iav")
    amperes = work(REAL, "half-wave", {"Ip": "100 A"}, "Iav")
    assert (volts.unit, amperes.unit, volts.value) == ("V", "A", pytest.approx(amperes.value))
    with pytest.raises(NotFound, match="half-wave has no quantity 'Q'"):
        work(REAL, "half-wave", {"Ip": "100 A"}, "Q")


def test_an_exercise_and_a_real_part_in_plain_text() -> None:
    """An exercise ends with what is accepted; a part has its title, its given numbers and the result to five figures."""
    made, exercise = SHELF.mould(COIL), SHELF.draw(COIL, 7)
    asked = as_text(made, exercise).replace("\u202f", " ")
    assert "Answer: current I = 1046.5 A\nAccepted is 942 to 1151 A" in asked
    worked = work(SHELF, COIL, {"L": "10.1274567 in", "D": "2 in", "N": "5"})
    told = as_text(worked.mould, worked.exercise, worked.value, worked.unit).replace("\u202f", " ")
    assert told.startswith(f"{made.read.drill.title}\n  part length L = 10.1275 in\n")
    assert "Answer: current I = 1777.3 A" in told
    assert "Accepted" not in told


def test_the_unknown_of_a_figure_is_a_question_mark() -> None:
    """Nothing of the answer stands in the figure unless it is asked for solved."""
    drill, exercise = SHELF.bank.drill(COIL).drill, SHELF.draw(COIL, 7)
    before, after = (sketch(drill, exercise, "f", **solved).svg for solved in ({}, {"solved": True}))
    assert ("?" in before, "1047" in before.replace("\u202f", "")) == (True, False)
    assert "1047" in after.replace("\u202f", "")


def test_a_fixed_amount_stands_in_the_figure() -> None:
    """A coil of 12 in that the drill does not ask about is drawn and lettered all the same."""
    quantities = written_drill()["quantities"]
    for symbol, low in (("a", 8), ("b", 2)):
        quantities[symbol] = {"name": "size", "unit": "in", "choices": [low, low + 1]}
    figure = {"kind": "part-in-coil", "roles": {"length": "a", "diameter": "b", "bore": "12 in"}}
    made = mould(quantities=quantities, figure=figure)
    texts = [text for text, _ in lettering(sketch(made.read.drill, solved(made, a=8.0, b=2.0), "f"))]
    assert texts == ["a = 8\u202fin", "b = 2\u202fin", "12\u202fin"]


def test_what_a_slip_is_about_stands_out_in_the_figure() -> None:
    """The size that the slip took otherwise has the colour of what is asked, and no other has."""
    drill, exercise = SHELF.bank.drill(COIL).drill, SHELF.draw(COIL, 7)
    for live in ((), ("D",), ("L", "N")):
        svg = sketch(drill, exercise, "f", solved=True, live=live).svg
        assert set(re.findall(r'<text class="size live[^"]*"[^>]*>(\w+) = ', svg)) == {"I", *live}


def test_a_field_picture_is_of_the_solved_exercise() -> None:
    """Its current is a result as it is written, asked or on the way; where a size is left open there is no picture."""
    drill = SHELF.bank.drill(COIL).drill
    for find, current in (("I", "1047 A"), ("NI", "2077 A")):
        roles = field_roles(drill, SHELF.draw(COIL, 7, find))
        assert roles is not None
        assert roles["current"].text.replace("\u202f", " ") == current
    assert field_roles(drill, work(SHELF, COIL, {"ratio": "5", "N": "5"}).exercise) is None


def test_a_size_below_zero_is_refused() -> None:
    """A minus before a length is a slip of the finger; a temperature may have one."""
    with pytest.raises(Refused, match=r"L \(part length\) cannot be below zero"):
        work(SHELF, "coil-low-fill-wall", {"L": "-10 in", "D": "2 in", "N": "5"})
