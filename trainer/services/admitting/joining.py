"""How people come in: one-time join codes for the roster, one link for the very first account.

Only hashes are kept, so a code is seen once: on the slip that is printed when it is made.
"""

from __future__ import annotations

import secrets
from datetime import datetime, timedelta

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from trainer.errors import NotAllowed, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import accounts, sign_in
from trainer.services.admitting.sign_in import token_hash
from trainer.services.keeping import audit
from trainer.services.keeping.clock import AHEAD
from trainer.store.models import JoinCode, Person

CODE_LETTERS = "23456789ABCDEFGHJKMNPQRSTVWXYZ"  # without 0 O 1 I L U: they are read as one another
CODE_LENGTH = 8
FIRST_DAYS = 7
FIRST_ROLES = ("instructor", "employer")
CODE_SPENT = N_("This code has been used already, has run out, or was mistyped. Ask for a new join slip.")


def may_let_in(grantable: frozenset[str], person: Person) -> bool:
    """Whether somebody who may give these roles may hand this person a new way in.

    An instructor may not make one into the account of a colleague who has joined already.
    """
    own_account = person.passphrase_hash is not None and person.roles != {"trainee"}
    return person.roles <= grantable and (not own_account or "employer" in grantable)


def join_code(session: Session, by_id: int | None, person_id: int, now: datetime, days: int) -> str:
    """A fresh one-time code with which this person sets a passphrase; earlier ones end.

    Raises NotFound for somebody else's person, NotAllowed where the asker could take over a higher role.
    """
    person = (
        accounts.colleague(session, by_id, person_id) if by_id is not None else session.get(Person, person_id)
    )
    if person is None or person.left_at is not None:
        raise NotFound(_("There is no such person, or they have left."))
    if by_id is not None and not may_let_in(accounts.grantable(session, by_id), person):
        raise NotAllowed(_("Only an employer may make a join code for somebody with this role."))
    _cancel(session, person_id, now)
    code = "".join(secrets.choice(CODE_LETTERS) for _sign in range(CODE_LENGTH))
    _keep(session, "join", code, person_id, by_id, now, days)
    audit.note(session, by_id, "join code made", person_id, now)
    return code


def join(session: Session, code: str, passphrase_hash: str, now: datetime) -> int:
    """Spend a join code: keep the passphrase's hash, end old sign-ins, return the person's id.

    Raises Refused for a code that is not, or no longer, good.
    """
    row = _good(session, "join", _plain_code(code), now)
    person = session.get(Person, row.person_id) if row else None
    if row is None or person is None or person.left_at is not None:
        raise Refused(_(CODE_SPENT))
    row.used_at = now
    person.passphrase_hash = passphrase_hash
    sign_in.end_others(session, person.id, now)
    audit.note(session, person.id, "joined", person.id, now)
    return person.id


def number_of_code(session: Session, code: str, now: datetime) -> str:
    """The works number of the person whose join code this is. Raises Refused as join does."""
    row = _good(session, "join", _plain_code(code), now)
    person = session.get(Person, row.person_id) if row else None
    if person is None:
        raise Refused(_(CODE_SPENT))
    return person.works_number


def first_code(session: Session, now: datetime) -> str | None:
    """A fresh token for the link to the first account; None once there is anybody."""
    if accounts.anybody(session):
        return None
    session.execute(
        update(JoinCode).where(JoinCode.purpose == "first", JoinCode.used_at.is_(None)).values(used_at=now)
    )
    token = secrets.token_urlsafe(24)
    _keep(session, "first", token, None, None, now, FIRST_DAYS)
    return token


def check_first_code(session: Session, token: str, now: datetime) -> JoinCode:
    """The row of a token that may still make the first account. Raises NotFound."""
    row = _good(session, "first", token, now)
    if row is None or accounts.anybody(session):
        raise NotFound(_("This link has been used or has run out. Start the program again for a new one."))
    return row


def first_account(
    session: Session,
    token: str,
    house: str,
    works_number: str,
    name: str,
    roles: frozenset[str],
    passphrase_hash: str,
    now: datetime,
) -> Person:
    """Make the organisation and the first person, who may do everything ticked. The link is spent.

    Raises NotFound for a spent link, Refused for particulars that cannot be taken.
    """
    row = check_first_code(session, token, now)
    if not roles or not roles <= set(FIRST_ROLES):
        raise Refused(_("Tick instructor, employer, or both."))
    home = accounts.organisation(session, house, now)
    row.used_at = now
    return accounts.add_person(
        session, home.id, works_number, name, roles, now, passphrase_hash=passphrase_hash
    )


def _plain_code(code: str) -> str:
    return "".join(mark for mark in code[:40].upper() if mark in CODE_LETTERS)


def _good(session: Session, purpose: str, code: str, now: datetime) -> JoinCode | None:
    return session.scalar(
        select(JoinCode).where(
            JoinCode.code_hash == token_hash(code),
            JoinCode.purpose == purpose,
            JoinCode.used_at.is_(None),
            JoinCode.expires_at > now,
            JoinCode.made_at <= now + AHEAD,
        )
    )


def _keep(
    session: Session,
    purpose: str,
    code: str,
    person_id: int | None,
    by_id: int | None,
    now: datetime,
    days: int,
) -> None:
    session.add(
        JoinCode(
            purpose=purpose,
            person_id=person_id,
            code_hash=token_hash(code),
            made_by_id=by_id,
            made_at=now,
            expires_at=now + timedelta(days=days),
        )
    )


def _cancel(session: Session, person_id: int, now: datetime) -> None:
    session.execute(
        update(JoinCode)
        .where(JoinCode.person_id == person_id, JoinCode.used_at.is_(None))
        .values(used_at=now)
    )
