"""Who signs a record beside the house: who may be named on it, who has signed, and the file with all signatures.

The record itself is kept as the house signed it and never changed; each further signature stands beside it.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Refused
from trainer.languages import _
from trainer.records import jcs, proof
from trainer.records.signers import Signer
from trainer.services.admitting.entitlements import EXAMINING
from trainer.services.proving import personal_keys
from trainer.store.models import Entry, Export, Person, RecordSigner


@dataclass(frozen=True, slots=True)
class Offer:
    """Somebody who may be named: the person, in which role, with which key."""

    person: Person
    role: str
    did: str

    @property
    def value(self) -> str:
        """The name of the offer in a form."""
        return f"{self.person.id} {self.role}"

    @property
    def signer(self) -> Signer:
        """As the record names them."""
        return Signer(self.did, self.person.name, self.role)


def offers(session: Session, by_id: int, person_id: int) -> list[Offer]:
    """Everybody of the house who holds a key and may sign this person's record, in each role in which they may.

    Level III, employer, and as examiner whoever entered or countersigned an examination of the person. Never the
    person concerned.
    """
    graders = _graders(session, person_id)
    found = []
    for person, key in personal_keys.of_house(session, by_id):
        if person.id == person_id:
            continue
        grades = person.id in graders and bool(EXAMINING & person.roles)
        may = {
            "Level III": "level_iii" in person.roles,
            "examiner": grades,
            "employer": "employer" in person.roles,
        }
        found += [Offer(person, role, key.did) for role, is_so in may.items() if is_so]
    return found


def chosen(session: Session, by_id: int, person_id: int, values: Iterable[str]) -> tuple[Offer, ...]:
    """The offers of these values. Raises Refused for one that is not offered, or one person in two roles."""
    wanted = list(dict.fromkeys(values))
    if not wanted:
        return ()
    offered = {one.value: one for one in offers(session, by_id, person_id)}
    if not offered.keys() >= set(wanted):
        raise Refused(_("Somebody who was ticked may not sign this record any more. Load the page anew."))
    found = tuple(offered[value] for value in wanted)
    for one in found:
        if sum(other.did == one.did for other in found) > 1:
            raise Refused(_("%(name)s signs once: tick one role.", name=one.person.name))
    return found


def expect(session: Session, export: Export, named: Sequence[Offer]) -> None:
    """Keep whom a record names, for a record that has just been made."""
    session.add_all(
        RecordSigner(export_id=export.id, person_id=one.person.id, did=one.did, role=one.role)
        for one in named
    )


def of_record(session: Session, export_id: int) -> list[tuple[RecordSigner, str]]:
    """Whom a record names, in its order, each with the person's name of today."""
    wanted = select(RecordSigner, Person.name).join(Person, Person.id == RecordSigner.person_id)
    rows = session.execute(wanted.where(RecordSigner.export_id == export_id).order_by(RecordSigner.id))
    return [(row, name) for row, name in rows]


def file_of(session: Session, export: Export) -> bytes:
    """The signed record with every signature that there is."""
    proofs = [json.loads(row.proof) for row, _name in of_record(session, export.id) if row.proof]
    body = export.body.encode("utf-8")
    return jcs.written(proof.with_proofs(jcs.parse(body), proofs)) if proofs else body


def _graders(session: Session, person_id: int) -> set[int]:
    examined = select(Entry).where(Entry.person_id == person_id, Entry.kind == "examination")
    hands = set()
    for row in session.scalars(examined):
        hands |= {row.entered_by_id, *(one.person_id for one in row.countersignatures)}
    return hands
