"""Solving: the shipped forms give their relations back, and are complete, so that a warm start needs no sympy."""

from __future__ import annotations

import json
import math
import subprocess
import sys
from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from trainer.drills.checking import check_entry
from trainer.formulas.compiling import compiled_tree
from trainer.formulas.plain import plain
from trainer.formulas.reading import FUNCTIONS, read_relation, read_tree
from trainer.formulas.solved import SolvedForms
from trainer.formulas.solving import _confirmed, _points, solved_for
from trainer.formulas.solving import _gives_back as _gives_relation_back
from trainer.formulas.tree import Choice, Name, Relation, mentions, names, written

HOUSE = Path(__file__).parents[2]
BANK = HOUSE / "question_bank"

ONE_VALUE = [name for name, (_, most) in FUNCTIONS.items() if most == 1]


def _names_in(text: str) -> set[str]:
    import re

    return set(re.findall(r"[A-Za-z][A-Za-z0-9_]*", text))


def _gives_back(relation: Relation, symbol: str, form: str) -> bool:
    flat = Relation(plain(relation.left, symbol), plain(relation.right, symbol))
    others = [s for s in relation.symbols if s != symbol]
    solution = compiled_tree(others, read_tree(form, set(relation.symbols)))
    left, right = (compiled_tree([symbol, *others], side) for side in (flat.left, flat.right))
    held = 0
    for turn, point in enumerate(_points(len(others))):
        if held < 3:
            try:
                value = solution(*point)
                one, two = left(value, *point), right(value, *point)
            except (ArithmeticError, ValueError):
                continue
            if value > 0 and math.isfinite(value):
                near = one == pytest.approx(two, rel=1e-6)
                assert near or turn % 2, (
                    written(relation),
                    symbol,
                    form,
                    point,
                )  # odd points span six decades
                held += near
    return held == 3


def test_every_shipped_form_gives_its_relation_back() -> None:
    """Each solved form of the bank, put into its relation, makes both sides equal."""
    table = json.loads((BANK / "solved.json").read_text(encoding="utf-8"))
    assert len(table) > 100
    for text, forms in table.items():
        relation = read_relation(text, _names_in(text))
        for symbol, form in forms.items():
            if form == written(relation.right) and relation.left == Name(symbol):
                continue  # the relation as it stands
            if form is not None and not isinstance(relation.right, Choice):
                assert _gives_back(relation, symbol, form), (text, symbol, form)


def test_shipped_forms_are_complete() -> None:
    """Casting every find of the bank solves nothing anew."""
    bank, forms = shipped_shelf().bank, SolvedForms.load(BANK / "solved.json")
    for entry in bank.drills.values():
        check_entry(bank, entry, forms)
    assert forms.added == 0


def test_warm_start_does_not_import_sympy() -> None:
    """Drawing an exercise from the shipped bank leaves sympy alone."""
    says = "import sys; from pathlib import Path; from trainer.drills.shelf import Shelf; "
    says += (
        f"Shelf.of_folder(Path({str(BANK)!r})).draw('coil-low-fill-wall', 7); print('sympy' in sys.modules)"
    )
    done = subprocess.run([sys.executable, "-c", says], capture_output=True, text=True, check=True, cwd=HOUSE)
    assert done.stdout.strip() == "False"


@pytest.mark.parametrize(
    ("relation", "symbol", "form"),
    [
        ("NI = K/min(ratio, 15)", "ratio", "K/NI"),
        ("N = ceil(I0/dI)", "I0", "N*dI"),
        ("A = pi/4*d**2", "d", "sqrt(A*4/pi)"),
        ("y = x**2 + x", "x", None),
    ],
)
def test_solutions_are_written_as_a_person_would(relation: str, symbol: str, form: str | None) -> None:
    """Limits and rounding are left out, and the positive branch is taken."""
    read = read_relation(relation, _names_in(relation))
    tree = solved_for(read, symbol)
    assert tree is not None
    if form is not None:
        assert written(tree) == form
    assert _gives_back(read, symbol, written(tree))


def test_unknown_on_both_ends_without_solution_is_none() -> None:
    """Where no checked form exists, none is invented."""
    assert solved_for(read_relation("y = x + ln(x)*sin(x)", {"x", "y"}), "x") is None


def test_each_case_of_a_choice_is_solved_by_itself() -> None:
    """A rule with rows gives the spacing back row by row."""
    tree = solved_for(read_relation("low = 100*s if t >= 0.75, 90*s if t < 0.75", {"low", "s", "t"}), "s")
    assert isinstance(tree, Choice)
    assert written(tree) == "low/100 if t >= 0.75, low/90 if t < 0.75"


def test_damaged_cache_is_solved_again(tmp_path: Path) -> None:
    """A cache that holds nonsense costs time and nothing else."""
    file = tmp_path / "solved.json"
    file.write_text('{"y = 2*x": {"x": "import os"}}', encoding="utf-8")
    forms = SolvedForms.load(file, tmp_path / "absent.json")
    tree = forms.form(read_relation("y = 2*x", {"x", "y"}), "x")
    assert tree is not None
    assert written(tree) == "y/2"
    forms.save(file)
    assert json.loads(file.read_text(encoding="utf-8"))["y = 2*x"]["x"] == "y/2"
    assert not mentions(tree, "x")
    assert list(names(tree)) == ["y"]
    assert tree != Name("y")


