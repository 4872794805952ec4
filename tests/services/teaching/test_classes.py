"""Classes, meetings and attendance: the instructor's own only, exact hours, closed once confirmed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy.orm import Session

from tests.make import NOW, make_class, make_meeting, make_people, make_person, make_plan
from trainer.errors import Conflict, NotFound, Refused
from trainer.services.teaching import classes, meetings
from trainer.services.teaching.meetings import Noted


def test_a_class_has_members_of_its_own_house(session: Session) -> None:
    """Colleagues come onto the roster once; people of another house are not found, and then nobody comes."""
    people = make_people(session)
    made = make_class(session, people.ian)
    assert classes.add_members(session, people.ian, made.id, [people.tess, people.tess], NOW) == 1
    assert classes.add_members(session, people.ian, made.id, [people.tess], NOW) == 0
    with pytest.raises(NotFound):
        classes.add_members(session, people.ian, made.id, [people.emma, people.omar], NOW)
    assert [one.id for one in classes.members(session, people.ian, made.id)] == [people.tess]
    assert classes.sizes(session, [made.id]) == {made.id: 1}


def test_a_member_leaves_and_comes_back(session: Session) -> None:
    """Who was taken off the roster can be put on again."""
    people = make_people(session)
    made = make_class(session, people.ian, people.tess)
    classes.remove_member(session, people.ian, made.id, people.tess, NOW)
    assert classes.members(session, people.ian, made.id) == []
    assert classes.classes_with(session, people.tess) == []
    with pytest.raises(NotFound):
        classes.remove_member(session, people.ian, made.id, people.tess, NOW)
    assert classes.add_members(session, people.ian, made.id, [people.tess], NOW) == 1
    assert [one.id for one in classes.classes_with(session, people.tess)] == [made.id]


@pytest.mark.parametrize(
    "ask",
    [
        classes.own_class,
        classes.members,
        lambda session, by, found: classes.change(session, by, found, "New", "I", date(2026, 11, 2)),
        lambda session, by, found: classes.set_closed(session, by, found, True, NOW),
        lambda session, by, found: classes.add_members(session, by, found, [by], NOW),
        lambda session, by, found: classes.remove_member(session, by, found, 1, NOW),
        lambda session, by, found: meetings.add(session, by, found, make_plan(), NOW),
    ],
    ids=["see", "members", "change", "close", "add", "remove", "meet"],
)
def test_another_instructors_class_is_not_found(
    session: Session, ask: Callable[[Session, int, int], object]
) -> None:
    """A class is its instructor's, also towards a colleague of the same house."""
    people = make_people(session)
    made = make_class(session, people.ian, people.tess)
    other = make_person(session, "TV-01", "Colleague", {"instructor"}).id
    for asker in (other, people.tess, people.omar, 999):
        with pytest.raises(NotFound):
            ask(session, asker, made.id)


@pytest.mark.parametrize(
    "ask",
    [
        meetings.own_meeting,
        classes.attendance,
        lambda session, by, found: meetings.change(session, by, found, make_plan()),
        lambda session, by, found: meetings.drop(session, by, found, NOW),
        lambda session, by, found: meetings.note_attendance(session, by, found, [], NOW),
    ],
    ids=["see", "attendance", "change", "drop", "note"],
)
def test_another_instructors_meeting_is_not_found(
    session: Session, ask: Callable[[Session, int, int], object]
) -> None:
    """A meeting is its instructor's."""
    people = make_people(session)
    made = make_meeting(session, people.ian, make_class(session, people.ian).id)
    other = make_person(session, "TV-01", "Colleague", {"instructor"}).id
    for asker in (other, people.tess, people.omar, 999):
        with pytest.raises(NotFound):
            ask(session, asker, made.id)


def test_titles_of_running_classes_differ(session: Session) -> None:
    """Two running classes of one instructor have two titles; a closed one frees its title."""
    people = make_people(session)
    first = make_class(session, people.ian)
    with pytest.raises(Conflict, match="another title"):
        make_class(session, people.ian, title="mt-1 NOVEMBER")
    classes.set_closed(session, people.ian, first.id, True, NOW)
    second = make_class(session, people.ian)
    assert [one.id for one in classes.classes_of(session, people.ian)] == [second.id, first.id]
    classes.change(session, people.ian, second.id, second.title, "II", date(2026, 11, 3))
    assert (second.level, second.starts_on) == ("II", date(2026, 11, 3))


def test_a_level_is_one_or_two(session: Session) -> None:
    """A class is taught at Level I or II."""
    people = make_people(session)
    with pytest.raises(Refused, match="I or II"):
        classes.make(session, people.ian, "MT-3", "III", date(2026, 11, 2), NOW)


@given(st.decimals("0.01", "24", places=2))
def test_hours_are_read_exactly(hours: Decimal) -> None:
    """Every number of hours up to a day is read as it is written, with point or comma."""
    assert meetings.hours_of(f" {hours} ") == hours == meetings.hours_of(str(hours).replace(".", ","))


