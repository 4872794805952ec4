"""Attendance becomes training entries when the instructor confirms it, and never otherwise."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from sqlalchemy.orm import Session

from tests.make import NOW, People, make_class, make_meeting, make_people, make_person
from trainer.errors import Conflict, NotFound, Refused
from trainer.services.qualifying import countersigning, ledger
from trainer.services.teaching import class_hours, classes, meetings
from trainer.services.teaching.meetings import Noted


@pytest.fixture
def four(session: Session) -> People:
    """The four."""
    return make_people(session)


def test_each_who_was_there_gets_an_entry(session: Session, four: People) -> None:
    """Present: the whole hours; a part: its hours; absent: nothing. All wait for the employer."""
    part, gone = make_person(session, "TV-08").id, make_person(session, "TV-09").id
    made = make_class(session, four.ian, four.tess, part, gone)
    meeting = make_meeting(session, four.ian, made.id, content="practical", mode="laboratory")
    notes = [Noted(four.tess, "present"), Noted(part, "part", Decimal("1.50")), Noted(gone, "absent")]
    meetings.note_attendance(session, four.ian, meeting.id, notes, NOW)
    entries = class_hours.confirm(session, four.ian, meeting.id, NOW)
    assert [(row.person_id, row.body["hours"]) for row in entries] == [(four.tess, "4"), (part, "1.50")]
    body = entries[0].body
    assert (body["content"], body["mode"], body["level"], body["method"]) == (
        "practical",
        "laboratory",
        "I",
        "MT",
    )
    assert "Coil and cable wrap" in body["note"]
    assert [row.id for row in countersigning.waiting(session, four.emma)] == [row.id for row in entries]
    assert ledger.entries_of(session, gone) == []
    (state,) = class_hours.of_class(session, four.ian, made.id)
    assert (state.entries, state.signed, state.can_be_confirmed) == (2, 0, False)
    countersigning.countersign(session, [entries[0].id], four.emma, NOW)
    session.expire_all()
    assert class_hours.of_class(session, four.ian, made.id)[0].signed == 1


def test_confirmed_once(session: Session, four: People) -> None:
    """A second confirmation is a conflict, and the attendance stands."""
    made = make_class(session, four.ian, four.tess)
    meeting = make_meeting(session, four.ian, made.id)
    meetings.note_attendance(session, four.ian, meeting.id, [Noted(four.tess, "present")], NOW)
    class_hours.confirm(session, four.ian, meeting.id, NOW)
    with pytest.raises(Conflict):
        class_hours.confirm(session, four.ian, meeting.id, NOW)
    with pytest.raises(Conflict):
        meetings.note_attendance(session, four.ian, meeting.id, [Noted(four.tess, "absent")], NOW)
    assert len(ledger.entries_of(session, four.tess)) == 1


def test_nothing_is_confirmed_while_something_is_open(session: Session, four: People) -> None:
    """Attendance that is not noted, nobody there, or a day to come: each has its sentence."""
    made = make_class(session, four.ian, four.tess)
    meeting = make_meeting(session, four.ian, made.id)
    with pytest.raises(Refused, match="attendance of Tess"):
        class_hours.confirm(session, four.ian, meeting.id, NOW)
    meetings.note_attendance(session, four.ian, meeting.id, [Noted(four.tess, "absent")], NOW)
    with pytest.raises(Refused, match="Nobody was at"):
        class_hours.confirm(session, four.ian, meeting.id, NOW)
    ahead = make_meeting(session, four.ian, made.id, held_on=date(2026, 11, 26))
    meetings.note_attendance(session, four.ian, ahead.id, [Noted(four.tess, "present")], NOW)
    with pytest.raises(Refused, match="not taken place"):
        class_hours.confirm(session, four.ian, ahead.id, NOW)


def test_two_meetings_of_one_day_are_two_entries(session: Session, four: People) -> None:
    """Morning and afternoon of the same length and subject both count."""
    made = make_class(session, four.ian, four.tess)
    ids = []
    for hour in (8, 13):
        meeting = make_meeting(session, four.ian, made.id, starts_at=NOW.time().replace(hour=hour))
        meetings.note_attendance(session, four.ian, meeting.id, [Noted(four.tess, "present")], NOW)
        ids.append(meeting.id)
    assert class_hours.confirm_all(session, four.ian, ids, NOW) == 2


def test_another_instructor_confirms_nothing(session: Session, four: People) -> None:
    """A class of somebody else is not found."""
    made = make_class(session, four.ian, four.tess)
    meeting = make_meeting(session, four.ian, made.id)
    fellow = make_person(session, "TV-01", "Fellow", {"instructor"}).id
    with pytest.raises(NotFound):
        class_hours.confirm(session, fellow, meeting.id, NOW)
    with pytest.raises(NotFound):
        class_hours.of_class(session, fellow, made.id)
    assert classes.own_class(session, four.ian, made.id).id == made.id
