"""The ledger: entries are added, one person's word at a time, and never changed.

An entry counts once a second, entitled person has countersigned it (services/qualifying/countersigning). A wrong entry
is reversed by another entry that says why. Every act leaves a link in the chain with the entry's digest, so
that a row changed behind the program's back is found (services/proving/ledger_check).
"""

from __future__ import annotations

import secrets
from collections.abc import Collection, Mapping
from datetime import datetime

from sqlalchemy import String, cast, select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Conflict, NotAllowed, NotFound
from trainer.languages import _
from trainer.records import jcs
from trainer.services.admitting import entitlements
from trainer.services.keeping import audit, paging
from trainer.services.keeping.moments import local_day
from trainer.services.keeping.paging import Wish
from trainer.services.qualifying import entry_plans
from trainer.services.qualifying.entry_plans import Page, Planned
from trainer.services.qualifying.histories import BadEntry
from trainer.store.models import Countersignature, Entry

SALT_BYTES = 32
ENTERED, SIGNED, REVERSED = "entry entered", "entry countersigned", "entry reversed"


def enter(
    session: Session,
    person_id: int,
    kind: str,
    body: Mapping[str, object],
    entered_by: int,
    role: str,
    now: datetime,
    schemes: Collection[str] | None = None,
    page: Page | None = None,
) -> Entry:
    """Add one entry about a person, entered by somebody in a role that they hold.

    ``body`` holds the fields of the history format without id, kind and hands: days as ``2026-11-25``,
    numbers as plain decimals in text (``"7.5"``). ``schemes`` are the ids that it may name (None: any). ``page``
    is what the ledger holds about the person, where the caller has read it in this very transaction.
    Raises NotFound for somebody else's person, NotAllowed for a role that may not enter this kind, BadEntry
    (a Refused with ``field``) for what cannot be taken, Conflict for the same fact entered twice.
    """
    may_enter(session, person_id, kind, entered_by, role)
    return _add(session, person_id, kind, body, entered_by, role, now, schemes, page)


def may_enter(session: Session, person_id: int, kind: str, by_id: int, role: str) -> None:
    """Let nobody pass who may not enter this kind about this person. Raises as enter does."""
    if kind not in entitlements.ENTERED_BY:
        raise BadEntry(_("There is no such kind of entry. Choose one of those offered"), "kind")
    entitlements.person_concerned(session, by_id, role, person_id, kind)
    if role not in entitlements.ENTERED_BY[kind]:
        raise NotAllowed(_("This kind of entry is made by people with another role."))


def reverse(session: Session, entry_id: str, reason: str, by_id: int, now: datetime) -> Entry:
    """Reverse a wrong entry by another one that says why, by somebody who may countersign its kind.

    What nobody has countersigned may also be taken back by whoever entered it. Like any entry, the reversal
    of a countersigned one counts once it is countersigned itself. Raises NotFound, NotAllowed, BadEntry
    without a reason, Conflict for an entry that is reversed already.
    """
    found = one(session, by_id, entry_id)
    if found.kind == "reversal":
        raise BadEntry(_("A reversal is not reversed itself. Enter the right fact anew"))
    role = _reversing_role(session, found, by_id)
    if reversal_of(session, entry_id) is not None:
        raise Conflict(_("This entry is reversed already. Load the page anew."))
    body = {"date": local_day(now).isoformat(), "reverses": entry_id, "reason": reason}
    return _add(session, found.person_id, "reversal", body, by_id, role, now, None)


def one(session: Session, by_id: int, entry_id: str) -> Entry:
    """An entry about oneself, entered by oneself, or of somebody whose ledger one may read.

    Raises NotFound for anybody else's.
    """
    found = session.scalar(select(Entry).where(Entry.id == entry_id))
    if found is None or not found.body:  # erased
        raise NotFound(_("There is no such entry."))
    if by_id not in (found.person_id, found.entered_by_id):
        entitlements.overseen(session, by_id, found.person_id)
    return found


