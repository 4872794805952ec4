"""Today is the day of the place, in every service and page."""

from __future__ import annotations

import ast
import time
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

import trainer
from trainer.services.keeping.moments import local_day

ROOT = Path(trainer.__file__).parent


@pytest.fixture
def in_auckland(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """The machine stands thirteen hours east of UTC."""
    monkeypatch.setenv("TZ", "UTC-13")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="this system cannot be moved to another zone")
@pytest.mark.usefixtures("in_auckland")
def test_the_morning_in_the_east_is_today() -> None:
    """At eight in the morning thirteen hours east it is the new day, though UTC still counts the old one."""
    assert local_day(datetime(2026, 11, 24, 19, 0, tzinfo=UTC)) == date(2026, 11, 25)


@pytest.mark.parametrize("room", ["services", "web"])
def test_nothing_takes_the_day_of_utc(room: str) -> None:
    """No service or page cuts a day off the clock by itself: ``now.date()`` would be the day of UTC."""
    wrong = []
    files = sorted((ROOT / room).rglob("*.py"))
    assert files
    for file in files:
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if (
                isinstance(node, ast.Call)
                and isinstance(node.func, ast.Attribute)
                and node.func.attr == "date"
            ):
                source = ast.unparse(node.func.value)
                if "clock()" in source or source in {"now", "moment"} or "UTC" in source:
                    wrong.append(f"{file.name}: {ast.unparse(node)}")
    assert not wrong
