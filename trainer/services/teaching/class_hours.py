"""Attendance becomes training hours: the instructor confirms a meeting, and each who was there gets an entry.

The entries wait for the employer or the Level III to countersign them. Practice time never becomes hours.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Conflict, Refused
from trainer.languages import _
from trainer.services.keeping import audit
from trainer.services.keeping.moments import local_day
from trainer.services.qualifying import countersigning, ledger
from trainer.services.teaching import classes, meetings
from trainer.services.teaching.meetings import Presence
from trainer.store.models import Entry, Meeting


@dataclass(frozen=True, slots=True)
class MeetingHours:
    """How far the hours of one meeting have come.

    ``noted`` of ``people`` have their attendance noted. Once confirmed, ``entries`` are in the ledger,
    ``signed`` of them countersigned and ``reversed`` of them reversed.
    """

    meeting: Meeting
    people: int
    noted: int
    present: int
    entries: int
    signed: int
    reversed: int
    missing: tuple[str, ...]

    @property
    def can_be_confirmed(self) -> bool:
        """Whether everything is noted, and not yet confirmed."""
        return self.meeting.confirmed_at is None and self.present > 0 and not self.missing


def of_class(session: Session, instructor_id: int, class_id: int) -> list[MeetingHours]:
    """The meetings of an own class with the state of their hours. Raises NotFound."""
    found = classes.own_class(session, instructor_id, class_id)
    return [_state(session, instructor_id, meeting) for meeting in found.meetings]


def confirm(session: Session, instructor_id: int, meeting_id: int, now: datetime) -> list[Entry]:
    """Enter the hours of a meeting for everybody who was there; from then on its attendance stands.

    Raises NotFound, Refused while somebody's attendance is open or the day has not come, Conflict where it
    was confirmed before.
    """
    meeting = meetings.own_meeting(session, instructor_id, meeting_id)
    if meeting.confirmed_at is not None:
        raise Conflict(_("The hours of this meeting are in the ledger already."))
    shown = classes.attendance(session, instructor_id, meeting_id)
    _ready(meeting, shown, now)
    made = [
        _enter(session, meeting, one, instructor_id, now) for one in shown if one.counted(meeting.hours) > 0
    ]
    meeting.confirmed_at, meeting.confirmed_by_id = now, instructor_id
    hours = sum((one.counted(meeting.hours) for one in shown), Decimal(0))
    facts: dict[str, str | int | None] = {"people": len(made), "hours": format(hours, "f")}
    audit.note(session, instructor_id, "attendance confirmed", meeting_id, now, facts=facts)
    return made


def confirm_all(session: Session, instructor_id: int, meeting_ids: Iterable[int], now: datetime) -> int:
    """Confirm several meetings, all or none; return how many entries were made. Raises as confirm."""
    return sum(len(confirm(session, instructor_id, one, now)) for one in dict.fromkeys(meeting_ids))


def _ready(meeting: Meeting, shown: list[Presence], now: datetime) -> None:
    if meeting.held_on > local_day(now):
        raise Refused(_("The meeting of %(held_on)s has not taken place yet.", held_on=meeting.held_on))
    missing = [one.person.name for one in shown if one.presence is None]
    if missing:
        others = _(" and others") if len(missing) > 5 else ""
        raise Refused(
            _(
                "Meeting of %(held_on)s: note the attendance of %(missing)s first.",
                held_on=meeting.held_on,
                missing=", ".join(missing[:5]) + others,
            )
        )
    if not any(one.counted(meeting.hours) for one in shown):
        raise Refused(
            _(
                "Nobody was at the meeting of %(held_on)s, so there are no hours to confirm.",
                held_on=meeting.held_on,
            )
        )


def _enter(session: Session, meeting: Meeting, one: Presence, by_id: int, now: datetime) -> Entry:
    body = {
        "method": "MT",
        "date": meeting.held_on.isoformat(),
        "hours": format(one.counted(meeting.hours), "f"),
        "mode": meeting.mode,
        "level": meeting.level,
        "content": meeting.content,
        "note": f"{meeting.taught_class.title}, {meeting.starts_at:%H:%M}, {meeting.subject}",
    }
    entry = ledger.enter(session, one.person.id, "training", body, by_id, "instructor", now)
    row = next(row for row in meeting.attendances if row.person_id == one.person.id)
    row.entry_id = entry.id
    return entry


def _state(session: Session, instructor_id: int, meeting: Meeting) -> MeetingHours:
    shown = classes.attendance(session, instructor_id, meeting.id)
    ids = [one.entry_id for one in shown if one.entry_id]
    wanted = select(Entry).where(Entry.id.in_(ids)).options(selectinload(Entry.countersignatures))
    rows = list(session.scalars(wanted))
    undone = countersigning.reversals_by_target(session, {row.person_id for row in rows})
    return MeetingHours(
        meeting=meeting,
        people=len(shown),
        noted=sum(one.presence is not None for one in shown),
        present=sum(one.counted(meeting.hours) > 0 for one in shown),
        entries=len(rows),
        signed=sum(bool(row.countersignatures) for row in rows),
        reversed=sum(row.id in undone for row in rows),
        missing=tuple(one.person.name for one in shown if one.presence is None),
    )
