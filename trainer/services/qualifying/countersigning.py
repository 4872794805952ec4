"""Countersigning: the second hand that makes an entry count.

It is never the hand of the person concerned nor of whoever entered it, and its role must be one that the
history format entitles to the kind. Whoever finds an entry wrong refuses it: a reversal with the reason.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import datetime

from sqlalchemy import Select, and_, exists, or_, select
from sqlalchemy.orm import Session, aliased, selectinload

from trainer.errors import Conflict, NotAllowed, NotFound
from trainer.languages import _
from trainer.services.admitting import entitlements
from trainer.services.keeping import audit, paging
from trainer.services.keeping.paging import Page, Wish
from trainer.services.qualifying import ledger
from trainer.store.models import Countersignature, Entry, Person


def waiting(session: Session, by_id: int) -> list[Entry]:
    """The entries that this person may countersign, oldest first."""
    return list(session.scalars(awaited(session, by_id)))


def how_many(session: Session, by_id: int) -> int:
    """How many entries this person may countersign."""
    return paging.count(session, awaited(session, by_id))


def page(session: Session, by_id: int, wish: Wish) -> Page[Entry]:
    """A page of what this person may countersign, searched by whom it is about."""
    about = awaited(session, by_id).join(Person, Person.id == Entry.person_id)
    return paging.page(session, about, wish, Person.works_number, Person.name)


def place(session: Session, by_id: int, entry_ids: Collection[str]) -> int | None:
    """How many wait before the first of these entries; None where this person may countersign none of them."""
    wanted = awaited(session, by_id)
    first = session.scalars(wanted.where(Entry.id.in_(entry_ids)).limit(1)).first()
    if first is None:
        return None
    return paging.count(session, wanted.where(Entry.seq < first.seq))


def awaited(session: Session, by_id: int) -> Select[Entry]:
    """The question for the entries that this person may countersign, oldest first.

    Of a reversal those decide who may sign what it reverses (`_roles_for` says the same of one entry).
    """
    roles = entitlements.roles_of(session, by_id)
    kinds = [kind for kind in entitlements.FACTS if roles & entitlements.signing_roles(kind)]
    reversal, target = aliased(Entry), aliased(Entry)
    refused = exists().where(
        reversal.kind == "reversal",
        reversal.person_id == Entry.person_id,
        reversal.body["reverses"].as_string() == Entry.id,
    )
    undoes = exists().where(
        target.id == Entry.body["reverses"].as_string(),
        target.kind.in_(kinds),
        target.countersignatures.any(),
    )
    reached = entitlements.overseen_people(session, by_id).with_only_columns(Person.id).order_by(None)
    return (
        select(Entry)
        .where(
            Entry.person_id.in_(reached),
            ~Entry.countersignatures.any(),
            Entry.person_id != by_id,
            Entry.entered_by_id != by_id,
            or_(Entry.kind.in_(kinds), and_(Entry.kind == "reversal", undoes)),
            ~refused,
        )
        .order_by(Entry.seq)
    )


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
    wanted = select(Entry).where(Entry.kind == "reversal", Entry.person_id.in_(person_ids))
    rows = session.scalars(wanted.options(selectinload(Entry.countersignatures)).order_by(Entry.seq))
    return {str(row.body["reverses"]): row for row in rows}


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


def _targets(session: Session, rows: Iterable[Entry]) -> list[Entry]:
    names = [str(row.body["reverses"]) for row in rows if row.kind == "reversal"]
    wanted = select(Entry).where(Entry.id.in_(names)).options(selectinload(Entry.countersignatures))
    return list(session.scalars(wanted))
