"""Maps of specimens: read line by line, refused with the number of the line."""

from __future__ import annotations

import pytest

from tests.work import calls_in
from trainer.errors import Refused
from trainer.examinations.specimen import Known, read_map, write_map

TEXT = "toe crack; 120; 45,5; 8; must\n\nundercut ; 0; 10; 30"


def test_a_map_is_read_and_written() -> None:
    """Kind, two places, length; must at the end; commas and points alike; empty lines are nothing."""
    found = read_map(TEXT)
    assert found == (Known("toe crack", "120", "45.5", "8", True), Known("undercut", "0", "10", "30"))
    assert read_map(write_map(found)) == found
    assert [Known.of_data(one.as_data()) for one in found] == list(found)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "The map is empty"),
        ("crack; 1; 2", "Line 1 of the map: write kind"),
        ("crack; 1; 2; 3\n; 1; 2; 3", "Line 2"),
        ("crack; 1; 2; long", "'long' is no length"),
        ("crack; -1; 2; 3", "'-1' is no length"),
        ("crack; 1; NaN; 3", "no length"),
        ("crack; 1; 1e9; 3", "no length"),
        ("crack; 1; 2; 99999", "no length"),
        ("crack\u202e; 1; 2; 3", "write kind"),
        ("a; 1; 1; 1\n" * 13, "at most 12"),
    ],
)
def test_faulty_maps_are_refused(text: str, says: str) -> None:
    """Each gets one sentence."""
    with pytest.raises(Refused, match=says):
        read_map(text)


def test_a_hostile_map_costs_little() -> None:
    """Millions of characters are cut before they are looked at."""

    def act() -> None:
        with pytest.raises(Refused):
            read_map("9;" * 1_000_000)

    assert calls_in(act) < 20_000
