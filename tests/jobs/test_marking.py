"""Follow-through: one slip costs the marks of its step and no others, and a wrong step never has marks."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.banks import shipped_shelf
from tests.work import calls_in
from trainer.formulas.typed import AnswerProblem, read_answer
from trainer.jobs.casting import CastJob, JobShelf
from trainer.jobs.draw import DrawnJob, draw, worked
from trainer.jobs.marking import Marked, asked, mark_all, mark_part

SHELF = shipped_shelf()
JOBS = JobShelf(SHELF)
IDS = sorted(SHELF.bank.jobs)
SEEDS = st.integers(0, 2**40)


def typed(cast: CastJob, place: int, value: float, figures: int = 6) -> str:
    """Write an answer as a candidate would, with its unit."""
    mould = cast.parts[place].mould
    unit = mould.read.drill.quantities[mould.find].unit
    return f"{value:.{figures}g} {'' if unit == '1' else unit}".strip()


def carried_on(cast: CastJob, drawn: DrawnJob, first: list[str], figures: int = 6) -> list[str] | None:
    """Answer the rest of a job rightly for the answers so far.

    None where a rule has no result for them, or one that nobody could write (a slip of ten to the minus thirty).
    """
    texts = list(first)
    while len(texts) < len(cast.parts):
        place = len(texts)
        answers = [one.verdict.value for one in mark_all(cast, drawn, texts)]
        own = {
            before: value for _, before in cast.parts[place].earlier if (value := answers[before]) is not None
        }
        try:
            texts.append(typed(cast, place, worked(cast, drawn, place, own).answer, figures))
            read_answer(texts[-1])
        except (AnswerProblem, ArithmeticError, ValueError):
            return None
    return texts


def lost(marked: tuple[Marked, ...]) -> list[int]:
    """The places of the steps that have no marks."""
    return [place for place, one in enumerate(marked) if one.marks == 0]


@settings(max_examples=60)
@given(job=st.sampled_from(IDS), seed=SEEDS, figures=st.sampled_from([4, 6]))
def test_all_right_has_all_marks(job: str, seed: int, figures: int) -> None:
    """Whoever carries four figures or more from step to step has every mark."""
    cast = JOBS.job(job)
    drawn = draw(cast, seed)
    texts = carried_on(cast, drawn, [], figures)
    assert texts is not None
    assert sum(one.marks for one in mark_all(cast, drawn, texts)) == cast.job.marks


@settings(max_examples=150)
@given(job=st.sampled_from(IDS), seed=SEEDS, data=st.data())
def test_one_slip_costs_exactly_its_step(job: str, seed: int, data: st.DataObject) -> None:
    """A listed slip in any step, carried on honestly, loses that step and is named; all others are right."""
    cast = JOBS.job(job)
    drawn = draw(cast, seed)
    place = data.draw(st.integers(0, len(cast.parts) - 1))
    slips = drawn.exercises[place].slips
    if not slips:
        return
    slip = data.draw(st.sampled_from(slips))
    before = carried_on(cast, drawn, [])
    assert before is not None
    texts = carried_on(cast, drawn, [*before[:place], typed(cast, place, slip.value, 9)])
    if texts is None:  # L/D upside down leaves the code without a row: there is nothing to follow
        return
    marked = mark_all(cast, drawn, texts)
    assert lost(marked) == [place]
    assert cast.parts[place].mould.read.drill.slips[slip.place].id in marked[place].verdict.slips


@settings(max_examples=150)
@given(job=st.sampled_from(IDS), seed=SEEDS, data=st.data())
def test_a_wrong_step_never_has_marks(job: str, seed: int, data: st.DataObject) -> None:
    """Whatever stands before: an answer outside every accepted interval, own or right, has no marks."""
    cast = JOBS.job(job)
    drawn = draw(cast, seed)
    place = data.draw(st.integers(1, len(cast.parts) - 1))
    factors = st.sampled_from([0.3, 0.5, 0.9, 1.0, 1.2, 2.0, 3.0])
    own = [drawn.exercises[i].answer * data.draw(factors) for i in range(place)]
    wrong = drawn.exercises[place].answer * data.draw(st.floats(0.05, 20))
    wanted = {before for _, before in cast.parts[place].earlier}
    marked = mark_part(cast, drawn, place, own, typed(cast, place, wrong, 9))
    right = []
    for mixture in range(2 ** len(wanted)):
        chosen = {b: own[b] for i, b in enumerate(sorted(wanted)) if mixture >> i & 1}
        try:
            right.append(worked(cast, drawn, place, chosen).accepted)
        except (ArithmeticError, ValueError):
            continue
    value = marked.verdict.value
    assert value is not None
    if marked.marks:
        assert any(one.holds(value) for one in right)
    elif not cast.parts[place].mould.whole:
        assert not any(one.holds(value) for one in right)


def test_follow_through_says_with_which_answer() -> None:
    """A wrong effective diameter followed rightly: the later step names the step it follows, and its numbers."""
    cast = JOBS.job("job-tube-in-coil")
    drawn = draw(cast, 7)
    outside = drawn.given["OD"]
    first, second = mark_all(cast, drawn, [f"{outside} in", f"{drawn.given['L'] / outside:.5g}"])
    assert (first.marks, first.verdict.slips) == (0, ("outside-used",))
    assert (second.marks, second.followed, second.own) == (1, True, (0,))
    assert second.exercise.given["D"] == outside


def test_the_right_value_stays_right_after_a_slip() -> None:
    """Who finds the slip later and goes on with the right value is right too."""
    cast = JOBS.job("job-tube-in-coil")
    drawn = draw(cast, 7)
    second = mark_all(cast, drawn, [f"{drawn.given['OD']} in", typed(cast, 1, drawn.exercises[1].answer)])[1]
    assert (second.marks, second.followed) == (1, False)


def test_any_value_of_a_band_leads_on() -> None:
    """A current chosen from the code's band is right, and the heat of the leads follows from it."""
    cast = JOBS.job("job-plate-weld-prods")
    drawn = draw(cast, 3)
    for current in (drawn.exercises[0].accepted.low + 1, drawn.exercises[0].accepted.high - 1):
        texts = carried_on(cast, drawn, [f"{current:.0f} A"])
        assert texts is not None
        marked = mark_all(cast, drawn, texts)
        assert lost(marked) == []
        assert marked[3].exercise.given["I"] == float(f"{current:.0f}")