def own(session: Session, person_id: int, entry_id: str) -> Entry:
    """An entry about oneself. Raises NotFound for any other."""
    found = session.scalar(select(Entry).where(Entry.id == entry_id, Entry.person_id == person_id))
    if found is None:
        raise NotFound(_("There is no such entry."))
    return found


def entries_of(session: Session, person_id: int) -> list[Entry]:
    """Everything in the ledger about a person, in the order in which it was entered."""
    wanted = select(Entry).where(Entry.person_id == person_id).order_by(Entry.seq)
    return list(session.scalars(wanted.options(selectinload(Entry.countersignatures))))


def newest_of(session: Session, person_id: int, wish: Wish) -> paging.Page[Entry]:
    """A page of the ledger of a person, the newest entry first, searched by number, kind and what was entered."""
    wanted = select(Entry).where(Entry.person_id == person_id).order_by(Entry.seq.desc())
    wanted = wanted.options(selectinload(Entry.countersignatures))
    return paging.page(session, wanted, wish, Entry.id, Entry.kind, cast(Entry.body, String))


def reversal_of(session: Session, entry_id: str) -> Entry | None:
    """The reversal of an entry, signed or not, or None."""
    found = session.scalar(select(Entry).where(Entry.id == entry_id))
    if found is None:
        return None
    wanted = select(Entry).where(Entry.person_id == found.person_id, Entry.kind == "reversal")
    return next((row for row in session.scalars(wanted) if row.body.get("reverses") == entry_id), None)


def digest(row: Entry) -> str:
    """SHA-256 of all that was entered, as its link in the chain keeps it."""
    told = {
        "id": row.id,
        "person": row.person_id,
        "kind": row.kind,
        "body": row.body,
        "entered_by": row.entered_by_id,
        "role": row.entered_role,
        "entered_at": audit.moment(row.entered_at),
    }
    if row.salt:  # entries of the first edition have none
        told["salt"] = row.salt
    return jcs.digest(told).hex()


def signature_digest(row: Countersignature) -> str:
    """SHA-256 of a countersignature, as its link in the chain keeps it."""
    told = {
        "entry": row.entry_id,
        "person": row.person_id,
        "role": row.role,
        "signed_at": audit.moment(row.signed_at),
    }
    return jcs.digest(told).hex()


def write(session: Session, planned: Planned, now: datetime) -> Entry:
    """Add an entry that was planned in this very transaction, and note it in the chain."""
    row = Entry(
        seq=planned.seq,
        id=planned.fact.id,
        person_id=planned.person_id,
        kind=planned.kind,
        body=planned.body,
        entered_by_id=planned.by_id,
        entered_role=planned.role,
        entered_at=now,
        salt=secrets.token_hex(SALT_BYTES),
    )
    session.add(row)
    session.flush()  # the next entry of the same transaction counts from this one
    what = REVERSED if row.kind == "reversal" else ENTERED
    facts: dict[str, str | int | None] = {"digest": digest(row), "person": row.person_id, "kind": row.kind}
    if row.kind == "reversal":
        facts["reverses"] = str(planned.body["reverses"])
    audit.note(session, planned.by_id, what, row.id, now, facts=facts)
    return row


def _add(
    session: Session,
    person_id: int,
    kind: str,
    body: Mapping[str, object],
    by_id: int,
    role: str,
    now: datetime,
    schemes: Collection[str] | None,
    page: Page | None = None,
) -> Entry:
    page = page or Page.of(session, person_id)
    seq = entry_plans.next_seq(session)
    return write(session, page.plan(kind, body, by_id, role, seq, now, schemes), now)


def _reversing_role(session: Session, row: Entry, by_id: int) -> str:
    held = entitlements.roles_of(session, by_id)
    if row.entered_by_id == by_id and not row.countersignatures and row.entered_role in held:
        return row.entered_role
    role = entitlements.first_of(held & entitlements.signing_roles(row.kind))
    if role is None or row.person_id == by_id:
        raise NotAllowed(_("You may not reverse this entry. Whoever may countersign it can."))
    entitlements.person_concerned(session, by_id, role, row.person_id, row.kind)
    return role
