"""Countersigning: the second hand that makes an entry count.

It is never the hand of the person concerned nor of whoever entered it, and its role must be one that the
history format entitles to the kind. Whoever finds an entry wrong refuses it: a reversal with the reason.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Conflict, NotAllowed, NotFound
from trainer.languages import _
from trainer.services import audit, entitlements, ledger
from trainer.store.models import Countersignature, Entry


def waiting(session: Session, by_id: int) -> list[Entry]:
    """The entries that this person may countersign, oldest first."""
    roles = entitlements.roles_of(session, by_id)
    reached = entitlements.overseen_ids(session, by_id)
    if not reached:
        return []
    rows = _unsigned(session, reached)
    refused = reversals_by_target(session, reached)
    targets = {row.id: row for row in _targets(session, rows)}
    return [
        row
        for row in rows
        if row.id not in refused
        and by_id not in (row.person_id, row.entered_by_id)
        and roles & _roles_for(row, targets)
    ]


def countersign(
    session: Session, entry_ids: Collection[str], by_id: int, now: datetime, role: str = ""
) -> int:
    """Countersign entries that were read; all of them or none. Return how many.

    ``role`` is the one to sign in, where the person holds several; a kind that it is not entitled to is
    signed in the first of the person's roles that is. Raises NotFound for an entry out of reach, NotAllowed
    for one that this person may not sign, Conflict for one that was signed or reversed in the meantime.
    """
    for entry_id in dict.fromkeys(entry_ids):
        _sign(session, reached(session, by_id, entry_id), by_id, now, role)
    return len(set(entry_ids))


def refuse(session: Session, entry_id: str, reason: str, by_id: int, now: datetime) -> Entry:
    """Say why an entry that waits is not countersigned: it is reversed and counts for nothing.

    Raises as countersign does, and BadEntry without a reason.
    """
    row = reached(session, by_id, entry_id)
    may_sign(session, row, by_id)
    return ledger.reverse(session, entry_id, reason, by_id, now)


def reversals_by_target(session: Session, person_ids: Collection[int]) -> dict[str, Entry]:
    """Every reversal about these people, by the id of the entry that it reverses."""
    wanted = select(Entry).where(Entry.kind == "reversal").options(selectinload(Entry.countersignatures))
    rows = session.scalars(wanted.order_by(Entry.seq))
    return {str(row.body["reverses"]): row for row in rows if row.person_id in person_ids}


def reached(session: Session, by_id: int, entry_id: str) -> Entry:
    """An entry of somebody whose ledger the asker may read. Raises NotFound for any other."""
    row = session.scalar(select(Entry).where(Entry.id == entry_id))
    if row is None:
        raise NotFound(_("There is no such entry."))
    entitlements.overseen(session, by_id, row.person_id)
    return row


def may_sign(session: Session, row: Entry, by_id: int) -> frozenset[str]:
    """The roles in which this person may countersign the entry now. Raises as countersign does where there is none."""
    if row.countersignatures:
        raise Conflict(
            _("Entry %(id)s has been countersigned in the meantime. Load the page anew.", id=row.id)
        )
    if ledger.reversal_of(session, row.id) is not None:
        raise Conflict(_("Entry %(id)s has been reversed in the meantime. Load the page anew.", id=row.id))
    if by_id == row.person_id:
        raise NotAllowed(_("You cannot countersign what is said about yourself. Somebody else must."))
    if by_id == row.entered_by_id:
        raise NotAllowed(_("You entered this, so somebody else must countersign it."))
    targets = {target.id: target for target in _targets(session, [row])}
    roles = entitlements.roles_of(session, by_id) & _roles_for(row, targets)
    if not roles:
        raise NotAllowed(_("Your roles do not entitle you to countersign this kind of entry."))
    return roles


def _sign(session: Session, row: Entry, by_id: int, now: datetime, wished: str) -> None:
    roles = may_sign(session, row, by_id)
    role = wished if wished in roles else entitlements.first_of(roles) or ""
    signed = Countersignature(entry_id=row.id, person_id=by_id, role=role, signed_at=now)
    row.countersignatures.append(signed)
    session.flush()  # its digest is told with its time as the store keeps it
    facts: dict[str, str | int | None] = {
        "digest": ledger.signature_digest(signed),
        "person": row.person_id,
        "role": role,
    }
    audit.note(session, by_id, ledger.SIGNED, row.id, now, facts=facts)


def _roles_for(row: Entry, targets: dict[str, Entry]) -> frozenset[str]:
    """The roles entitled to an entry; a reversal's are those of what it reverses.

    What was taken back before anybody signed it counts for nothing as it is: nobody need sign that.
    """
    if row.kind != "reversal":
        return entitlements.signing_roles(row.kind)
    target = targets[str(row.body["reverses"])]
    return entitlements.signing_roles(target.kind) if target.countersignatures else frozenset()


def _unsigned(session: Session, person_ids: Collection[int]) -> list[Entry]:
    wanted = select(Entry).where(~Entry.countersignatures.any()).order_by(Entry.seq)
    return [row for row in session.scalars(wanted) if row.person_id in person_ids]


def _targets(session: Session, rows: Iterable[Entry]) -> list[Entry]:
    names = [str(row.body["reverses"]) for row in rows if row.kind == "reversal"]
    wanted = select(Entry).where(Entry.id.in_(names)).options(selectinload(Entry.countersignatures))
    return list(session.scalars(wanted))
