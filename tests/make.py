"""Builders with defaults: what a test does not care about, it does not write.

The people: Tess (trainee), Ian (her instructor), Emma (their employer), and Omar, trainee of another
employer, who must see none of it. All invented.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from decimal import Decimal

from sqlalchemy.orm import Session

from trainer.services.admitting import accounts, sign_in
from trainer.services.teaching import classes, meetings
from trainer.services.teaching.meetings import MeetingPlan
from trainer.store.models import Meeting, Paper, Person, Sitting, TaughtClass

NOW = datetime(2026, 11, 25, 10, 38, tzinfo=UTC)
HOUSE = "Tarn Valley, wheel-and-axle shop"
PASSPHRASE = "axle draw hook coil"


@dataclass
class Clock:
    """A clock that a test sets."""

    now: datetime = NOW

    def __call__(self) -> datetime:
        return self.now


@dataclass(frozen=True)
class People:
    """The ids of the four."""

    tess: int
    ian: int
    emma: int
    omar: int


def make_people(session: Session) -> People:
    """Tess, Ian and Emma of Tarn Valley; Omar of another shop."""
    return People(
        tess=make_person(session, "TV-07", "Tess", {"trainee"}).id,
        ian=make_person(session, "TV-00", "Ian", {"instructor"}).id,
        emma=make_person(session, "TV-90", "Emma", {"employer"}).id,
        omar=make_person(session, "HK-03", "Omar", {"trainee"}, house="Hook and Chain Works").id,
    )


def make_person(
    session: Session,
    number: str = "TV-55",
    name: str = "Somebody",
    roles: set[str] | None = None,
    house: str = HOUSE,
) -> Person:
    """One person of a house, entered by the machine's owner."""
    home = accounts.organisation(session, house, NOW)
    return accounts.add_person(session, home.id, number, name, frozenset(roles or {"trainee"}), NOW)


def make_class(
    session: Session, instructor_id: int, *members: int, title: str = "MT-1 November"
) -> TaughtClass:
    """A Level I class with these members."""
    made = classes.make(session, instructor_id, title, "I", date(2026, 11, 2), NOW)
    if members:
        classes.add_members(session, instructor_id, made.id, members, NOW)
    return made


def make_plan(**changes: object) -> MeetingPlan:
    """A meeting of 4 h of theory in the classroom."""
    values: dict[str, object] = {
        "held_on": date(2026, 11, 24),
        "starts_at": time(8, 0),
        "hours": Decimal(4),
        "level": "I",
        "content": "theory",
        "mode": "classroom",
        "subject": "Coil and cable wrap",
    }
    return MeetingPlan(**(values | changes))  # type: ignore[arg-type]


def make_meeting(session: Session, instructor_id: int, class_id: int, **changes: object) -> Meeting:
    """One meeting of a class."""
    return meetings.add(session, instructor_id, class_id, make_plan(**changes), NOW)


def make_token(session: Session, person_id: int, now: datetime = NOW) -> str:
    """A sign-in of a person, without the time that a passphrase takes."""
    return sign_in.begin(session, person_id, now, 12, "127.0.0.1", "a test")


def make_marked_papers(session: Session, opened_by: int, *candidates: int, void: int = 0) -> None:
    """A closed drill examination with 9 of 10 right for each candidate; ``void`` is one whose paper is void."""
    home = session.get_one(Person, opened_by).organisation_id
    sitting = Sitting(
        organisation_id=home, class_id=None, title="Coils", kind="drill", level="I", plan={}, minutes=30,
        opened_by_id=opened_by, code="ABCD", state="closed", made_at=NOW, opened_at=NOW, closed_at=NOW,
    )  # fmt: skip
    session.add(sitting)
    session.flush()
    for person_id in candidates:
        paper = Paper(
            sitting_id=sitting.id, person_id=person_id, started_at=NOW, deadline=NOW, handed_in_at=NOW
        )
        paper.score = {"right": 9, "of": 10, "mark": 80}
        paper.void_reason = "copied" if person_id == void else None
        session.add(paper)
    session.flush()
