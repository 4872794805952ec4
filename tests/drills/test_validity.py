"""Where a relation holds: each documented limit of the shipped drills warns on one side and not on the other."""

from __future__ import annotations

import pytest

from tests.banks import shipped_shelf
from trainer.drills.validity import forward, holds
from trainer.drills.work import work
from trainer.formulas.reading import read_condition, read_relation

SHELF = shipped_shelf()
COIL = {"L": "10 in", "D": "2 in", "N": "5"}


@pytest.mark.parametrize(
    ("drill", "given", "says"),
    [
        ("coil-low-fill-wall", {**COIL, "L": "3.99 in"}, "L/D is under 2"),
        ("coil-low-fill-wall", {**COIL, "L": "6 in"}, "3 or less"),
        ("coil-low-fill-wall", {**COIL, "L": "30.1 in"}, "counts as 15"),
        ("coil-low-fill-wall", {**COIL, "bore": "6 in"}, "no low fill"),
        ("coil-low-fill-wall", {**COIL, "N": "2"}, "Fewer than three turns"),
        ("coil-high-fill", {**COIL, "L": "5.9 in"}, "under 3"),
        ("coil-intermediate-fill", {**COIL, "coil": "7 in"}, "not 2 to 10 times"),
        ("coil-asme", {**COIL, "L": "19 in", "D": "3 in"}, "over 18 in"),
        ("coil-navsea", {**COIL, "L": "3 in"}, "segmented indicator"),
        ("prod-current-asme", {"s": "8.01 in", "t": "1 in"}, "more than 8 in"),
        ("prod-current-asme", {"s": "2.9 in", "t": "1 in"}, "less than 3 in"),
        ("prod-current-iso", {"d": "201 mm", "H": "2 kA/m"}, "more than 200 mm"),
        ("head-shot-rate", {"D": "2 in", "a": "1000 A/in"}, "300 to 800"),
        (
            "conductor-centred",
            {"OD": "4 in", "t": "1 in", "d": "2.5 in", "a": "500 A/in"},
            "thicker than the bore",
        ),
        ("duty-other-current", {"I1": "3000 A", "D1": "0.25", "I2": "1400 A"}, "No duty is over 100"),
        ("cable-shot-rise", {"I": "5000 A", "A": "211600 cmil", "t": "8 s", "T1": "30 degC"}, "above 60"),
    ],
)
def test_a_value_outside_is_warned_of(drill: str, given: dict[str, str], says: str) -> None:
    """The result is still worked out, with a sentence that names what is not met."""
    worked = work(SHELF, drill, given)
    assert worked.value > 0
    assert any(says in text for text in worked.warnings), worked.warnings


@pytest.mark.parametrize(
    ("drill", "given"),
    [
        ("coil-low-fill-wall", COIL),
        ("coil-low-fill-wall", {"L": "762 mm", "D": "50.8 mm", "N": "3", "bore": "6.4 in"}),
        ("coil-high-fill", {"L": "152.4 mm", "D": "50.8 mm", "N": "3"}),
        ("coil-asme", {"L": "457.2 mm", "D": "3 in", "N": "4"}),
        ("prod-current-asme", {"s": "203.2 mm", "t": "19.05 mm"}),
        ("prod-current-asme", {"s": "76.2 mm", "t": "1 in"}),
        ("prod-current-iso", {"d": "20 cm", "H": "2 kA/m"}),
        ("head-shot-rate", {"D": "2 in", "a": "800 A/in"}),
    ],
)
def test_a_value_on_the_limit_is_inside(drill: str, given: dict[str, str]) -> None:
    """What lies on a limit, however its unit was turned, is not warned of."""
    assert work(SHELF, drill, given).warnings == ()


def test_the_result_is_judged_too() -> None:
    """An unknown that comes out beyond a limit is warned of like a given value."""
    worked = work(SHELF, "coil-low-fill-wall", {"N": "5", "I": "9000 A", "D": "2 in"}, "L")
    assert any("under 2" in text for text in worked.warnings)


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
