"""Evidence files are taken by what they are, kept unchanged, and seen by those who may see the entry."""

from __future__ import annotations

from hashlib import sha256

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.entering import entered
from tests.files import JPEG, PDF, PNG, PRETENDING
from tests.make import NOW, People, make_people, make_person
from tests.signing import make_record
from tests.work import calls_in
from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.services.proving import ledger_check
from trainer.services.qualifying import evidence
from trainer.store.models import Entry, EvidenceFile


@pytest.fixture
def four(session: Session) -> People:
    """The four."""
    return make_people(session)


@pytest.fixture
def entry(session: Session, four: People) -> Entry:
    """One entry of Tess."""
    return entered(session, four.tess, four.tess, "trainee")


@pytest.mark.parametrize(("data", "kind"), [(PDF, "pdf"), (PNG, "png"), (JPEG, "jpeg")])
def test_each_kind_is_kept_with_its_digest(
    session: Session, four: People, entry: Entry, data: bytes, kind: str
) -> None:
    """The bytes come back as they were sent, whatever the file was called."""
    row = evidence.attach(session, entry.id, four.tess, "../../etc/run.exe", data, NOW)
    session.expire_all()
    found = evidence.one(session, four.emma, row.id)
    assert (found.kind, found.content, found.name) == (kind, data, "run.exe")
    assert found.digest == sha256(data).hexdigest()
    assert ledger_check.walk(session).broken is None


@pytest.mark.parametrize("name", PRETENDING)
def test_what_only_pretends_is_refused(session: Session, four: People, entry: Entry, name: str) -> None:
    """A file is judged by its bytes: pages, programs, pictures with a tail, records that are none."""
    with pytest.raises(Unreadable):
        evidence.attach(session, entry.id, four.tess, name, PRETENDING[name], NOW)
    assert session.scalars(select(EvidenceFile)).all() == []


def test_a_signed_record_is_taken_as_it_was_signed(session: Session, four: People, entry: Entry) -> None:
    """One letter of it changed, it is refused as altered."""
    record = make_record(session, four, ()).body.encode()
    with pytest.raises(Unreadable, match="altered"):
        evidence.attach(session, entry.id, four.tess, "r.json", record.replace(b"Tess", b"Toss"), NOW)
    assert evidence.attach(session, entry.id, four.tess, "r.json", record, NOW).kind == "record"


def test_bounds(session: Session, four: People, entry: Entry, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nothing empty, nothing too large, nothing twice, not too many."""
    monkeypatch.setattr(evidence, "MOST_FILES", 2)
    for data in (b"", PDF + b" " * evidence.MOST_BYTES):
        with pytest.raises(Refused):
            evidence.attach(session, entry.id, four.tess, "scan.pdf", data, NOW)
    evidence.attach(session, entry.id, four.tess, "scan.pdf", PDF, NOW)
    with pytest.raises(Conflict):
        evidence.attach(session, entry.id, four.tess, "again.pdf", PDF, NOW)
    evidence.attach(session, entry.id, four.tess, "", PNG, NOW)
    with pytest.raises(Refused, match="2 files already"):
        evidence.attach(session, entry.id, four.tess, "third.jpg", JPEG, NOW)


def test_who_may_see_and_attach(session: Session, four: People, entry: Entry) -> None:
    """The person concerned and those who oversee them; for everybody else there is no such thing."""
    row = evidence.attach(session, entry.id, four.emma, "scan.pdf", PDF, NOW)
    boss = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    for stranger in (four.omar, boss, four.ian):
        with pytest.raises(NotFound):
            evidence.one(session, stranger, row.id)
        with pytest.raises(NotFound):
            evidence.attach(session, entry.id, stranger, "scan.png", PNG, NOW)
    assert evidence.one(session, four.tess, row.id).id == row.id
    with pytest.raises(NotFound):
        evidence.one(session, four.emma, 99)


def test_an_exchanged_file_is_found(session: Session, four: People, entry: Entry) -> None:
    """The audit reads the bytes anew and names the file."""
    row = evidence.attach(session, entry.id, four.tess, "scan.pdf", PDF, NOW)
    row.content = PNG
    session.flush()
    assert "Evidence file 1 was changed" in ledger_check.walk(session).says


def test_hostile_json_costs_little(session: Session) -> None:
    """A file nested without end is put down after little work."""

    def ask() -> None:
        with pytest.raises(Unreadable):
            evidence.kind_of(PRETENDING["deep.json"], NOW)

    assert calls_in(ask) < 100_000
