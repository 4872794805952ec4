"""The check of a bank names what cannot be asked, drawn or told fairly."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.drills.making import asked, mould, slip, solved, written_drill
from trainer.bank import load_bank
from trainer.bank.entries import drill_of
from trainer.drawing.figures.sheet import Shown
from trainer.drills import checking
from trainer.drills.checking import check_entry, check_find, unfair
from trainer.drills.draw import MOST_DRAWS, draw
from trainer.drills.exercise import Interval, SlipValue
from trainer.drills.shelf import Shelf
from trainer.drills.sketch import fixed
from trainer.errors import Refused
from trainer.formulas.solved import SolvedForms

SMALL = Path(__file__).parents[1] / "small_bank"
SHELF = Shelf.of_folder(SMALL)


def test_a_slip_that_cannot_be_told_from_the_answer_leaves_no_fair_draw() -> None:
    """The draw ends with a sentence after its tries, and the check of the bank tells it three times."""
    near = mould(slips=[slip(put={"a": "a*1.01"})])
    with pytest.raises(Refused, match=f"no fair draw for y in {MOST_DRAWS}; widen"):
        draw(near, 0)
    report = check_find(drill_of(written_drill()), near, 10)
    assert [fault.says[:7] for fault in report.faults] == ["seed 0:", "seed 1:", "seed 2:"]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"finds": asked("z")}, "no way leads to z; give more under finds: z: given"),
        ({"finds": asked("q")}, "'q' is not a quantity of this drill"),
        ({"steps": {"q": "Look it up."}}, "'q' is not a quantity of this drill"),
        ({"any_unit": ["q"]}, "'q' is not a quantity of this drill"),
        ({"slips": [slip(put={"q": "2"})]}, "'q' is not a quantity of this drill"),
        ({"slips": [slip(put={"a": "2*(b"})]}, "bracket"),
        (
            {"slips": [slip(put={"a": by}) for by in ("2", "3")]},
            "the slip 'a-slip' stands twice; give each its own id",
        ),
        ({"slips": [slip(put={"a": "2"}, finds=["y", "q", "r"])]}, "'q' is no find; there are y"),
        ({"slips": [slip(put={"z": "2"})]}, "the slip 'a-slip' changes no find"),
        ({"slips": [slip(gives={"y": "z*2"})]}, "the slip 'a-slip' changes no find"),
    ],
)
def test_the_check_names_what_cannot_be_asked(changes: dict[str, Any], says: str) -> None:
    """Each fault of meaning is a sentence."""
    faults, _ = check_entry(load_bank(SMALL), drill_of(written_drill(**changes)), SolvedForms())
    assert any(says in fault.says for fault in faults), faults


def test_a_sound_drill_has_no_fault_and_one_fault_is_told_once() -> None:
    """A slip that changes something is not said to change nothing, nor one of a drill that cannot be asked at all."""
    bank = load_bank(SMALL)
    sound = {"slips": [slip(put={"a": "a*3"})], "figure": {"kind": "coil", "roles": {}}}
    faults, moulds = check_entry(bank, drill_of(written_drill(**sound)), SolvedForms())
    assert (faults, [made.find for made in moulds]) == ([], ["y"])
    faults, moulds = check_entry(bank, drill_of(written_drill(**sound, finds=asked("z"))), SolvedForms())
    assert ([fault.says[:17] for fault in faults], moulds) == (["made-for-a-test: "], [])


def test_what_the_draws_showed_is_counted() -> None:
    """The share of draws thrown away, the slips that have a way, the share in which two of them give the same."""
    thrown_in_all = same_in_all = 0
    for entry in SHELF.bank.drills.values():
        for find in entry.drill.finds:
            made = SHELF.mould(entry.drill.id, find)
            drawn = [draw(made, seed) for seed in range(20)]
            thrown = sum(one.redrawn for one in drawn)
            same = sum(len({f"{s.value:.9f}" for s in one.slips}) < len(one.slips) for one in drawn)
            report = check_find(entry, made, 20)
            assert (report.redrawn, report.ambiguous) == (thrown / (thrown + 20), same / 20)
            assert report.slips == sum(map(bool, made.slips))
            thrown_in_all, same_in_all = thrown_in_all + thrown, same_in_all + same
    assert thrown_in_all
    assert same_in_all


def test_the_figure_is_read_back_in_the_first_draws_only(monkeypatch: pytest.MonkeyPatch) -> None:
    """As many as are named, of a few the field as well: drawing costs more than all the rest of the check."""
    entry, made = SHELF.bank.drill("coil-low-fill-wall"), SHELF.mould("coil-low-fill-wall")
    read_back, fields = list[int](), list[int]()
    monkeypatch.setattr(
        checking, "misprinted", lambda _, exercise: iter(read_back.append(exercise.seed) or ())
    )
    monkeypatch.setattr(checking, "field_picture", lambda _, exercise, _id: fields.append(exercise.seed))
    assert check_find(entry, made, checking.LOOKED_AT + 2).faults == ()
    assert read_back == list(range(checking.LOOKED_AT))
    assert fields == list(range(checking.FIELDS_LOOKED_AT))


def test_a_working_that_does_not_give_what_it_prints_is_told() -> None:
    """A difference that the rounding on the way eats up: 2.667 less 2.66 is 0.007, and the answer is 0.00667."""
    quantities = {
        **written_drill()["quantities"],
        "a": {"name": "length", "unit": "1", "choices": [8, 8.003]},
    }
    changes = {"quantities": quantities, "relations": ["c = a/3", "y = c - 2.66"]}
    changes["figure"] = {"kind": "coil", "roles": {}}
    report = check_find(drill_of(written_drill(**changes)), mould(**changes), 14)
    assert [fault.says.split("the working says 2.66")[0] for fault in report.faults] == [
        "seed 0: ",
        "seed 1: ",
        "seed 2: ",
    ]


def test_each_law_of_a_fair_question_is_asked_anew() -> None:
    """An exercise whose interval was moved under its feet is told for what it is."""
    other = {"change": {"y": "a*b*2"}, "when": "b > 3", "says": "The other form."}
    made = mould(slips=[slip(put={"a": "a*3"})], alternatives=[other])
    exercise = solved(made, a=3.0, b=4.0)
    assert unfair(made, exercise) is None
    assert "exact answer 12.0 is outside" in str(unfair(made, exercise._replace(accepted=Interval(20, 30))))
    assert "alternative gives 24.0, outside" in str(
        unfair(made, exercise._replace(accepted=Interval(11, 13)))
    )
    assert "which is accepted" in str(unfair(made, exercise._replace(accepted=Interval(11, 40))))
    unnamed = SlipValue(0, 36.0, Interval(50.0, 60.0))
    assert "is not named at 36.0" in str(unfair(made, exercise._replace(slips=(unnamed,))))
    assert unfair(made, solved(made, a=3.0, b=3.0)) is None


def test_words_are_no_amount_of_a_figure() -> None:
    """A role of a figure is a quantity or a fixed amount, with its unit or without one."""
    assert fixed("12 in") == Shown(12.0, "in", "12\u202fin", "")
    assert fixed("0.5") == Shown(0.5, "1", "0.5", "")
    with pytest.raises(Refused, match="neither a quantity of this drill nor a fixed amount"):
        fixed("long enough")
