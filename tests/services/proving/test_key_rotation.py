"""The old key introduces the new one; what it signed stays verifiable and can still be withdrawn."""

from __future__ import annotations

import stat
from datetime import date, datetime, timedelta
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.entering import verified
from tests.make import NOW, People, make_people
from trainer.errors import NotFound, Refused
from trainer.records import issuers as pinning
from trainer.records.issuers import Issuer
from trainer.records.keys import SigningKey
from trainer.records.verification import Verdict, verify
from trainer.services.proving import exporting, issuers, key_rotation, ledger_check, signing_key, withdrawals
from trainer.services.qualifying import schemes, standing
from trainer.store.models import Person

ON = date(2026, 11, 25)
LATER = NOW + timedelta(days=10)


@pytest.fixture
def four(session: Session) -> People:
    """The four, with one verified entry of Tess."""
    people = make_people(session)
    verified(session, people.tess, people.tess, "trainee", people.emma)
    return people


def urn(number: int) -> str:
    """A name for a document."""
    return f"urn:uuid:11111111-2222-4333-8444-{number:012}"


def exported(session: Session, people: People, key: SigningKey, number: int, now: datetime) -> bytes:
    """A signed record of Tess."""
    person = session.get_one(Person, people.tess)
    placed = standing.place(session, person, ON, schemes.known(Path("nowhere")), "SNT-2020", "I")
    return exporting.export(session, placed, "credential", people.emma, key, urn(number), now).data


def test_records_of_both_keys_verify_for_who_took_the_introduction_up(
    session: Session, four: People, tmp_path: Path
) -> None:
    """Here and at an employer elsewhere: old record, new record, and the withdrawal of the old one."""
    old = signing_key.ensure(tmp_path)
    elsewhere: tuple[Issuer, ...] = (Issuer(old.did, "Tarn Valley"),)
    first = exported(session, four, old, 1, NOW)
    file = key_rotation.rotate(session, tmp_path, SigningKey(b"n" * 32), urn(9), LATER)
    new = signing_key.load(tmp_path)
    assert new.did == SigningKey(b"n" * 32).did
    second = exported(session, four, new, 2, LATER + timedelta(days=1))
    elsewhere = pinning.accept(elsewhere, file.read_bytes())
    for held in (elsewhere, issuers.pinned(tmp_path)):
        assert verify(first, held, ON).verdict is Verdict.VALID
        assert "in use until 2026-12-05" in verify(first, held, ON).reasons[0]
        assert verify(second, held, ON).verdict is Verdict.VALID
    (row,) = [one for one in exporting.exports_of(session, four.tess) if one.credential == urn(1)]
    withdrawals.withdraw(session, four.emma, row.id, "made in error", LATER, for_good=True)
    earlier = issuers.earlier_keys(tmp_path, new.did)
    lists = withdrawals.status_lists(session, new, "Tarn Valley", LATER, earlier).data
    assert verify(first, elsewhere, LATER.date(), lists).verdict is Verdict.REVOKED
    assert verify(second, elsewhere, LATER.date(), lists).verdict is Verdict.VALID
    assert ledger_check.walk(session).broken is None


def test_the_old_key_signs_nothing_more(session: Session, four: People, tmp_path: Path) -> None:
    """A record that the old key signs after its day is of an unknown issuer."""
    old = signing_key.ensure(tmp_path)
    key_rotation.rotate(session, tmp_path, SigningKey(b"n" * 32), urn(9), NOW)
    late = exported(session, four, old, 3, NOW + timedelta(days=1))
    assert verify(late, issuers.pinned(tmp_path), ON).verdict is Verdict.UNKNOWN_ISSUER


def test_files_are_for_their_owner_and_in_order(session: Session, four: People, tmp_path: Path) -> None:
    """The new key file has mode 600; each change leaves its introduction, the oldest first."""
    signing_key.ensure(tmp_path)
    for number in (1, 2):
        moment = NOW + timedelta(days=number)
        key_rotation.rotate(session, tmp_path, SigningKey(bytes([number]) * 32), urn(number), moment)
    assert stat.S_IMODE((tmp_path / signing_key.KEY_FILE).stat().st_mode) & 0o077 == 0
    files = key_rotation.introductions(tmp_path)
    assert [file.name[:10] for file in files] == ["2026-11-26", "2026-11-27"]
    own = signing_key.load(tmp_path).did
    assert len(issuers.earlier_keys(tmp_path, own)) == 2
    assert not list(tmp_path.glob("*.part"))


def test_a_lost_key_introduces_nothing(session: Session, four: People, tmp_path: Path) -> None:
    """Without a key, or with one that is no longer believed, nothing is changed."""
    with pytest.raises(NotFound, match="There is no signing key"):
        key_rotation.rotate(session, tmp_path, SigningKey(b"n" * 32), urn(9), NOW)
    old = signing_key.ensure(tmp_path)
    issuers.unpin(session, tmp_path, four.emma, old.did, old.did, "stolen", date(2026, 11, 1), NOW)
    with pytest.raises(Refused, match="not on your list for that day"):
        key_rotation.rotate(session, tmp_path, SigningKey(b"n" * 32), urn(9), NOW)
    assert signing_key.load(tmp_path).did == old.did
