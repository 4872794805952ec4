"""Moulds: which way leads to a find, which slips have one, and where there is none."""

from __future__ import annotations

import pytest

from tests.banks import small_shelf
from tests.drills.making import asked, mould, read, slip, written_drill
from trainer.drills.mould import NoWay, cast_for
from trainer.errors import NotFound
from trainer.formulas.solved import SolvedForms

SHELF = small_shelf()


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


def test_slips_that_touch_the_same_are_not_made_together() -> None:
    """Nor is one that gives an end of its own; two that put different things in are."""
    half, third = (slip(id=f"a-{by}", put={"a": f"a/{by}"}) for by in (2, 3))
    made = mould(
        slips=[half, third, slip(id="b-half", put={"b": "b/2"}), slip(id="sum", gives={"y": "a + b"})]
    )
    assert all(made.slips)
    found = {(one, two) for two in range(4) for one in range(two) if made.pair(one, two) is not None}
    assert found == {(0, 2), (1, 2)}


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
