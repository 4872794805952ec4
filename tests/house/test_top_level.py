"""The top of the house holds what the design card names, and what tools demand."""

from __future__ import annotations

from pathlib import Path

HOUSE = Path(__file__).parents[2]
CARD = {
    *("README.md", "DEVELOPERS.md", "pyproject.toml"),
    *("trainer", "question_bank", "templates", "tests", "instance"),
}
DEMANDED = {".ci", ".git", ".gitignore"}
MADE = {
    *(".venv", ".pytest_cache", ".mypy_cache", ".ruff_cache", ".hypothesis", ".coverage"),
    *("wheelhouse", "wheelhouse.part", "dist", "build"),
}


def test_nothing_else_lies_at_the_top() -> None:
    """A new thing goes into one of the rooms."""
    assert {path.name for path in HOUSE.iterdir()} - CARD - DEMANDED - MADE == set()
