"""What is offered next, and the reason told with it."""

from datetime import date, timedelta

from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.offer import Line, choose, guidance
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


def test_help_fades_over_the_first_two_meetings() -> None:
    """An example, then the last steps written out, then plain for good."""
    skill, seen = Skill(), []
    for _ in range(4):
        seen.append(guidance(skill))
        skill = after(skill, True, TODAY)
    assert seen == ["example", "start", "plain", "plain"]


def test_the_finds_of_one_family_take_turns() -> None:
    """Of two lines of a family the one that came less often is next."""
    current, turns = Line("coil", "I", "coil"), Line("coil", "N", "coil")
    offer = choose([current, turns], {}, [], TODAY, {}, {current: 2, turns: 1})
    assert offer is not None
    assert offer.line == turns


def test_an_overdue_skill_says_since_when() -> None:
    """A day that has passed is named."""
    steady = replay([(TODAY - timedelta(days=4), True)] * 8)
    offer = choose([DUTY], {"duty": steady}, [], TODAY, {})
    assert offer is not None
    assert offer.reason == "because it was due on 7 January"


def test_six_are_begun_side_by_side_and_the_longest_unseen_is_next() -> None:
    """Five begun leave room for a new one; with six the one that came longest ago is taken."""
    lines = [Line(name, None, name) for name in "abcdefg"]
    learning = replay([(TODAY, False)] * 3)
    begun = dict.fromkeys("abcde", learning)
    offer = choose(lines, begun, list("abcde"), TODAY, {})
    assert offer is not None
    assert offer.line.drill == "f"
    offer = choose(lines, begun | {"f": learning}, list("bacdeffff"), TODAY, {})
    assert offer is not None
    assert offer.line.drill == "b"


@given(st.lists(st.tuples(st.integers(0, 2), st.booleans()), min_size=20, max_size=120))
def test_once_steady_never_twice_in_a_row(log: list[tuple[int, bool]]) -> None:
    """Whatever is answered on whatever days, a skill that is steady or proven is not offered right again."""
    skills: dict[str, Skill] = {}
    recent: list[str] = []
    day = TODAY
    for step, right in log:
        day += timedelta(days=step)
        recent = [] if step else recent
        offer = choose(LINES, skills, recent, day, {})
        if offer is None:
            continue
        family = offer.line.family
        known = skills.get(family, Skill())
        assert known.state == "begun" or recent[-1:] != [family]
        skills[family] = after(known, right, day)
        recent.append(family)
