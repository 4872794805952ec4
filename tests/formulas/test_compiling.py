"""Compiled formulas give what walking the tree gives."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.formulas.random_trees import SYMBOLS, TREES, walked
from trainer.formulas.compiling import NoCase, compiled, compiled_test, compiled_tree
from trainer.formulas.reading import read_condition, read_tree
from trainer.formulas.tree import Tree

KNOWN = set(SYMBOLS)


def _outcome(make: object, *values: float) -> float | None:
    try:
        return float(make(*values))  # type: ignore[operator]
    except (ArithmeticError, ValueError):
        return None


@given(TREES, st.lists(st.floats(0.01, 100), min_size=3, max_size=3))
def test_compiled_equals_walked(tree: Tree, values: list[float]) -> None:
    """The compiled function and an independent walk agree, also on where there is no value."""
    one = _outcome(compiled_tree(SYMBOLS, tree), *values)
    two = _outcome(lambda *row: walked(tree, dict(zip(SYMBOLS, row, strict=True))), *values)
    both_nan = one is not None and two is not None and math.isnan(one) and math.isnan(two)
    assert one == two or both_nan


def test_steps_build_on_each_other() -> None:
    """Steps run in order and each sees those before it."""
    steps = [("x1", read_tree("L/D", KNOWN)), ("y", read_tree("45000/min(x1, 15)", KNOWN))]
    assert compiled(["L", "D"], steps, ["x1", "y"])(10.0, 2.0) == (5.0, 9000.0)


def test_choice_takes_the_first_case_that_holds() -> None:
    """The first case whose condition holds counts, and none holding is an error of its own."""
    rule = compiled_tree(["L"], read_tree("1 if L < 2, 2 if L < 4", KNOWN))
    assert (rule(1.0), rule(2.0)) == (1.0, 2.0)
    with pytest.raises(NoCase):
        rule(4.0)


def test_angles_are_degrees() -> None:
    """Sine and its inverse work in degrees."""
    assert compiled_tree(["L"], read_tree("sin(L)", KNOWN))(30.0) == pytest.approx(0.5)
    assert compiled_tree(["L"], read_tree("asin(L)", KNOWN))(0.5) == pytest.approx(30.0)


def test_rounding_up_forgives_a_rounding_remainder() -> None:
    """A whole number that floating point missed by a hair stays whole."""
    up = compiled_tree(["L"], read_tree("ceil(L)", KNOWN))
    assert (up(3 + 1e-12), up(3.1), up(0.1 * 3 * 10)) == (3.0, 4.0, 3.0)


def test_root_of_a_negative_number_is_an_error() -> None:
    """No complex number comes out of a power."""
    with pytest.raises(ValueError, match="root of a negative"):
        compiled_tree(["L"], read_tree("(-L)**0.5", KNOWN))(4.0)


def test_condition_chain_holds_only_when_all_hold() -> None:
    """2 <= L < 4 is two comparisons."""
    test = compiled_test(["L"], read_condition("2 <= L < 4", KNOWN))
    assert [test(v) for v in (1.9, 2.0, 3.9, 4.0)] == [False, True, True, False]


def test_nothing_but_arithmetic_can_be_reached() -> None:
    """A compiled function sees no builtins."""
    assert compiled_tree(["L"], read_tree("L", KNOWN)).__globals__["__builtins__"] == {}
