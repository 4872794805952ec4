"""Who is signed in, on which browser, until when. Only hashes of the tokens are kept."""

from __future__ import annotations

import hashlib
import secrets
from dataclasses import dataclass, field, fields
from datetime import datetime, timedelta

from sqlalchemy import bindparam, exists, literal, select, update
from sqlalchemy.orm import Session

from trainer.errors import NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import passphrases
from trainer.services.admitting.habits import Habits, chosen
from trainer.services.admitting.particulars import role_words, works_number
from trainer.services.keeping import audit
from trainer.services.keeping.clock import AHEAD
from trainer.store import Asked
from trainer.store.models import Habit, Organisation, Paper, Person, PersonRole, SignInSession, Sitting

CHOSEN = tuple(one.name for one in fields(Habits))

# Asked with every request: put together once, and of plain columns, since both take longer than the asking.
_SIGN_IN, _PERSON, _HOUSE = SignInSession.table().c, Person.table().c, Organisation.table().c
_PAPER, _SITTING = Paper.table().c, Sitting.table().c
_SITS = (
    exists()
    .where(
        _PAPER.person_id == _PERSON.id,
        _PAPER.handed_in_at.is_(None),
        _SITTING.id == _PAPER.sitting_id,
        _SITTING.state.in_((literal("open"), literal("paused"))),
    )
    .correlate(Person.table())
)
_WHO = (
    select(
        _SIGN_IN.id.label("session_id"),
        _PERSON.id,
        _PERSON.name,
        _PERSON.works_number,
        _PERSON.organisation_id,
        _HOUSE.name.label("organisation"),
        PersonRole.table().c.role,
        _SITS.label("sits"),
        *(Habit.table().c[name] for name in CHOSEN),  # the last of a row
    )
    .select_from(SignInSession.table())
    .join(Person.table(), _PERSON.id == _SIGN_IN.person_id)
    .join(Organisation.table(), _HOUSE.id == _PERSON.organisation_id)
    .outerjoin(PersonRole.table(), PersonRole.table().c.person_id == _PERSON.id)
    .outerjoin(Habit.table(), Habit.table().c.person_id == _PERSON.id)
    .where(
        _SIGN_IN.token_hash == bindparam("token_hash"),
        _SIGN_IN.ended_at.is_(None),
        _SIGN_IN.expires_at > bindparam("now"),
        _SIGN_IN.begun_at <= bindparam("soon"),
        _PERSON.left_at.is_(None),
    )
)
WRONG = N_("Works number and passphrase do not belong together. Check both and try again.")


@dataclass(frozen=True, slots=True)
class Me:
    """The person who is asking. ``sits``: whether a paper of a running examination is not handed in yet."""

    id: int
    name: str
    works_number: str
    organisation_id: int
    organisation: str
    roles: frozenset[str]
    session_id: int
    habits: Habits = field(default_factory=Habits)
    sits: bool = False

    @property
    def role(self) -> str:
        """The person's roles in words."""
        return role_words(self.roles)


def check(session: Session, number: str, passphrase: str) -> int:
    """The id of the person with this works number and passphrase.

    Raises Refused with one and the same sentence, after the same time, whichever of the two was wrong.
    """
    try:
        wanted = works_number(number)
    except Refused:
        wanted = ""
    person = session.scalar(select(Person).where(Person.works_number == wanted, Person.left_at.is_(None)))
    if not passphrases.matches(person.passphrase_hash if person else None, passphrase) or person is None:
        raise Refused(_(WRONG))
    return person.id


def begin(session: Session, person_id: int, now: datetime, hours: int, came_from: str, browser: str) -> str:
    """Sign a person in, after ``check``; return the token that the browser keeps."""
    token = secrets.token_urlsafe(32)
    session.add(
        SignInSession(
            person_id=person_id,
            token_hash=token_hash(token),
            begun_at=now,
            expires_at=now + timedelta(hours=hours),
            came_from=came_from[:200],
            browser=browser[:200],
        )
    )
    audit.note(session, person_id, "signed in", person_id, now, apart=(person_id, {"where": came_from[:200]}))
    return token


def who(session: Asked, token: str, now: datetime) -> Me | None:
    """The person whose browser holds this token, or None if it was ended, has run out or never was.

    One that was begun while the clock ran ahead does not hold until that time comes: it would be good for as long.
    """
    rows = session.execute(_WHO, {"token_hash": token_hash(token), "now": now, "soon": now + AHEAD}).all()
    if not rows:
        return None
    first = rows[0]
    return Me(
        id=first.id,
        name=first.name,
        works_number=first.works_number,
        organisation_id=first.organisation_id,
        organisation=first.organisation,
        roles=frozenset(row.role for row in rows if row.role),
        session_id=first.session_id,
        habits=chosen(*first[-len(CHOSEN) :]),
        sits=bool(first.sits),
    )


def open_sessions(session: Session, person_id: int, now: datetime) -> list[SignInSession]:
    """The sign-ins of a person that still hold, newest first."""
    wanted = select(SignInSession).where(
        SignInSession.person_id == person_id,
        SignInSession.ended_at.is_(None),
        SignInSession.expires_at > now,
    )
    return list(session.scalars(wanted.order_by(SignInSession.begun_at.desc(), SignInSession.id.desc())))


def end(session: Session, person_id: int, session_id: int, now: datetime) -> None:
    """End one sign-in of this person. Raises NotFound for one that is not theirs."""
    found = session.get(SignInSession, session_id)
    if found is None or found.person_id != person_id:
        raise NotFound(_("There is no such sign-in."))
    if found.ended_at is None:
        found.ended_at = now
        audit.note(session, person_id, "signed out", person_id, now)


def end_others(
    session: Session, person_id: int, now: datetime, keep: int | None = None, by_id: int | None = None
) -> int:
    """End every sign-in of a person but ``keep``; return how many there were."""
    held = [row for row in open_sessions(session, person_id, now) if row.id != keep]
    ids = [row.id for row in held]
    session.execute(update(SignInSession).where(SignInSession.id.in_(ids)).values(ended_at=now))
    if held:
        audit.note(session, by_id or person_id, "sign-ins ended", person_id, now, facts={"count": len(held)})
    return len(held)


def change_passphrase(session: Session, me: Me, passphrase_hash: str, now: datetime) -> None:
    """Keep a new passphrase's hash for the asker and end their other sign-ins."""
    session.execute(update(Person).where(Person.id == me.id).values(passphrase_hash=passphrase_hash))
    end_others(session, me.id, now, keep=me.session_id)
    audit.note(session, me.id, "passphrase changed", me.id, now)


def token_hash(token: str) -> str:
    """What is kept of a token or code: its SHA-256, enough for something that nobody chose."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