@pytest.mark.parametrize(
    "text", ["", "0", "0.00", "-1", "24.01", "1e1", "1.555", "1,800", "two", "٢", "9" * 1000]
)
def test_wrong_hours_are_refused(text: str) -> None:
    """Hours that are none, or more than a day has, are refused."""
    with pytest.raises(Refused, match=r"[Hh]ours"):
        meetings.hours_of(text)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"level": "III"}, "level"),
        ({"content": "talk"}, "content"),
        ({"mode": "web"}, "place"),
        ({"hours": Decimal(0)}, "more than 0"),
        ({"hours": Decimal(25)}, "at most 24"),
        ({"starts_at": time(21, 0)}, "past midnight"),
        ({"subject": " "}, "The subject"),
    ],
)
def test_meetings_that_cannot_be_are_refused(session: Session, change: dict[str, object], says: str) -> None:
    """A meeting must fit its day and use the ledger's words."""
    people = make_people(session)
    made = make_class(session, people.ian)
    with pytest.raises(Refused, match=says):
        make_meeting(session, people.ian, made.id, **change)


def test_a_meeting_may_end_at_midnight(session: Session) -> None:
    """20:00 and four hours is the last that fits its day."""
    people = make_people(session)
    made = make_class(session, people.ian)
    assert make_meeting(session, people.ian, made.id, starts_at=time(20, 0)).hours == 4


def test_attendance_counts_hours(session: Session) -> None:
    """Present counts the meeting's hours, a part its own, absent and not noted none."""
    people = make_people(session)
    others = [make_person(session, f"TV-1{n}", "Somebody").id for n in range(3)]
    made = make_class(session, people.ian, people.tess, *others)
    meeting = make_meeting(session, people.ian, made.id)
    notes = [
        Noted(people.tess, "present"),
        Noted(others[0], "part", Decimal("1.25")),
        Noted(others[1], "absent", Decimal(2)),
    ]
    meetings.note_attendance(session, people.ian, meeting.id, notes, NOW)
    shown = classes.attendance(session, people.ian, meeting.id)
    assert [(one.presence, one.counted(meeting.hours)) for one in shown] == [
        ("present", 4),
        ("part", Decimal("1.25")),
        ("absent", 0),
        (None, 0),
    ]


@pytest.mark.parametrize("hours", [None, Decimal(0), Decimal(4), Decimal(-1)])
def test_a_part_is_less_than_the_whole(session: Session, hours: Decimal | None) -> None:
    """A part of a meeting has hours, fewer than the meeting."""
    people = make_people(session)
    meeting = make_meeting(session, people.ian, make_class(session, people.ian, people.tess).id)
    with pytest.raises(Refused, match="less than 4"):
        meetings.note_attendance(session, people.ian, meeting.id, [Noted(people.tess, "part", hours)], NOW)


def test_only_members_are_noted(session: Session) -> None:
    """Somebody who never was on the roster cannot be noted; who has left it can."""
    people = make_people(session)
    made = make_class(session, people.ian, people.tess)
    meeting = make_meeting(session, people.ian, made.id)
    with pytest.raises(NotFound):
        meetings.note_attendance(session, people.ian, meeting.id, [Noted(people.omar, "present")], NOW)
    classes.remove_member(session, people.ian, made.id, people.tess, NOW)
    meetings.note_attendance(session, people.ian, meeting.id, [Noted(people.tess, "present")], NOW)
    assert [one.person.id for one in classes.attendance(session, people.ian, meeting.id)] == [people.tess]


def test_a_shortened_meeting_keeps_its_parts_smaller(session: Session) -> None:
    """A meeting is not made shorter than a part that somebody is noted with."""
    people = make_people(session)
    meeting = make_meeting(session, people.ian, make_class(session, people.ian, people.tess).id)
    meetings.note_attendance(session, people.ian, meeting.id, [Noted(people.tess, "part", Decimal(2))], NOW)
    with pytest.raises(Refused, match="Mend the attendance"):
        meetings.change(session, people.ian, meeting.id, make_plan(hours=Decimal(2)))
    meetings.change(session, people.ian, meeting.id, make_plan(hours=Decimal("2.5")))
    assert meeting.hours == Decimal("2.5")


def test_confirmed_meetings_stand(session: Session) -> None:
    """Once the hours are in the ledger, neither meeting nor attendance is changed here."""
    people = make_people(session)
    meeting = make_meeting(session, people.ian, make_class(session, people.ian, people.tess).id)
    meeting.confirmed_at, meeting.confirmed_by_id = NOW, people.ian
    with pytest.raises(Conflict, match="in the ledger"):
        meetings.change(session, people.ian, meeting.id, make_plan())
    with pytest.raises(Conflict, match="in the ledger"):
        meetings.drop(session, people.ian, meeting.id, NOW)
    with pytest.raises(Conflict, match="in the ledger"):
        meetings.note_attendance(session, people.ian, meeting.id, [Noted(people.tess, "absent")], NOW)


def test_a_dropped_meeting_takes_its_attendance(session: Session) -> None:
    """A meeting that did not take place goes, with what was noted for it."""
    people = make_people(session)
    made = make_class(session, people.ian, people.tess)
    meeting = make_meeting(session, people.ian, made.id)
    meetings.note_attendance(session, people.ian, meeting.id, [Noted(people.tess, "present")], NOW)
    number = meeting.id
    assert meetings.drop(session, people.ian, number, NOW) == made.id
    with pytest.raises(NotFound):
        meetings.own_meeting(session, people.ian, number)
