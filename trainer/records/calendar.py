"""Due dates as a calendar file (iCalendar, RFC 5545): all-day events that keep their identity when they move."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from hashlib import sha256
from typing import TYPE_CHECKING

from trainer.languages import _

if TYPE_CHECKING:
    from icalendar import Event

PRODUCT = "-//MT trainer//due dates//EN"


@dataclass(frozen=True, slots=True)
class Due:
    """One prerequisite of one person that runs out: ``on`` is the last day on which it is good."""

    person_id: str
    person: str
    prerequisite: str
    title: str
    on: date
    scheme: str = ""
    says: str = ""


def calendar_bytes(dues: Iterable[Due], made: datetime, name: str = "Due dates") -> bytes:
    """The due dates as one .ics file; ``made`` (with its zone) stamps every event. Same input, same bytes."""
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("method", "PUBLISH")
    calendar.add("x-wr-calname", name)
    for due in sorted(dues, key=lambda one: (one.on, one.person_id, one.prerequisite, one.scheme)):
        calendar.add_component(_event(due, made))
    return bytes(calendar.to_ical())


def uid_of(due: Due) -> str:
    """The event's identity: the same person, prerequisite and scheme always have the same."""
    told = "\x1f".join((due.person_id, due.prerequisite, due.scheme)).encode("utf-8")
    return f"{sha256(told).hexdigest()[:40]}@mt-trainer"


def _event(due: Due, made: datetime) -> Event:
    from icalendar import Event

    event = Event()
    event.add("uid", uid_of(due))
    event.add("dtstamp", made)
    event.add("dtstart", due.on)
    event.add("dtend", due.on + timedelta(days=1))
    event.add(
        "summary", _("%(person)s: %(title)s runs out", person=_line(due.person), title=_line(due.title))
    )
    event.add(
        "description",
        due.says or _("Last good day of %(title)s of %(person)s.", title=due.title, person=due.person),
    )
    event.add("transp", "TRANSPARENT")
    return event


def _line(text: str) -> str:
    """The text on one line: a summary is never broken."""
    return " ".join(text.split())
