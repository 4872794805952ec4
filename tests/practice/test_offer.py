"""What is offered next, and the reason told with it."""

from datetime import date, timedelta

from trainer.practice.offer import Line, choose
from trainer.practice.skill import Skill, after, replay

TODAY = date(2026, 1, 10)
COIL, PROD, DUTY = (Line(name, None, name) for name in ("coil", "prod", "duty"))
LINES = [COIL, PROD, DUTY]


def test_new_lines_come_in_their_order_with_a_worked_example() -> None:
    """The first meeting is the first line, with an example."""
    offer = choose(LINES, {}, [], TODAY, {})
    assert offer is not None
    assert (offer.line, offer.guidance, offer.reason) == (COIL, "example", "because it is new to you")


def test_due_comes_before_new() -> None:
    """A steady skill whose day has come goes first."""
    steady = replay([(TODAY - timedelta(days=1), True)] * 8)
    offer = choose(LINES, {"duty": steady}, [], TODAY, {})
    assert offer is not None
    assert offer.line == DUTY
    assert "due today" in offer.reason


def test_no_family_twice_in_a_row_when_another_is_open() -> None:
    """After three of a new family another one comes."""
    skill = Skill()
    for _ in range(4):
        skill = after(skill, True, TODAY)
    offer = choose(LINES, {"coil": skill}, ["coil"] * 4, TODAY, {})
    assert offer is not None
    assert offer.line != COIL


def test_a_slip_made_twice_is_the_reason() -> None:
    """The reason names the slip."""
    skill = after(Skill(), False, TODAY)
    offer = choose([COIL], {"coil": skill}, ["coil"], TODAY, {"coil": "the radius went in for the diameter"})
    assert offer is not None
    assert "radius" in offer.reason


def test_nothing_open_today() -> None:
    """When all skills wait for later days there is nothing to offer."""
    steady = replay([(TODAY, True)] * 8)
    assert choose([COIL], {"coil": steady}, [], TODAY, {}) is None
