"""The house's own numbers never change."""

from __future__ import annotations

from trainer.drills.numbers import Numbers


def test_fixed_vector() -> None:
    """This stream is the same for ever, on every machine; a change here would change every exercise."""
    stream = Numbers("vector")
    assert [stream.below(1000) for _ in range(18)] == [
        832, 715, 946, 240, 82, 108, 416, 52, 992, 392, 676, 852, 352, 136, 828, 489, 87, 115,
    ]  # fmt: skip


def test_numbers_stay_below_and_spread() -> None:
    """Every value from 0 to n - 1 comes up about equally often."""
    stream = Numbers("spread")
    seen = [stream.below(7) for _ in range(7000)]
    assert set(seen) == set(range(7))
    assert all(800 < seen.count(value) < 1200 for value in range(7))
