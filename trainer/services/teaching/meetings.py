"""Dated meetings of a class, and who was there.

Attendance is not yet training hours: those are made in the ledger when the instructor confirms a meeting,
and from then on its attendance stands.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import particulars
from trainer.services.keeping import audit
from trainer.store.models import Attendance, ClassMember, Meeting, Person, TaughtClass
from trainer.store.models.classes import CONTENTS, LEVELS, MODES, PRESENCES

MOST_HOURS = Decimal(24)


@dataclass(frozen=True, slots=True)
class MeetingPlan:
    """What is written about a meeting; ``hours`` is its teaching time, breaks left out."""

    held_on: date
    starts_at: time
    hours: Decimal
    level: str
    content: str
    mode: str
    subject: str


@dataclass(frozen=True, slots=True)
class Presence:
    """One member at one meeting: present, absent, part (then ``hours``), or None: not noted yet."""

    person: Person
    presence: str | None
    hours: Decimal | None
    entry_id: str | None

    def counted(self, whole: Decimal) -> Decimal:
        """The hours of this member at a meeting of ``whole`` hours."""
        return {"present": whole, "part": self.hours}.get(self.presence or "") or Decimal(0)


@dataclass(frozen=True, slots=True)
class Noted:
    """What the instructor writes down about one member."""

    person_id: int
    presence: str
    hours: Decimal | None = None


def hours_of(text: str) -> Decimal:
    """Hours as typed: 2, 1.5 or 1,5, more than none and at most a day. Raises Refused."""
    plain = text.strip()
    if not re.fullmatch(r"[0-9]{1,2}([.,][0-9]{1,2})?", plain):
        raise Refused(_("Write the hours as a number, for instance 2 or 1.5."))
    hours = Decimal(plain.replace(",", "."))
    if not 0 < hours <= MOST_HOURS:
        raise Refused(_("Hours are more than 0 and at most 24."))
    return hours


def own_meeting(session: Session, instructor_id: int, meeting_id: int) -> Meeting:
    """A meeting of a class of this instructor. Raises NotFound for anybody else's."""
    found = session.scalar(
        select(Meeting)
        .join(TaughtClass, TaughtClass.id == Meeting.class_id)
        .where(Meeting.id == meeting_id, TaughtClass.instructor_id == instructor_id)
    )
    if found is None:
        raise NotFound(_("There is no such meeting."))
    return found


def add(session: Session, instructor_id: int, class_id: int, plan: MeetingPlan, now: datetime) -> Meeting:
    """Enter a meeting of a class. Raises NotFound, and Refused for a plan that cannot be."""
    found = session.get(TaughtClass, class_id)
    if found is None or found.instructor_id != instructor_id:
        raise NotFound(_("There is no such class."))
    meeting = Meeting(class_id=class_id, made_at=now, confirmed_at=None, confirmed_by_id=None)
    _write(meeting, plan)
    session.add(meeting)
    session.flush()  # its number is needed for the note
    audit.note(session, instructor_id, "meeting entered", meeting.id, now)
    return meeting


def change(session: Session, instructor_id: int, meeting_id: int, plan: MeetingPlan) -> Meeting:
    """Write a meeting anew. Raises NotFound, Refused, and Conflict once its hours are confirmed."""
    meeting = own_meeting(session, instructor_id, meeting_id)
    _still_open(meeting)
    longest = session.scalars(select(Attendance.hours).where(Attendance.meeting_id == meeting_id))
    if any(hours is not None and hours >= plan.hours for hours in longest):
        raise Refused(_("Somebody is noted with as many hours or more. Mend the attendance first."))
    _write(meeting, plan)
    return meeting


