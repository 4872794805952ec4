"""What the long form changes, one thing at a time; run by hand it asks the tests about each: mutating.py."""

from __future__ import annotations

import random
from pathlib import Path

from tests.faults.mutating import MOST_TESTS, drawn, made, places

TEXT = """
@frozen(order=True)
def near(a: int | None, b: float = 2.5) -> bool | None:
    if not a:
        return None
    return a - 1 <= b and b in (a, a * 3)
"""


def test_comparison_arithmetic_boolean_constant_and_return_are_changed(tmp_path: Path) -> None:
    """Each change stands alone; annotations, decorators and what returns nothing are left as they are."""
    file = tmp_path / "near.py"
    file.write_text(TEXT, encoding="utf-8")
    changes = [made(*place) for place in places(file)]
    assert {(one.was, one.now) for one in changes} == {
        ("2.5", "3.5"),
        ("2.5", "1.5"),
        ("not a", "+bool(a)"),
        ("return a - 1 <= b and b in (a, a * 3)", "return None"),
        ("a - 1 <= b and b in (a, a * 3)", "a - 1 <= b or b in (a, a * 3)"),
        ("a - 1 <= b", "a - 1 < b"),
        ("a - 1 <= b", "a - 1 > b"),
        ("b in (a, a * 3)", "b not in (a, a * 3)"),
        ("a - 1", "a + 1"),
        ("1", "2"),
        ("1", "0"),
        ("a * 3", "a / 3"),
        ("3", "4"),
        ("3", "2"),
    }
    assert len(changes) == 14
    for one in changes:
        compile(one.tree, str(file), "exec")
    assert {one.line for one in changes} == {3, 4, 6}


def test_no_function_waits_for_the_cases_of_another() -> None:
    """Of a thousand cases of one test and two other tests both others are asked first, and each is asked once."""
    many = [f"t.py::one[{number}]" for number in range(1000)]
    first, *others = drawn([*many, "t.py::two", "t.py::three"], random.Random(0))
    assert {"t.py::two", "t.py::three"} < set(first[:3])
    assert len(first) == MOST_TESTS
    assert sorted(first + [test for part in others for test in part]) == sorted(
        [*many, "t.py::two", "t.py::three"]
    )
