"""Formula text: read into the tree that was meant, or refused at once with a sentence."""

from __future__ import annotations

import re

import pytest
from hypothesis import given

from tests.formulas.random_trees import CHOICES, SYMBOLS, TREES
from tests.work import calls_in
from trainer.formulas.reading import FormulaFault, read_condition, read_relation, read_tree
from trainer.formulas.tree import Binary, Call, Name, Negative, Number, Relation, Tree, written

KNOWN = set(SYMBOLS)
MOST_CALLS = 5000  # about a millisecond of work


@given(TREES)
def test_written_tree_reads_back(tree: Tree) -> None:
    """What a tree is written as reads to the same tree."""
    text = written(tree)
    if len(text) <= 400:
        assert read_tree(text, KNOWN) == tree


@given(CHOICES)
def test_written_choice_reads_back(tree: Tree) -> None:
    """A choice of cases is written and read without loss."""
    text = written(tree)
    if len(text) <= 400:
        assert read_tree(text, KNOWN) == tree


def test_relation_has_two_sides() -> None:
    """A relation keeps its sides, and powers bind before a sign."""
    assert read_relation("L = -D**2", KNOWN) == Relation(
        Name("L"), Negative(Binary("^", Name("D"), Number("2")))
    )


def test_power_goes_from_the_right() -> None:
    """2**3**2 is 2**(3**2), as in every book."""
    two, three = Number("2"), Number("3")
    assert read_tree("2**3**2", KNOWN) == Binary("^", two, Binary("^", three, two))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("L" * 100_000, "longer than 400"),
        ("(" * 100_000, "longer than 400"),
        ("(" * 300, "deeper than 40"),
        ("-" * 300 + "L", "deeper than 40"),
        ("2**" * 100 + "2", "deeper than 40"),
        ("sqrt(" * 70 + "L" + ")" * 40, "deeper than 40"),
        ("os", "'os' is not a quantity"),
        ("__import__", "'_' cannot stand"),
        ("L.real", "'.' cannot stand"),
        ("eval(L)", "there is no function 'eval'"),
        ("L[0]", "'[' cannot stand"),
        ("'L'", "cannot stand"),
        ("lambda: L", "':' cannot stand"),
        ("２*L", "'２' cannot stand"),
        ("L\u200b", "cannot stand"),
        ("L\x00", "cannot stand"),
        ("nan", "'nan' is not a quantity"),
        ("inf", "'inf' is not a quantity"),
        ("", "ends too early"),
        ("L +", "ends too early"),
        ("L D", "left over"),
        ("(L", "')' is missing"),
        ("min(L)", "takes 2 to 4 values"),
        ("sqrt(L, D)", "takes 1 to 1 values"),
        ("L if D", "needs a comparison"),
    ],
)  # fmt: skip
def test_hostile_text_is_refused_at_once(text: str, says: str) -> None:
    """Whatever is no formula gets its sentence after little work, however long it is."""

    def refused() -> None:
        with pytest.raises(FormulaFault, match=re.escape(says)):
            read_tree(text, KNOWN)

    assert calls_in(refused) < MOST_CALLS


def test_large_powers_are_read_but_not_worked_out() -> None:
    """Reading 10**10**10 costs nothing, since reading does not reckon."""
    assert calls_in(lambda: read_tree("10**10**10", KNOWN)) < 200


def test_relation_without_equals_says_how_it_is_written() -> None:
    """The sentence shows what a relation looks like."""
    with pytest.raises(FormulaFault, match="'=' is missing: a relation is written 'NI = K/ratio'"):
        read_relation("L*D", KNOWN)


@pytest.mark.parametrize("text", ["2*L", " 2*L", "2*L  ", "\t2 * L\n"])
def test_blanks_are_nothing(text: str) -> None:
    """Before, between and behind the parts of a formula they change nothing."""
    assert read_tree(text, KNOWN) == Binary("*", Number("2"), Name("L"))


def test_the_longest_formula_is_read() -> None:
    """400 characters are read, and nesting of 40; one more of either is refused."""
    assert read_tree("L".rjust(400), KNOWN) == Name("L")
    assert read_tree("(" * 39 + "L" + ")" * 39, KNOWN) == Name("L")
    for text, says in (("L".rjust(401), "longer than 400"), ("(" * 40 + "L" + ")" * 40, "deeper than 40")):
        with pytest.raises(FormulaFault, match=says):
            read_tree(text, KNOWN)


def test_condition_may_be_a_chain() -> None:
    """A chain of comparisons keeps all its parts."""
    assert read_condition("2 <= L < 4", KNOWN).operators == ("<=", "<")


ONE = ["sqrt", "ln", "log10", "exp", "sin", "cos", "tan", "asin", "acos", "atan", "ceil", "floor", "abs"]


@pytest.mark.parametrize("name", [*ONE, "min", "max"])
def test_a_function_takes_its_own_number_of_values(name: str) -> None:
    """One for most, two to four for the least and the greatest of several; any other number is refused."""
    for count in range(7):
        text = f"{name}({', '.join('a' * count)})"
        if count == 1 if name in ONE else 2 <= count <= 4:
            assert isinstance(read_tree(text, {"a"}), Call)
        else:
            with pytest.raises(FormulaFault):
                read_tree(text, {"a"})
