"""Signing a record beside the house: what waits for whom, the reading of it, and the signature; each is noted."""

from __future__ import annotations

import json
from datetime import datetime

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.languages import _
from trainer.records import cosigning, jcs, proof
from trainer.records.jcs import Json
from trainer.records.keys import SigningKey
from trainer.services.admitting import entitlements
from trainer.services.keeping import audit
from trainer.services.proving import exporting, personal_keys, record_signers
from trainer.services.proving.records import time_text
from trainer.store.models import Export, PersonalKey, RecordSigner

SIGNED = "record signed"


def waiting(session: Session, by_id: int) -> list[tuple[RecordSigner, Export]]:
    """Every record that names this person, still stands and has not been signed by them, newest first."""
    return _found(session, _naming(by_id).where(RecordSigner.proof.is_(None)))


def signed(session: Session, by_id: int, most: int) -> list[tuple[RecordSigner, Export]]:
    """The newest records that this person has signed and that still stand."""
    return _found(session, _naming(by_id).where(RecordSigner.proof.is_not(None)).limit(most))


def one(session: Session, by_id: int, export_id: int) -> tuple[RecordSigner, Export]:
    """A record that names this person. Raises NotFound for any other, and for one that was withdrawn for good."""
    for row, export in _found(session, _naming(by_id).where(Export.id == export_id)):
        return row, export
    raise NotFound(_("There is no such record."))


def show(session: Session, by_id: int, export_id: int, now: datetime) -> None:
    """Keep that the record was before this person in full."""
    row, _export = one(session, by_id, export_id)
    row.shown_at = row.shown_at or now


def may_sign(session: Session, by_id: int, export_id: int) -> PersonalKey:
    """The key with which this person may sign the record now.

    Raises NotFound; Conflict where it is signed, was not before them, is suspended, or names another key of theirs;
    NotAllowed where their role has gone.
    """
    row, export = one(session, by_id, export_id)
    if row.proof is not None:
        raise Conflict(_("You have signed this record already."))
    if export.suspended_at is not None:
        raise Conflict(_("This record is suspended. Ask the employer."))
    held = personal_keys.current(session, by_id)
    if held is None or held.did != row.did:
        raise Conflict(
            _(
                "The record names a key that you no longer use. Ask the employer to withdraw it and to export it anew."
            )
        )
    offered = record_signers.offers(session, by_id, export.person_id)
    if (by_id, row.role) not in [(offer.person.id, offer.role) for offer in offered]:
        raise NotAllowed(_("Your roles do not entitle you any more to sign this record."))
    if row.shown_at is None:
        raise Conflict(_("The record has not been before you yet. Read it, then sign."))
    return held


def sign(session: Session, by_id: int, export_id: int, key: SigningKey, now: datetime) -> RecordSigner:
    """Sign the record with the key that ``may_sign`` gave, opened by its passphrase. Raises as it does."""
    if may_sign(session, by_id, export_id).did != key.did:
        raise Conflict(_("Your key has been changed in the meantime. Load the page anew."))
    row, export = one(session, by_id, export_id)
    signed = cosigning.cosigned(export.body.encode("utf-8"), key, row.role, time_text(now))
    _keep(session, by_id, row, export, proof.proof_of(jcs.parse(signed), key.did), now)
    return row


def take_in(session: Session, by_id: int, export_id: int, copy: bytes, now: datetime) -> int:
    """Take over the signatures of a copy that was signed elsewhere; return how many are new.

    Raises NotFound, NotAllowed but for an employer, Unreadable and Refused for another file, for a changed one, and for
    a key that was given up or changed meanwhile: who found it could have signed.
    """
    if "employer" not in entitlements.roles_of(session, by_id):
        raise NotAllowed(_("Only an employer takes signed copies in."))
    export = exporting.own_export(session, by_id, export_id)
    proofs = cosigning.further(export.body.encode("utf-8"), copy)
    ended = set(session.scalars(select(PersonalKey.did).where(PersonalKey.ended_at.is_not(None))))
    count = 0
    for row, name in record_signers.of_record(session, export_id):
        if row.did not in proofs or row.proof is not None:
            continue
        if row.did in ended:
            raise Refused(
                _("The key of %(name)s is no longer in use, so this signature is not taken.", name=name)
            )
        _keep(session, by_id, row, export, proofs[row.did], now)
        count += 1
    if not count:
        raise Refused(_("This copy bears no signature that is not here already."))
    return count


def digest(row: RecordSigner) -> str:
    """SHA-256 of who signed what, as its link tells it."""
    told = {
        "export": row.export_id,
        "person": row.person_id,
        "key": row.did,
        "role": row.role,
        "proof": row.proof,
    }
    return jcs.digest(told).hex()


def _naming(by_id: int) -> Select[RecordSigner, Export]:
    """Records that name somebody and still stand; of an erased person there is none any more."""
    wanted = select(RecordSigner, Export).join(Export, Export.id == RecordSigner.export_id)
    wanted = wanted.where(RecordSigner.person_id == by_id, Export.revoked_at.is_(None), Export.body != "")
    return wanted.order_by(Export.id.desc())


def _found(session: Session, wanted: Select[RecordSigner, Export]) -> list[tuple[RecordSigner, Export]]:
    return [(row, export) for row, export in session.execute(wanted)]


def _keep(
    session: Session, by_id: int, row: RecordSigner, export: Export, signature: Json, now: datetime
) -> None:
    row.proof, row.signed_at = json.dumps(signature, ensure_ascii=False), now
    facts: dict[str, str | int | None] = {
        "person": export.person_id,
        "credential": export.credential,
        "role": row.role,
        "digest": digest(row),
    }
    audit.note(session, by_id, SIGNED, row.id, now, facts=facts)
