"""Where a drill cannot be asked, drawn or told: what no shipped drill does, on drills of a few lines."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.drills.making import asked, mould, read, slip, written_drill
from trainer.bank import load_bank
from trainer.bank.entries import drill_of
from trainer.drills.accepting import Inseparable, accepted
from trainer.drills.blunders import blunder
from trainer.drills.checking import check_entry, check_find, unfair
from trainer.drills.draw import MOST_DRAWS, draw, solved_with
from trainer.drills.exercise import Interval, SlipValue
from trainer.drills.marking import judged, mark
from trainer.drills.mistaken import mistaken
from trainer.drills.mould import NoWay, cast, cast_for
from trainer.drills.reading import read_drill
from trainer.drills.reduction import brackets_done, chosen
from trainer.drills.shelf import Shelf
from trainer.drills.sketch import fixed
from trainer.drills.telling import as_data
from trainer.drills.together import together
from trainer.drills.validity import forward, holds
from trainer.drills.work import work
from trainer.drills.working import accepted_says, formulas, working
from trainer.errors import FaultyFiles, NotFound, Refused
from trainer.formulas.reading import read_condition, read_relation
from trainer.formulas.solved import SolvedForms
from trainer.formulas.tree import Choice

SMALL = Path(__file__).parents[1] / "small_bank"
SHELF = Shelf.of_folder(SMALL)
REAL = Shelf.of_folder(Path(__file__).parents[2] / "question_bank")
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


def solved(made: Any, **given: float) -> Any:
    """An exercise of a mould with these values."""
    return solved_with(made, given, {s: f"{v:g}" for s, v in given.items()})


def test_a_slip_that_cannot_be_told_from_the_answer_leaves_no_fair_draw() -> None:
    """The draw ends with a sentence after its tries, and the check of the bank tells it three times."""
    near = mould(slips=[slip(put={"a": "a*1.01"})])
    with pytest.raises(Refused, match=f"no fair draw for y in {MOST_DRAWS}; widen"):
        draw(near, 0)
    report = check_find(drill_of(written_drill()), near, 10)
    assert [fault.says[:7] for fault in report.faults] == ["seed 0:", "seed 1:", "seed 2:"]


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
    below = slip(id="below", change={"c": "a - 20"})
    inside = slip(id="inside", change={"c": "a*b*1.1", "z": "a*b*1.9"})
    above = slip(id="above", change={"z": "5*a*b"})
    made = mould(**BAND, slips=[below, inside, above])
    assert solved(made, a=3.0, b=4.0).slips == (SlipValue(2, 60.0, Interval(12.0, 60.0)),)


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


def test_an_answer_below_zero_keeps_its_whole_interval() -> None:
    """A temperature may be below zero; what is accepted then reaches as far to both sides."""
    quantities = {**written_drill()["quantities"], "y": {"name": "temperature", "unit": "degC"}}
    made = mould(quantities=quantities, relations=["y = a - b*10"])
    exercise = solved(made, a=3.0, b=4.0)
    assert exercise.accepted == Interval(pytest.approx(-37.185), pytest.approx(-36.815))
    assert [judged(made, exercise, value).right for value in (-37.3, -37, 37)] == [False, True, False]


def test_nothing_is_no_blunder() -> None:
    """A factor of zero names nothing."""
    assert blunder(0.0, Interval(-1, 1), 5.0) is None
    assert blunder(5.0, Interval(4, 6), 0.0) is None


def test_far_too_much_is_told_as_a_factor() -> None:
    """Beyond four times the answer the difference says little."""
    made = mould()
    exercise = solved(made, a=3.0, b=4.0)
    assert "that is 7 times as much as it should be." in judged(made, exercise, 84.0).says[0]
    assert "too much" in judged(made, exercise, 48.0).says[0]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"finds": asked("z")}, "no way leads to z; give more under finds: z: given"),
        ({"steps": {"q": "Look it up."}}, "'q' is not a quantity of this drill"),
        ({"any_unit": ["q"]}, "'q' is not a quantity of this drill"),
        ({"slips": [slip(put={"q": "2"})]}, "'q' is not a quantity of this drill"),
        ({"slips": [slip(put={"a": "2*(b"})]}, "bracket"),
        ({"slips": [slip(put={"z": "2"})]}, "the slip 'a-slip' changes no find"),
        ({"slips": [slip(gives={"y": "z*2"})]}, "the slip 'a-slip' changes no find"),
    ],
)
def test_the_check_names_what_cannot_be_asked(changes: dict[str, Any], says: str) -> None:
    """Each fault of meaning is a sentence."""
    faults, _ = check_entry(load_bank(SMALL), drill_of(written_drill(**changes)), SolvedForms())
    assert any(says in fault.says for fault in faults), faults


def test_the_figure_is_read_back_in_the_first_draws_only() -> None:
    """A find with more seeds than are looked at closely has no fault either."""
    entry = SHELF.bank.drill("coil-low-fill-wall")
    assert check_find(entry, SHELF.mould("coil-low-fill-wall"), 14).faults == ()


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


def test_finds_that_cannot_be_reached_have_no_mould() -> None:
    """What is not asked, what no relation leads to, what cannot be turned round."""
    with pytest.raises(NoWay, match="does not ask for 'a'; it asks for y"):
        mould("a")
    with pytest.raises(NoWay, match="no way leads from a to y"):
        cast_for(read(), "y", ("a",), SolvedForms())
    assert cast_for(read(), "y", ("a", "b"), SolvedForms()).forward(3.0, 4.0) == ()
    with pytest.raises(NotFound, match="does not ask for"):
        SHELF.mould("coil-low-fill-wall", "bore")


def test_a_result_is_given_where_the_find_was_drawn() -> None:
    """The last result from which the find can be had stands in its place: z tells nothing of a, y does."""
    made = mould("a", relations=["y = a*b", "z = b*2"], finds=asked("a"))
    assert (made.given, made.derived_given) == (("b", "y"), ("y",))


def test_a_relation_that_cannot_be_turned_round_is_passed_over() -> None:
    """With y and a known no form of the first relation gives c, so the second one is taken."""
    quantities = written_drill()["quantities"]
    quantities["y"] = {**quantities["y"], "choices": [30, 40]}
    made = mould("c", quantities=quantities, relations=["y = c**a + c", "c = a*b"], finds=asked("c"))
    assert [step.relation for step in made.steps] == [1]


def test_slips_that_do_not_apply_have_no_way() -> None:
    """A condition or a wrong form that speaks of something unknown here, and pairs with such a slip."""
    unknown = slip(gives={"y": "z*2"})
    when = slip(id="other", put={"a": "a/2"}, when="z > 3")
    half = slip(id="half", put={"b": "b/2"})
    made = mould(slips=[unknown, when, half, slip(id="nowhere", put={"b": "b/3"}, finds=["z"])])
    assert made.slips[0] is None
    assert made.slips[1] is not None
    assert made.slips[1].when is None
    assert made.pair(0, 2) is None
    assert made.pair(1, 3) is None
    assert made.pair(1, 2) is not None


def test_what_a_slip_is_about() -> None:
    """What went in otherwise; what the wrong form lacks or adds; all of it where it is only rearranged."""
    found = read(
        relations=["c = a/b", "y = c*b"],
        slips=[
            slip(put={"a": "2*a"}),
            slip(change={"c": "b/a"}),
            slip(change={"c": "a"}),
            slip(gives={"y": "c*b*a"}),
        ],
    )
    assert [found.touched(index) for index in range(4)] == [{"a"}, {"a", "b"}, {"b"}, {"a"}]


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
    exercise = SHELF.draw("coil-low-fill-wall", 7)
    entry = SHELF.bank.drill("coil-low-fill-wall")
    for _ in range(2):
        made, again = SHELF.stored(entry.located.data, exercise.snapshot())
        assert (again.given, again.answer, again.edition) == (exercise.given, exercise.answer, entry.edition)
        assert made is SHELF.mould("coil-low-fill-wall")
    old = drill_of(written_drill(id="coil-low-fill-wall"))
    drawn = draw(cast(read(id="coil-low-fill-wall"), "y", SolvedForms()), 3)
    assert SHELF.stored(old.located.data, drawn.snapshot())[1].answer == drawn.answer


def test_slips_have_their_names_in_tallies() -> None:
    """A drill's own, two together, a general blunder; one that nobody knows is written as it is kept."""
    assert SHELF.slip_name("coil-low-fill-wall", "ratio-upside-down") == "the ratio is upside down"
    assert SHELF.slip_name("coil-low-fill-wall", "turns-twice+half") == (
        "divided by the turns twice, and half the value"
    )
    assert SHELF.slip_name("nowhere", "what") == "what"


