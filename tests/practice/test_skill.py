"""The practice rule against worked sequences, and its laws."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.practice.skill import Skill, after, gaps, least_left, replay, sentences

DAY = date(2026, 1, 1)
EIGHT = [(0, 1)] * 8
BEGUN7 = ["begun"] * 7

# Own worked sequences of the rule: (day, right) in order, and the state after each.
SEQUENCES = [
    ([*EIGHT, (1, 1), (4, 1)], [*BEGUN7, "steady", "steady", "proven"]),
    ([*EIGHT, (0, 1), (1, 1), (3, 1), (4, 1)], [*BEGUN7, "steady", "steady", "steady", "steady", "proven"]),
    (
        [*EIGHT, (1, 1), (4, 1), (10, 0), (11, 1), (13, 1), (14, 1)],
        [*BEGUN7, "steady", "steady", "proven", "steady", "steady", "steady", "proven"],
    ),
    ([*EIGHT, (1, 0), (1, 1), (1, 1), (1, 1)], [*BEGUN7, "steady", "begun", "begun", "begun", "steady"]),
    (
        [*EIGHT, (1, 1), (4, 1), (10, 0), (10, 0), (11, 1)],
        [*BEGUN7, "steady", "steady", "proven", "steady", "begun", "begun"],
    ),
    ([(0, i % 2 == 0) for i in range(16)], ["begun"] * 16),
]


@pytest.mark.parametrize(("answers", "states"), SEQUENCES)
def test_worked_sequences(answers: list[tuple[int, int]], states: list[str]) -> None:
    """Each worked sequence passes through exactly these states."""
    skill = Skill()
    seen = []
    for day, right in answers:
        skill = after(skill, bool(right), DAY + timedelta(days=day))
        seen.append(skill.state)
    assert seen == states


@pytest.mark.parametrize(
    ("retention", "ladder"),
    [(365, [1, 3, 6, 12, 24, 36]), (120, [1, 3, 6, 12]), (90, [1, 3, 6, 9]), (20, [1, 3])],
)
def test_gap_ladder(retention: int, ladder: list[int]) -> None:
    """Gaps double from 3 up to a tenth of the retention wanted (Cepeda and others 2008: best gap grows with it)."""
    assert gaps(retention) == ladder


answer_log = st.lists(st.tuples(st.integers(0, 3), st.booleans()), max_size=60)


@given(answer_log)
def test_laws(log: list[tuple[int, bool]]) -> None:
    """A right answer never lowers the average, a miss never raises it, and no due day lies in the past."""
    skill, day = Skill(), DAY
    for step, right in log:
        day += timedelta(days=step)
        before = skill
        skill = after(skill, right, day)
        assert (skill.theta >= before.theta) if right else (skill.theta <= before.theta)
        assert 0 <= skill.theta <= 1
        assert (
            skill.state == "begun" or skill.due_on is None or skill.due_on >= min(day, before.due_on or day)
        )


@given(answer_log)
def test_replay_equals_step_by_step(log: list[tuple[int, bool]]) -> None:
    """The state can be recomputed from the log of answers."""
    day, dated, skill = DAY, [], Skill()
    for step, right in log:
        day += timedelta(days=step)
        dated.append((day, right))
        skill = after(skill, right, day)
    assert replay(dated) == skill


@given(answer_log)
def test_least_left_is_what_it_takes(log: list[tuple[int, bool]]) -> None:
    """That many right answers, each on a day of its own four days later, prove the skill; one less does not."""
    day, skill = DAY, Skill()
    for step, right in log:
        day += timedelta(days=step)
        skill = after(skill, right, day)
    for left in range(least_left(skill), 0, -1):
        assert (skill.state == "proven", least_left(skill)) == (False, left)
        day += timedelta(days=4)
        skill = after(skill, True, day)
    assert skill.state == "proven"


def test_the_rule_is_said_in_two_sentences() -> None:
    """Each state explains itself."""
    states = {"begun": Skill(), "steady": replay([(DAY, True)] * 8)}
    for skill in states.values():
        assert all(text.endswith(".") for text in sentences(skill, DAY))
