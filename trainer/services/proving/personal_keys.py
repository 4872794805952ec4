"""A person's own signing key: made here and sealed under their passphrase, or made elsewhere and only named here.

Nobody else can sign with it, the house included. A key that is changed introduces the next one, so that whoever
believes it takes that one up; a lost one introduces nothing. What either signed stays verifiable. One that is no
longer in use is not kept.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotAllowed, Refused
from trainer.languages import N_, _
from trainer.records import issuers, jcs, keys, sealed
from trainer.records.keys import SigningKey
from trainer.services.admitting import accounts, entitlements
from trainer.services.keeping import audit
from trainer.services.keeping.passphrase_keys import Fresh
from trainer.services.proving.records import time_text
from trainer.store.models import Person, PersonalKey

KEPT, GIVEN_UP = "personal key kept", "personal key given up"
SEALED_ANEW = "personal key sealed anew"
CHANGED = N_("Your key has been changed in the meantime. Load the page anew.")
HOLDING = entitlements.OVERSEEING
_HELD = PersonalKey.ended_at.is_(None)
_IN_USE = select(PersonalKey).where(_HELD)


def current(session: Session, person_id: int) -> PersonalKey | None:
    """The key that a person signs with now, or None."""
    return session.scalar(_IN_USE.where(PersonalKey.person_id == person_id))


def in_use(session: Session, person_id: int) -> PersonalKey:
    """The key that a person signs with now. Raises Conflict where none is held."""
    found = current(session, person_id)
    if found is None:
        raise Conflict(_("You hold no key."))
    return found


def all_of(session: Session, person_id: int) -> list[PersonalKey]:
    """Every key that a person has had, newest first."""
    wanted = select(PersonalKey).where(PersonalKey.person_id == person_id)
    return list(session.scalars(wanted.order_by(PersonalKey.id.desc())))


def of_house(session: Session, by_id: int) -> list[tuple[Person, PersonalKey]]:
    """Every key in use of the asker's colleagues, by works number."""
    wanted = (
        accounts.house(by_id, with_left=False)
        .join(PersonalKey, PersonalKey.person_id == Person.id)
        .where(_HELD)
        .add_columns(PersonalKey)
    )
    return [(person, key) for person, key in session.execute(wanted)]


def keep(session: Session, by_id: int, new: Fresh, now: datetime) -> PersonalKey:
    """Keep a new key, sealed by ``passphrase_keys.fresh``. Raises NotAllowed without a role that signs, Conflict where one is held."""
    row = PersonalKey(did=SigningKey(new.key).did, salt=new.salt, wrapped=new.wrapped)
    return _added(session, by_id, row, "sealed here", now)


def name(session: Session, by_id: int, did: str, now: datetime) -> PersonalKey:
    """Name a key that its holder keeps elsewhere. Raises Unreadable, Refused, Conflict, NotAllowed."""
    wanted = "".join(did.split())
    keys.public_of(wanted)
    if session.scalar(select(PersonalKey.id).where(PersonalKey.did == wanted)):
        raise Refused(_("This key stands here already. Make one that is yours alone."))
    return _added(session, by_id, PersonalKey(did=wanted), "kept elsewhere", now)


def open_key(row: PersonalKey, passphrase: str) -> SigningKey:
    """The key itself. Call it outside of a transaction. Raises Refused for a wrong passphrase or one that is not here."""
    if row.wrapped is None or row.salt is None:
        raise Refused(_("This key is not kept here. Sign with the command: trainer sign"))
    return SigningKey(sealed.unwrap(row.wrapped, passphrase, bytes.fromhex(row.salt)))


def change(
    session: Session, by_id: int, old: SigningKey, new: Fresh, document_id: str, now: datetime
) -> PersonalKey:
    """Put a new key in the place of the present one (``old``), introduced by it; ``document_id`` is a fresh urn:uuid.

    Raises Conflict where the present one is another by now.
    """
    before = current(session, by_id)
    if before is None or before.did != old.did:
        raise Conflict(_(CHANGED))
    said = issuers.introduction(
        old, SigningKey(new.key), session.get_one(Person, by_id).name, document_id, time_text(now)
    )
    _end(before, now)
    row = keep(session, by_id, new, now)
    row.introduction = jcs.written(said).decode("utf-8")
    return row


def seal_anew(session: Session, by_id: int, new: Fresh, now: datetime) -> None:
    """Keep the present key under another passphrase (`passphrase_keys.under`).

    Raises Conflict where none is held, or where the present one is another by now.
    """
    held = in_use(session, by_id)
    if held.did != SigningKey(new.key).did:
        raise Conflict(_(CHANGED))
    held.salt, held.wrapped = new.salt, new.wrapped
    audit.note(session, by_id, SEALED_ANEW, held.id, now, facts={"person": by_id})


def give_up(session: Session, by_id: int, now: datetime) -> None:
    """Sign with the present key no more: it is lost, or somebody else may have it. Raises Conflict where none is held."""
    held = in_use(session, by_id)
    _end(held, now)
    audit.note(session, by_id, GIVEN_UP, held.id, now, facts={"person": by_id})


def digest(row: PersonalKey) -> str:
    """SHA-256 of whose key this is, as its link tells it."""
    return jcs.digest({"person": row.person_id, "key": row.did}).hex()


def _added(session: Session, by_id: int, row: PersonalKey, form: str, now: datetime) -> PersonalKey:
    if not HOLDING & entitlements.roles_of(session, by_id):
        raise NotAllowed(_("Your roles sign no records, so you need no key."))
    session.flush()  # one that was just ended is none any more
    if current(session, by_id) is not None:
        raise Conflict(_("You hold a key already. Change it, or give it up if it is lost."))
    row.person_id, row.made_at = by_id, now
    session.add(row)
    session.flush()  # its number is needed for the note
    audit.note(
        session, by_id, KEPT, row.id, now, facts={"person": by_id, "form": form, "digest": digest(row)}
    )
    return row


def _end(row: PersonalKey, now: datetime) -> None:
    row.ended_at, row.salt, row.wrapped = now, None, None
