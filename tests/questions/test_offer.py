"""Which question comes next: new ones first, then missed ones, then the oldest; never the same twice running."""

from __future__ import annotations

from tests.banks import shipped_shelf
from trainer.questions.offer import AGAIN, MISSED, NEW, Past, choose

ENTRIES = [
    one
    for one in shipped_shelf().bank.questions.values()
    if one.topic == "prods" and one.question.pool == "practice"
]


def test_new_ones_first_and_level_one_before_two() -> None:
    """Until all were asked, each comes once, those of Level I before those of Level II."""
    past: list[Past] = []
    for _ in ENTRIES:
        chosen = choose(ENTRIES, past, "7")
        assert chosen is not None
        assert chosen[1] == NEW
        past.append(Past(chosen[0].id, True))
    assert len({one.question for one in past}) == len(ENTRIES)
    levels = {one.id: one.question.level for one in ENTRIES}
    assert [levels[one.question] for one in past] == sorted(levels.values())


def test_missed_ones_come_before_old_ones() -> None:
    """When all were asked, what was missed the last time comes first, then what was asked longest ago."""
    past = [Past(one.id, one.id != ENTRIES[3].id) for one in ENTRIES]
    first = choose(ENTRIES, past, "7")
    assert first is not None
    assert (first[0].id, first[1]) == (ENTRIES[3].id, MISSED)
    again = choose(ENTRIES, [*past, Past(ENTRIES[3].id, True)], "7")
    assert again is not None
    assert (again[0].id, again[1]) == (ENTRIES[0].id, AGAIN)


def test_never_twice_running_unless_alone() -> None:
    """The one just missed waits for another in between; a single question comes again."""
    two = ENTRIES[:2]
    past = [Past(two[0].id, True), Past(two[1].id, False)]
    assert choose(two, past, "7") == (two[0], AGAIN)
    assert choose(two[1:], past, "7") == (two[1], MISSED)
    assert choose([], past, "7") is None


def test_neighbours_start_differently() -> None:
    """People begin a topic at different questions."""
    firsts = [choose(ENTRIES, [], str(person)) for person in range(12)]
    assert len({first[0].id for first in firsts if first}) > 2
