"""A signed record of another installation is verified, then its entries wait for a countersignature here."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.entering import make_level_iii, verified
from tests.make import NOW, People, make_people, make_person
from trainer.errors import NotFound, Refused, Unreadable
from trainer.records.issuers import Issuer
from trainer.records.keys import SigningKey
from trainer.services.proving import exporting, foreign_records, ledger_check
from trainer.services.qualifying import evidence, ledger, schemes, standing
from trainer.store.models import Person

KEY = SigningKey(b"f" * 32)
TRUSTED = (Issuer(KEY.did, "Hook and Chain Works"),)
KNOWN = schemes.known(Path("nowhere"))
URN = "urn:uuid:11111111-2222-4333-8444-555555555555"


@pytest.fixture
def four(session: Session) -> People:
    """The four; Omar's ledger stands for that of the other installation."""
    return make_people(session)


@pytest.fixture
def record(session: Session, four: People) -> bytes:
    """Omar's record: experience, a reversed day, and near vision, signed by his employer."""
    boss = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    verified(session, four.omar, four.omar, "trainee", boss)
    wrong = verified(session, four.omar, four.omar, "trainee", boss, date="2026-11-19")
    ledger.reverse(session, wrong.id, "another person's shift", boss, NOW)
    verified(session, four.omar, four.omar, "trainee", boss, "vision")
    person = session.get_one(Person, four.omar)
    placed = standing.place(session, person, date(2026, 11, 25), KNOWN, "SNT-2020", "I")
    return exporting.export(session, placed, "credential", boss, KEY, URN, NOW).data


def test_entries_are_taken_over_unsigned(session: Session, four: People, record: bytes) -> None:
    """Experience and vision are entered about Tess with their origin told; the reversed day is left out."""
    level_iii = make_level_iii(session)
    foreign = foreign_records.read(record, TRUSTED, NOW)
    assert (foreign.issuer, foreign.subject) == ("Hook and Chain Works", "HK-03")
    preview = foreign_records.check(session, level_iii, four.tess, foreign, NOW, list(KNOWN))
    assert [one.kind for one in preview.planned] == ["experience", "vision"]
    assert len(preview.left_out) == 2
    rows = foreign_records.take(session, level_iii, four.tess, foreign, NOW, list(KNOWN))
    assert "countersigned there by HK-90 (employer)" in rows[0].body["evidence"]
    assert not any(row.countersignatures for row in rows)
    (file,) = evidence.files_of(session, rows[0].id)
    assert (file.kind, json.loads(file.content)["id"]) == ("record", URN)
    assert ledger_check.walk(session).broken is None
    again = foreign_records.check(session, level_iii, four.tess, foreign, NOW, list(KNOWN))
    assert again.planned == ()
    with pytest.raises(Refused, match="Nothing of this record"):
        foreign_records.take(session, level_iii, four.tess, foreign, NOW, list(KNOWN))


def test_what_is_not_genuine_is_refused(record: bytes) -> None:
    """Unknown issuer, altered, no record at all: refused with the verdict in words."""
    with pytest.raises(Refused, match="unknown issuer"):
        foreign_records.read(record, (), NOW)
    with pytest.raises(Refused, match="altered"):
        foreign_records.read(record.replace(b'"7.5"', b'"9.5"'), TRUSTED, NOW)
    for data in (b"", b"[]", b"{" * 100_000, b"%PDF-1.4 nothing"):
        with pytest.raises((Refused, Unreadable)):
            foreign_records.read(data, TRUSTED, NOW)


def test_only_about_own_people(session: Session, four: People, record: bytes) -> None:
    """An instructor without a class of hers, and another house, find no such person."""
    foreign = foreign_records.read(record, TRUSTED, NOW)
    for stranger in (four.ian, four.omar):
        with pytest.raises(NotFound):
            foreign_records.check(session, stranger, four.tess, foreign, NOW, list(KNOWN))
