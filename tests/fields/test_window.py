"""The windows and limits say where they come from."""

from __future__ import annotations

import pytest

from trainer.fields.window import INSTRUMENTS, LIMITS, WINDOWS
from trainer.formulas.units import convert


def test_windows_in_both_units() -> None:
    """30 and 60 G in air are the window's ends; 36 in is the distance of instruments."""
    window = WINDOWS["asme"]
    assert (window.low, window.high) == pytest.approx((30 * 79.577, 60 * 79.577), rel=1e-4)
    assert convert(36, "in", "m") == pytest.approx(INSTRUMENTS)


def test_what_was_not_read_says_so() -> None:
    """A window or limit from memory is marked as such in its status and its words."""
    for one in (*WINDOWS.values(), *LIMITS):
        assert one.status in {"seen", "memory"}
        assert one.status == "seen" or "remembered" in one.document or "unconfirmed" in one.document
