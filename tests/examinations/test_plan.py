"""Plans of drill examinations: what a paper is made of, and what cannot be one."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.errors import Refused
from trainer.examinations.plan import MOST_ITEMS, Line, Plan, checked

FINDS = {"coil": ("I", "N", "L"), "prod": ("I",)}
lines = st.lists(
    st.builds(Line, st.sampled_from(["coil", "prod"]), st.sampled_from([None, "I"]), st.integers(1, 10)),
    min_size=1,
    max_size=4,
    unique_by=lambda line: (line.drill, line.find),
)
plans = st.builds(
    Plan, lines.map(tuple), st.integers(1, 100), st.sampled_from(["", "general"]), st.booleans()
)


@given(plans)
def test_a_paper_has_what_the_plan_says(plan: Plan) -> None:
    """As many items as planned, each an unknown of its drill; kept and read back it is the same plan."""
    items = checked(plan).items(FINDS)
    assert len(items) == plan.size <= MOST_ITEMS
    assert all(find in FINDS[drill] for drill, find in items)
    assert Plan.of_data({**plan.as_data(), "paused_at": "now"}) == plan


def test_unknowns_take_turns() -> None:
    """A line without an unknown asks for each in turn."""
    items = Plan((Line("coil", None, 4),), 80).items(FINDS)
    assert [find for _, find in items] == ["I", "N", "L", "I"]


@pytest.mark.parametrize(
    ("plan", "says"),
    [
        (Plan((), 80), "at least one drill"),
        (Plan((Line("coil", None, 0),), 80), "1 to 10"),
        (Plan((Line("coil", None, 11),), 80), "1 to 10"),
        (Plan((Line("coil", None, 1), Line("coil", None, 2)), 80), "twice"),
        (Plan(tuple(Line(f"d{i}", None, 10) for i in range(7)), 80), "at most 60"),
        (Plan((Line("coil", None, 1),), 0), "pass mark"),
        (Plan((Line("coil", None, 1),), 80, "practical"), "general or the specific"),
    ],
)
def test_what_is_no_plan_is_told(plan: Plan, says: str) -> None:
    """A sentence says what to write instead."""
    with pytest.raises(Refused, match=says):
        checked(plan)
