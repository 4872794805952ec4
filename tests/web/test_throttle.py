"""How often the door may be tried."""

from __future__ import annotations

import pytest

from trainer.errors import Busy
from trainer.web.throttle import SECONDS, Throttle


class Ticking:
    """A clock that goes when it is told to."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        return self.now


def test_one_try_too_many_waits_until_the_first_is_old_enough() -> None:
    """In any five minutes only so many pass; a refused try does not make the wait longer; names are apart."""
    clock = Ticking()
    throttle = Throttle(2, clock)
    throttle.pass_by("TV-07")
    clock.now += SECONDS / 2
    throttle.pass_by("TV-07")
    for _ in range(3):
        with pytest.raises(Busy, match="Wait five minutes"):
            throttle.pass_by("TV-07")
    throttle.pass_by("TV-08")
    clock.now += SECONDS / 2
    throttle.pass_by("TV-07")
    with pytest.raises(Busy):
        throttle.pass_by("TV-07")


def test_names_of_long_ago_are_forgotten() -> None:
    """Made-up names fill no memory: what was last tried five minutes ago is gone at the next try."""
    clock = Ticking()
    throttle = Throttle(2, clock)
    for number in range(50):
        throttle.pass_by(f"made up {number}")
    clock.now += SECONDS
    throttle.pass_by("TV-07")
    assert list(throttle._tries) == ["TV-07"]
