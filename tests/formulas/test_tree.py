"""What can be told of a tree: what it mentions, whether it rounds, and what it becomes with other parts."""

from __future__ import annotations

import pytest

from trainer.formulas.reading import read_tree
from trainer.formulas.tree import Name, mentions, names, replaced, rounds, written

KNOWN = {"a", "b", "c"}


@pytest.mark.parametrize(
    ("text", "does"),
    [
        ("ceil(a)", True),
        ("floor(a)", True),
        ("2*ceil(a/b) + 1", True),
        ("sqrt(-floor(a))", True),
        ("a if b < ceil(c)", True),
        ("a/b", False),
        ("min(abs(a), b)", False),
    ],
)
def test_rounding_is_found_wherever_it_stands(text: str, does: bool) -> None:
    """Rounding up or down is found at the top, deep inside and in a condition; a limit is none."""
    assert rounds(read_tree(text, KNOWN)) is does


def test_every_quantity_is_found_and_no_constant() -> None:
    """Quantities come in reading order, from conditions too; pi and mu0 are none."""
    tree = read_tree("pi*a + b if c <= a, -mu0 if b > 2", KNOWN)
    assert list(names(tree)) == ["a", "b", "c", "a", "b"]
    assert [mentions(tree, symbol) for symbol in ("a", "c", "pi", "d")] == [True, True, False, False]


def test_a_quantity_is_replaced_wherever_it_stands() -> None:
    """In products, functions, powers, under a minus and in conditions; what is not named stays."""
    tree = read_tree("-a*sqrt(a) + b**a if a < 2, c if 1 < a", KNOWN)
    other = read_tree("-x*sqrt(x) + b**x if x < 2, c if 1 < x", {"b", "c", "x"})
    assert replaced(tree, {"a": Name("x")}) == other


@pytest.mark.parametrize(
    "text",
    [
        "-a + b", "a - b - c", "a - (b - c)", "a + (b + c)", "a*b/c", "a/(b*c)", "(a + b)*c", "a**b**c", "(a**b)**c",
        "-a**2", "-(a*b)", "2*sqrt(a - b)", "min(a, b, 2)*c", "a**(-2)", "a + b if 2 <= c < 4, a*b if c == 1",
    ],
)  # fmt: skip
def test_no_bracket_too_many_is_written(text: str) -> None:
    """What a person writes without needless brackets is written back sign by sign."""
    assert written(read_tree(text, KNOWN)) == text
