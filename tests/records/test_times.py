"""Times as signed files state them, and the days in them."""

from __future__ import annotations

from datetime import date

import pytest

from trainer.errors import Unreadable
from trainer.records.times import day_of, is_time


@pytest.mark.parametrize(
    "text",
    [
        "2026-03-02T09:15:00Z",
        "2026-03-02T09:15:00.5Z",
        "2026-03-02T23:59:59+14:00",
        "2026-03-02T00:00:00-08:00",
    ],
)
def test_the_day_is_the_writers(text: str) -> None:
    """The day is read as it was written, whatever day it was elsewhere."""
    assert is_time(text) is True
    assert day_of(text, "validFrom") == date(2026, 3, 2)


@pytest.mark.parametrize(
    "value",
    [
        "2026-03-02", "2026-03-02T09:15:00", "2026-03-02 09:15:00Z", "2026-3-2T09:15:00Z", "2026-02-30T09:15:00Z",
        "2026-03-02T09:15:00Z\n", " 2026-03-02T09:15:00Z", "2026-03-02T09:15Z", "", 20260302, None, ["2026-03-02"],
    ],
)  # fmt: skip
def test_what_is_no_time(value: object) -> None:
    """A day alone, a time without its zone, a day that is not in the calendar, and what is no text."""
    assert is_time(value) is False
    with pytest.raises(Unreadable, match="validFrom is not written as a time"):
        day_of(value, "validFrom")
