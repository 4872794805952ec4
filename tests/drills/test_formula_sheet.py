"""The formula sheets of the shipped bank: every relation is on them, with symbols, limits and sources."""

from __future__ import annotations

import xml.etree.ElementTree as ET

import pytest

from tests.banks import shipped_shelf
from tests.drills.making import read, written_drill
from trainer.drills.formula_sheet import Formula, formula_of
from trainer.formulas.tree import Choice

SHELF = shipped_shelf()


def of(drill: str) -> Formula:
    """The formulas of one drill."""
    return formula_of(SHELF.read(SHELF.bank.drill(drill)))


@pytest.mark.parametrize("drill", sorted(SHELF.bank.drills))
def test_every_relation_is_written(drill: str) -> None:
    """One sound equation a case; each symbol of it is explained; the source is named."""
    found, read = of(drill), SHELF.read(SHELF.bank.drill(drill))
    cases = sum(len(r.right.cases) if isinstance(r.right, Choice) else 1 for r in read.relations)
    assert len(found.equations) == cases
    for equation in found.equations:
        for math in equation.mathml.split(" <math ")[1:]:
            ET.fromstring(f"<math {math}")
        assert "None" not in equation.text
        left, _, right = equation.text.partition(" = ")
        assert left.replace(" ", "") != right.replace(" ", "")
    assert {s.name for s in found.signs} >= {
        q.name for s, q in read.drill.quantities.items() if any(s in r.symbols for r in read.relations)
    }
    assert found.sources == read.drill.sources


def test_a_choice_is_written_case_by_case() -> None:
    """The two rows of ASME V stand with their conditions, in the symbols shown."""
    rows = [(e.text, e.holds) for e in of("coil-asme").equations]
    assert ("NI = 35000 / (L/D + 2)", "L/D ≥ 4") in rows
    assert ("NI = 45000 / (L/D)", "2 ≤ L/D < 4") in rows


@pytest.mark.parametrize(("fixed", "shown"), [(45000, "45\u202f000"), (1.2566371, "1.25664"), (0.1, "0.1")])
def test_a_constant_stands_as_the_drill_has_it(fixed: float, shown: str) -> None:
    """Up to six figures of it, and nothing but its worth."""
    quantities = {**written_drill()["quantities"], "c": {"name": "constant", "unit": "1", "fixed": fixed}}
    sheet = formula_of(read(quantities=quantities, relations=["y = a*b*c"]))
    assert [sign.unit for sign in sheet.signs if sign.name == "constant"] == [shown]


def test_a_product_is_told_from_its_name() -> None:
    """NI = N times I shows the sign; L/D is led up to by its name; a constant shows its value."""
    assert "×" in of("coil-ampere-turns").equations[0].mathml
    wall = of("coil-low-fill-wall")
    assert [e.text.split(" = ")[0] for e in wall.equations] == ["length over diameter", "NI", "I"]
    assert next(s.unit for s in wall.signs if s.name == "constant of the rule") == "45\u202f000\u202fA-turn"
