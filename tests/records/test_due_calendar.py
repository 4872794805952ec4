"""Due dates that a calendar program opens."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from hypothesis import given
from hypothesis import strategies as st
from icalendar import Calendar

from trainer.records.calendar import Due, calendar_bytes, uid_of

MADE = datetime(2026, 3, 2, 9, 15, tzinfo=UTC)
DUE = Due(
    "TV-11", "Tess", "vision_near", "Near vision", date(2026, 12, 18), "SNT-2020", "Good until 18 December."
)


def test_it_is_an_all_day_event() -> None:
    """The event covers the last good day and no hour of another one."""
    (event,) = Calendar.from_ical(calendar_bytes([DUE], MADE)).walk("VEVENT")
    assert event.decoded("dtstart") == date(2026, 12, 18)
    assert event.decoded("dtend") == date(2026, 12, 19)
    assert event.decoded("dtstamp") == MADE
    assert str(event["summary"]) == "Tess: Near vision runs out"
    assert str(event["description"]) == "Good until 18 December."


def test_a_moved_date_is_the_same_event() -> None:
    """A new date keeps the identity; another person, prerequisite or scheme has another."""
    assert uid_of(DUE) == uid_of(replace(DUE, on=date(2027, 12, 18), person="Tess T.", says=""))
    others = {uid_of(replace(DUE, **{field: "x"})) for field in ("person_id", "prerequisite", "scheme")}
    assert len(others | {uid_of(DUE)}) == 4


def test_the_same_bytes_in_any_order() -> None:
    """The order in which due dates come does not change the file."""
    other = replace(DUE, person_id="TV-12", person="Omar")
    assert calendar_bytes([DUE, other], MADE) == calendar_bytes([other, DUE], MADE)


@given(
    st.text(st.characters(exclude_categories=["Cs", "Cc"])), st.text(st.characters(exclude_categories=["Cs"]))
)
def test_hostile_text_makes_no_second_event(person: str, says: str) -> None:
    """Whatever stands in a name or remark, there is one event, and no line is over 75 octets."""
    hostile = "\r\nEND:VEVENT\r\nBEGIN:VEVENT\r\nSUMMARY:x"
    data = calendar_bytes([replace(DUE, person=person + hostile, says=says + hostile)], MADE)
    assert len(Calendar.from_ical(data).walk("VEVENT")) == 1
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))


def test_an_empty_calendar_opens() -> None:
    """With nothing due there is still a calendar."""
    assert Calendar.from_ical(calendar_bytes([], MADE)).walk("VEVENT") == []
