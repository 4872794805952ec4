"""Modules stay small and have names that say what they are about; text is never evaluated."""

from __future__ import annotations

from tests.house.reading import dotted, modules, read

MOST_LINES = 300
EMPTY_WORDS = frozenset(
    {"utils", "util", "helpers", "helper", "manager", "managers", "base", "common", "misc"}
)
EVALUATING = frozenset({"eval", "exec", "sympify", "parse_expr"})


def test_no_module_is_long() -> None:
    """A module of more than 300 lines is to be split by noun."""
    lines = {dotted(file): len(file.read_text(encoding="utf-8").splitlines()) for file in modules()}
    assert {name: count for name, count in lines.items() if count > MOST_LINES} == {}


def test_names_say_something() -> None:
    """No module or folder is called after nothing in particular."""
    assert [name for name in map(dotted, modules()) if EMPTY_WORDS & set(name.split("."))] == []


def test_text_is_never_evaluated() -> None:
    """Nothing in the house hands text to Python, or to a library that would."""
    found = {
        (dotted(file), line, name)
        for file in modules()
        for line, name in read(file).calls
        if name in EVALUATING
    }
    assert found == set()