def test_a_shelf_over_another_bank_has_its_forms() -> None:
    """What is solved for a draft is kept apart."""
    shelf, forms = Shelf.of_folder(SMALL), SolvedForms()
    shelf.over(shelf.bank, forms).mould("coil-low-fill-wall", "D")
    assert (forms.added > 0, shelf.forms.added) == (True, 0)


def test_two_mistakes_are_drawn_together() -> None:
    """A pair is looked for by both its ids; one that does not exist is not found."""
    made = SHELF.mould("coil-low-fill-wall")
    found = mistaken(made, 7, "radius-for-diameter+ratio-upside-down")
    assert found is not None
    assert found[1].slips == ("radius-for-diameter", "ratio-upside-down")
    assert mistaken(made, 7, "radius-for-diameter+nothing") is None


def test_a_rule_without_a_case_stays_as_it_is() -> None:
    """Where none of the rows holds, the rule stands whole, and nothing of it is worked out."""
    rule = read_relation("y = 2*a if a > 3, 4*a if a < 1", {"y", "a"}).right
    assert isinstance(rule, Choice)
    assert chosen(rule, {"a": 2.0}) == (rule, None)
    assert brackets_done(rule, {"a": 2.0}) == (rule, {})


def test_words_are_no_amount_of_a_figure() -> None:
    """A role of a figure is a quantity or a fixed amount."""
    assert fixed("12 in").value == 12.0
    with pytest.raises(Refused, match="neither a quantity of this drill nor a fixed amount"):
        fixed("long enough")