def test_a_step_left_out_goes_on_with_the_right_value() -> None:
    """Nothing written: no marks for that step, the next one builds on the right value."""
    cast = JOBS.job("job-hot-lead")
    drawn = draw(cast, 1)
    marked = mark_all(cast, drawn, ["", typed(cast, 1, drawn.exercises[1].answer)])
    assert [one.marks for one in marked] == [0, 2]
    assert asked(cast, drawn, 1, [None]) == (drawn.exercises[1], ())


def test_own_answers_without_result_give_the_right_ones() -> None:
    """L/D upside down has no row in the code: the right L/D is given to go on with."""
    cast = JOBS.job("job-two-codes")
    drawn = draw(cast, 1)
    assert asked(cast, drawn, 2, [0.2, 9000.0]) == (drawn.exercises[2], ())


def test_an_answer_between_two_counts_is_not_right() -> None:
    """Where rounding decides, both whole numbers are right; nothing between them is."""
    cast = JOBS.job("job-plate-weld-prods")
    drawn = draw(cast, 3)
    for own in (4.0, 5.5, 6.25):
        low, high = worked(cast, drawn, 2, {1: own}).accepted
        marked = mark_part(cast, drawn, 2, [None, own], f"{(low + high) / 2 + 0.5}")
        assert marked.marks == 0


@pytest.mark.parametrize("wild", [1e-300, 1e300, 1e12, 1e-9])
@pytest.mark.parametrize("job", IDS)
def test_wild_answers_cost_little_work(job: str, wild: float) -> None:
    """An absurd earlier answer is followed or given up within a bounded number of calls."""
    cast = JOBS.job(job)
    drawn = draw(cast, 1)

    def act() -> None:
        for place in range(1, len(cast.parts)):
            one = mark_part(cast, drawn, place, [wild] * place, typed(cast, place, wild))
            assert one.verdict.heading

    assert calls_in(act) < 60_000