@pytest.mark.parametrize(
    ("relation", "symbol", "form"),
    [
        ("y = sqrt(x)", "x", "y**2"),
        ("y = log10(x)", "x", "10**y"),
        ("y = ln(x)", "x", "exp(y)"),
        ("y = exp(x)", "x", "ln(y)"),
        ("y = sin(x)", "x", "asin(y)"),
        ("y = atan(x)", "x", "tan(y)"),
        ("y = a^x", "x", "ln(y)/ln(a)"),
        ("y = x^3", "x", "y**(1/3)"),
        ("y = a - x", "x", "a - y"),
        ("y = a/x", "x", "a/y"),
        ("y = a + -x", "x", "-(y - a)"),
        ("y = x/a/b", "x", "y*b*a"),
        ("y/a = b/x", "x", "b*a/y"),
        ("y/a = x*b", "x", "y/(a*b)"),
        ("y = x/(a/b)", "x", "y*a/b"),
        ("y = a + -ceil(x/b)", "x", "(-(y - a))*b"),
        ("y = a*max(b, x)", "x", "y/a"),
        ("y/a = b", "y", "b*a"),
        ("y = abs(x)", "x", None),
    ],
)
def test_an_unknown_that_stands_once_is_unwound(relation: str, symbol: str, form: str | None) -> None:
    """Each operation is undone by its opposite, and the written shape is kept."""
    read = read_relation(relation, _names_in(relation))
    tree = solved_for(read, symbol)
    assert (tree if tree is None else written(tree)) == form
    assert form is None or _gives_back(read, symbol, form)


@pytest.mark.parametrize(
    ("relation", "holds"),
    [
        ("y = x*exp(1) + x", "exp(1)"),
        ("y = pi*x + x", "pi"),
        ("y = mu0*x + x", "pi"),
        ("y = x*min(a, b) + x", "min(a, b)"),
        ("y = x*a^(-2) + x", "a**2"),
        ("y = a*x + -(x/2)", ""),
        ("y = exp(x) + a*exp(x)", "ln("),
        ("y = sin(x) + a*sin(x)", "asin("),
        ("y = a - x - b*x", "b"),
        ("y = x + a*sqrt(x)", "sqrt("),
        ("1 = x + a*x", "1/(a + 1)"),
        ("y = -ln(x) - a*ln(x)", "exp(-"),
        *((f"y = x*{name}(a) + x", f"{name}(".replace("log10", "ln")) for name in ONE_VALUE),
    ],
)
def test_an_unknown_that_stands_twice_is_solved(relation: str, holds: str) -> None:
    """Constants, functions and what sympy does not know come back as our own, and give the relation back."""
    read = read_relation(relation, _names_in(relation) - {"pi", "mu0", *FUNCTIONS})
    tree = solved_for(read, "x")
    assert tree is not None
    assert holds in written(tree)
    assert _gives_back(read, "x", written(tree))


@pytest.mark.parametrize(
    "relation",
    [
        "y = x^a + x",  # sympy might search without end
        "y = x + x^(1/3)",  # nor here
        "y = x*ln(x)",  # its solution is no function of ours
        "y = x^2*exp(x)",  # nor is this one, which has it in a product,
        "y = exp(1/x)/x",  # below a line,
        "y = sqrt(x)*exp(sqrt(x))",  # as a square,
        "y = (x - a)*exp(x)",  # in a sum
        "y = x + abs(x)",  # the unknown would stand on both sides
        "low = 2*x if a > 3, x + x^a if a < 3",  # one row without a solution, so none
        "y = -x",  # never above zero
    ],
)
def test_what_has_no_checked_form_has_none(relation: str) -> None:
    """Where it cannot be asked, is no function of ours, or is never positive."""
    assert solved_for(read_relation(relation, _names_in(relation) - {*FUNCTIONS, "if"}), "x") is None


def test_a_wrong_form_is_not_confirmed() -> None:
    """What does not give the relation back, or has no value anywhere, is refuted by both checks."""
    read = read_relation("y = 2*a", {"y", "a"})
    for text, good in (
        ("y/2", True),
        ("y/3", False),
        ("-y", False),
        ("1/(y - y)", False),
        ("sqrt(-y)", False),
    ):
        tree = read_tree(text, {"y"})
        assert (_confirmed(read, "a", tree), _gives_relation_back(read, "a", tree)) == (good, good)
    limited = read_relation("y = 2*a*min(b, 3)", {"y", "a", "b"})
    assert _confirmed(limited, "a", read_tree("y/(2*min(b, 3))", {"y", "b"}))


def test_the_plain_form_goes_into_every_part() -> None:
    """Rounding and limits fall away around the unknown only, in brackets, under a minus, in each row."""
    symbols = {"a", "b", "x", "y"}
    for text, flat in (
        ("-ceil(x)", "-x"),
        ("sqrt(floor(x))", "sqrt(x)"),
        ("ceil(a)*max(3, x)", "ceil(a)*x"),
        ("ceil(a)", "ceil(a)"),
    ):
        assert written(plain(read_tree(text, symbols), "x")) == flat
    rows = read_relation("y = ceil(x) if a > 3, min(x, b) if a < 3", symbols).right
    assert written(plain(rows, "x")) == "x if a > 3, x if a < 3"