def test_an_exercise_in_another_unit() -> None:
    """Answer, limits and slips are told in the unit that was asked for."""
    made, exercise = SHELF.mould("coil-low-fill-wall"), SHELF.draw("coil-low-fill-wall", 7)
    told = as_data(made, exercise, "kA")
    assert told["answer"] == {"value": pytest.approx(exercise.answer / 1000), "unit": "kA"}
    assert told["accepted"]["low"] == pytest.approx(exercise.accepted.low / 1000)
    assert told["slips"][0]["value"] == pytest.approx(exercise.slips[0].value / 1000)
    assert as_data(made, exercise)["answer"]["value"] == exercise.answer
    assert len(told["working"]) == len(made.steps)


def test_a_wrong_answer_between_the_limits_of_another_draw_is_set_beside_them() -> None:
    """On the one scale of a class it must not look right."""
    made = SHELF.mould("coil-low-fill-wall", "L")
    narrow = SHELF.draw("coil-low-fill-wall", 7, "L")
    wide = narrow._replace(accepted=Interval(narrow.answer / 2, narrow.answer * 2))
    for value in (narrow.answer * 1.3, narrow.answer / 1.3):
        wrong = judged(made, narrow, value)
        both = together([(narrow, wrong), (wide, judged(made, wide, wide.answer))])
        assert both is not None
        assert (both.low, both.high) == (0.5, 2.0)
        assert not 0.5 <= both.ratios[0] <= 2.0
        assert both.ratios[1] == 1.0


def test_a_condition_without_a_result_is_not_known() -> None:
    """A root of less than nothing, a division by it, a value that is missing: neither held nor broken."""
    symbols = {"a", "b", "y"}
    test = read_condition("1/a > 2", symbols)
    assert [holds(test, values) for values in ({"a": 0.0}, {"b": 1.0}, {"a": 0.25}, {"a": 4.0})] == [
        None,
        None,
        True,
        False,
    ]
    relations = [read_relation("y = sqrt(a)", symbols), read_relation("b = 2*a", symbols)]
    assert forward(relations, {"a": -1.0}) == {"a": -1.0, "b": -2.0}


def test_a_quantity_of_any_unit_takes_the_unit_typed() -> None:
    """Peak and mean may be volts or amperes, but both the same."""
    volts = work(REAL, "half-wave", {"Ip": "100 V"}, "Iav")
    amperes = work(REAL, "half-wave", {"Ip": "100 A"}, "Iav")
    assert (volts.unit, amperes.unit, volts.value) == ("V", "A", pytest.approx(amperes.value))
    with pytest.raises(NotFound, match="half-wave has no quantity 'Q'"):
        work(REAL, "half-wave", {"Ip": "100 A"}, "Q")


def test_the_working_in_symbols() -> None:
    """Each step by name, with the row that holds for these numbers."""
    made = SHELF.mould("prod-current-asme", "low")
    exercise = SHELF.draw("prod-current-asme", 7, "low")
    (line,) = formulas(made, exercise)
    assert (line.name, line.text) == ("Lowest current", "low = 90 × s")
    assert "<math" in line.mathml


def test_two_slips_are_worked_side_by_side() -> None:
    """The trainee's side has both, each line with the numbers that came in."""
    made, exercise = SHELF.mould("coil-low-fill-wall"), SHELF.draw("coil-low-fill-wall", 7)
    lines = working(made, exercise, ("radius-for-diameter", "ratio-upside-down"))
    assert lines[0].enters
    assert all(line.slip_text for line in lines)
    assert lines[-1].slip_text != lines[-1].right_text


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


def test_a_wrong_end_is_worked_as_it_was_made() -> None:
    """A slip that states its own result stands beside the last line."""
    made = mould(slips=[slip(gives={"y": "a + b"})])
    (line,) = working(made, solved(made, a=3.0, b=4.0), ("a-slip",))
    assert (line.right_text, line.slip_text, line.enters) == (
        "y = a × b = 3 × 4 = 12",
        "y = a + b = 3 + 4 = 7",
        True,
    )


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
