"""Modules stay small and have names that say what they are about; text is never evaluated."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.house.reading import calls, dotted, modules

MOST_LINES = 300
EMPTY_WORDS = frozenset(
    {"utils", "util", "helpers", "helper", "manager", "managers", "base", "common", "misc"}
)
EVALUATING = frozenset({"eval", "exec", "sympify", "parse_expr"})


@pytest.mark.parametrize("file", modules(), ids=dotted)
def test_no_module_is_long(file: Path) -> None:
    """A module of more than 300 lines is to be split by noun."""
    lines = len(file.read_text(encoding="utf-8").splitlines())
    assert lines <= MOST_LINES, f"{dotted(file)} has {lines} lines; split it by noun"


@pytest.mark.parametrize("file", modules(), ids=dotted)
def test_names_say_something(file: Path) -> None:
    """No module or folder is called after nothing in particular."""
    empty = EMPTY_WORDS & set(dotted(file).split("."))
    assert not empty, f"{dotted(file)}: {', '.join(empty)} says nothing; name it after its noun"


@pytest.mark.parametrize("file", modules(), ids=dotted)
def test_text_is_never_evaluated(file: Path) -> None:
    """Nothing in the house hands text to Python, or to a library that would."""
    found = [f"line {line}: {name}" for line, name in calls(file) if name in EVALUATING]
    assert not found, f"{dotted(file)} evaluates text: {', '.join(found)}"
