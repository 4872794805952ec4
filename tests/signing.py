"""Builders of personal keys and of a record that names who is to sign it."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path

from sqlalchemy.orm import Session

from tests.make import NOW, People
from trainer.records import sealed
from trainer.records.keys import SigningKey
from trainer.services.keeping.passphrase_keys import Fresh
from trainer.services.proving import exporting, personal_keys, record_signers
from trainer.services.qualifying import schemes, standing
from trainer.store.models import Export, Person

HOUSE_KEY = SigningKey(b"k" * 32)
KEY_PASSPHRASE = "yoke prod lead meter"
ON = date(2026, 11, 25)


def fresh(number: int = 1) -> Fresh:
    """A new key that is the same in each run."""
    key, salt = bytes([number]) * 32, bytes([number]) * 16
    return Fresh(key, salt.hex(), sealed.wrap(key, KEY_PASSPHRASE, salt))


def make_key(session: Session, person_id: int, number: int = 1) -> SigningKey:
    """A personal key, kept in the house."""
    personal_keys.keep(session, person_id, fresh(number), NOW)
    return SigningKey(fresh(number).key)


def make_record(
    session: Session, people: People, values: Sequence[str], form: str = "credential", number: int = 1
) -> Export:
    """Tess's record, exported by Emma, naming the offers with these values."""
    named = record_signers.chosen(session, people.emma, people.tess, values)
    known = schemes.known(Path("nowhere"))
    placed = standing.place(session, session.get_one(Person, people.tess), ON, known, "SNT-2016-A1", "I")
    urn = f"urn:uuid:00000000-0000-4000-8000-{number:012}"
    exporting.export(session, placed, form, people.emma, HOUSE_KEY, urn, NOW, named)
    return exporting.exports_of(session, people.tess)[0]