def drop(session: Session, instructor_id: int, meeting_id: int, now: datetime) -> int:
    """Take a meeting away with its attendance; return its class. Conflict once its hours are confirmed."""
    meeting = own_meeting(session, instructor_id, meeting_id)
    _still_open(meeting)
    for row in session.scalars(select(Attendance).where(Attendance.meeting_id == meeting_id)):
        session.delete(row)
    session.flush()  # the rows that refer to the meeting go first
    session.delete(meeting)
    audit.note(session, instructor_id, "meeting taken away", meeting_id, now)
    return meeting.class_id


def presences(session: Session, meeting: Meeting, members: Sequence[Person]) -> list[Presence]:
    """What is noted about each of these members; who has left the class but was noted comes too."""
    wanted = select(Attendance).where(Attendance.meeting_id == meeting.id)
    noted = {row.person_id: row for row in session.scalars(wanted)}
    here = {person.id for person in members}
    gone = session.scalars(select(Person).where(Person.id.in_(noted.keys() - here)))
    people = sorted([*members, *gone], key=lambda person: person.works_number)
    return [_presence(person, noted.get(person.id)) for person in people]


def note_attendance(
    session: Session, instructor_id: int, meeting_id: int, notes: Iterable[Noted], now: datetime
) -> None:
    """Write down who was there. Raises NotFound, Refused for wrong hours, Conflict once confirmed."""
    meeting = own_meeting(session, instructor_id, meeting_id)
    _still_open(meeting)
    for one in notes:
        _keep(session, meeting, one, instructor_id, now)
    audit.note(session, instructor_id, "attendance noted", meeting_id, now)


def _keep(session: Session, meeting: Meeting, one: Noted, by_id: int, now: datetime) -> None:
    row = session.get(Attendance, (meeting.id, one.person_id))
    if row is None and session.get(ClassMember, (meeting.class_id, one.person_id)) is None:
        raise NotFound(_("There is no such person in this class."))
    if one.presence not in PRESENCES:
        raise Refused(_("Attendance is one of: %(presences)s.", presences=", ".join(map(_, PRESENCES))))
    if one.presence == "part" and (one.hours is None or not 0 < one.hours < meeting.hours):
        raise Refused(
            _(
                "For a part of the meeting write its hours: more than 0, less than %(hours)s.",
                hours=meeting.hours,
            )
        )
    if row is None:
        row = Attendance(meeting_id=meeting.id, person_id=one.person_id, entry_id=None)
        session.add(row)
    row.presence = one.presence
    row.hours = one.hours if one.presence == "part" else None
    row.noted_by_id, row.noted_at = by_id, now


def _presence(person: Person, row: Attendance | None) -> Presence:
    if row is None:
        return Presence(person, None, None, None)
    return Presence(person, row.presence, row.hours, row.entry_id)


def _still_open(meeting: Meeting) -> None:
    if meeting.confirmed_at is not None:
        raise Conflict(_("The hours of this meeting are in the ledger. Reverse the entries there instead."))


def _write(meeting: Meeting, plan: MeetingPlan) -> None:
    for word, words, says in (
        (plan.level, LEVELS, N_("The level of a meeting is one of: %(words)s.")),
        (plan.content, CONTENTS, N_("The content of a meeting is one of: %(words)s.")),
        (plan.mode, MODES, N_("The place of a meeting is one of: %(words)s.")),
    ):
        if word not in words:
            raise Refused(_(says, words=", ".join(map(_, words))))
    if not 0 < plan.hours <= MOST_HOURS:
        raise Refused(_("Hours are more than 0 and at most 24."))
    start = Decimal(plan.starts_at.hour) + Decimal(plan.starts_at.minute) / 60
    if start + plan.hours > MOST_HOURS:
        raise Refused(_("The meeting would go past midnight. Enter it as two meetings."))
    meeting.held_on, meeting.starts_at, meeting.hours = plan.held_on, plan.starts_at, plan.hours
    meeting.level, meeting.content, meeting.mode = plan.level, plan.content, plan.mode
    meeting.subject = particulars.title(plan.subject, N_("The subject"))
