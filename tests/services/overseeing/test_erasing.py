"""Somebody who left is erased by two people once the time is over; the chain and all others still prove themselves."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.entering import make_level_iii, verified
from tests.files import PDF
from tests.make import NOW, People, make_class, make_marked_papers, make_people, make_person
from tests.sitting import make_sitting
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.records.keys import SigningKey
from trainer.services.admitting import accounts
from trainer.services.examining import appeals, invigilation, printed_papers, scoring_papers
from trainer.services.keeping import audit
from trainer.services.keeping.moments import day_begins
from trainer.services.keeping.paging import Wish
from trainer.services.overseeing import erasing, notes
from trainer.services.proving import exporting, ledger_check
from trainer.services.qualifying import countersigning, evidence, histories, ledger, schemes, standing
from trainer.store.models import (
    Appeal,
    Entry,
    EvidenceFile,
    Export,
    IdentityCheck,
    Incident,
    Link,
    Model,
    Paper,
    Person,
    TypedMarks,
)

KEEP = 10
KEY = SigningKey(b"k" * 32)
LATER = NOW + timedelta(days=KEEP * 366)
SECRET = "Rosebud lane 7"
# Tables that hold something about a person and are not deleted from: emptied in place, or only numbers.
EMPTIED = {"entry", "export"}
NUMBERS = {"countersignature", "practice_decision", "erasure", "practical_examiner", "record_signer"}
APART = {"paper", "practical_sheet"}  # with answers and marks, which hang on them


@pytest.fixture
def four(session: Session) -> People:
    """The four; Tess has one of everything and has left, and her entry for Ian's ledger stays."""
    people = make_people(session)
    make_class(session, people.ian, people.tess)
    row = verified(session, people.tess, people.tess, "trainee", people.emma, note=SECRET)
    evidence.attach(session, row.id, people.tess, "scan.pdf", PDF, NOW)
    make_marked_papers(session, people.ian, people.tess)
    placed = standing.place(
        session, session.get_one(Person, people.tess), date(2026, 11, 25), schemes.known(Path("nowhere"))
    )
    exporting.export(
        session, placed, "credential", people.emma, KEY, "urn:uuid:11111111-2222-4333-8444-555555555555", NOW
    )
    verified(session, people.ian, people.emma, "employer", make_level_iii(session), "vision")
    accounts.set_left(session, people.emma, people.tess, True, NOW)
    return people


def level_iii(session: Session) -> int:
    """The Level III of the house."""
    return accounts.person_numbered(session, "TV-91").id


def asked(session: Session, four: People) -> None:
    """Emma's asking, after the time is over."""
    erasing.ask(session, four.emma, four.tess, "asked by letter", KEEP, LATER)


def test_nothing_about_the_person_is_left(session: Session, four: People) -> None:
    """Name, note, file, paper and the copy of the signed record are gone from every table; the chain holds."""
    asked(session, four)
    erasing.erase(session, level_iii(session), four.tess, LATER)
    session.flush()
    kept = str([session.execute(select(table)).all() for table in Model.metadata.tables.values()])
    assert [word for word in (SECRET, "TV-07", "'Tess'", "%PDF") if word in kept] == []
    for table in (EvidenceFile, Paper):
        assert session.scalars(select(table)).all() == []
    (entry,) = session.scalars(select(Entry).where(Entry.person_id == four.tess))
    (export,) = session.scalars(select(Export))
    assert (entry.body, entry.salt, export.body) == ({}, None, "")
    assert ledger_check.walk(session).broken is None
    assert histories.history_of(session, four.ian).entries[0].kind == "vision"


def test_the_erased_person_is_not_found(session: Session, four: People) -> None:
    """Lists, lookups, entries and notes treat them like nobody; the act itself is told."""
    (entry_id,) = session.scalars(select(Entry.id).where(Entry.person_id == four.tess))
    asked(session, four)
    erasing.erase(session, level_iii(session), four.tess, LATER)
    assert four.tess not in [one.id for one in accounts.people_of(session, four.emma)]
    assert four.tess not in [one.id for one in accounts.everybody(session)]
    for look in (
        lambda: accounts.colleague(session, four.emma, four.tess),
        lambda: ledger.one(session, four.emma, entry_id),
        lambda: erasing.ask(session, four.emma, four.tess, "again", KEEP, LATER),
    ):
        with pytest.raises(NotFound):
            look()
    assert countersigning.waiting(session, four.emma) == []
    assert notes.of_house(session, four.emma, 1).rows[0].what == audit.ERASED
    assert erasing.gone(session, four.emma, KEEP, Wish()).rows == []


def test_how_many_are_free_is_what_the_list_says(session: Session, four: People) -> None:
    """Counted in the store or read from the list, leap days or not: the same people may be erased."""
    for number, left in enumerate(
        (date(2024, 2, 28), date(2024, 2, 29), date(2024, 3, 1), date(2025, 2, 28))
    ):
        person = make_person(session, f"TV-3{number}", "Somebody who left")
        person.left_at = day_begins(left) + timedelta(hours=23)
    for today in (
        date(2025, 2, 27),
        date(2025, 2, 28),
        date(2025, 3, 1),
        date(2026, 2, 28),
        date(2028, 2, 29),
    ):
        for years in (1, 2, 4):
            rows = erasing.gone(session, four.emma, years, Wish()).rows
            free = sum(one.free_from <= today for one in rows)
            assert erasing.how_many_free(session, four.emma, years, today) == free, (today, years)


def test_two_hands_and_not_before_the_time(session: Session, four: People) -> None:
    """Only after the years, only who left, never by one alone, by nobody else, and not without a reason."""
    with pytest.raises(Refused, match="kept until 2036-11-25"):
        erasing.ask(session, four.emma, four.tess, "soon", KEEP, NOW + timedelta(days=3650))
    with pytest.raises(Refused, match="has not left"):
        erasing.ask(session, four.emma, four.ian, "why", KEEP, LATER)
    with pytest.raises(Refused, match="Do not name"):
        erasing.ask(session, four.emma, four.tess, " ", KEEP, LATER)
    with pytest.raises(NotAllowed):
        erasing.ask(session, four.ian, four.tess, "why", KEEP, LATER)
    with pytest.raises(Conflict):
        erasing.erase(session, four.emma, four.tess, LATER)
    asked(session, four)
    with pytest.raises(Conflict):
        asked(session, four)
    with pytest.raises(NotAllowed, match="somebody else"):
        erasing.erase(session, four.emma, four.tess, LATER)
    boss = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    for act in (erasing.erase, erasing.call_off):
        with pytest.raises(NotFound):
            act(session, boss, four.tess, LATER)


def test_calling_off(session: Session, four: People) -> None:
    """What was called off cannot be done, and can be asked again."""
    asked(session, four)
    erasing.call_off(session, level_iii(session), four.tess, LATER)
    with pytest.raises(Conflict):
        erasing.call_off(session, four.emma, four.tess, LATER)
    with pytest.raises(Conflict):
        erasing.erase(session, level_iii(session), four.tess, LATER)
    asked(session, four)


def test_emptying_behind_the_back_is_found(session: Session, four: People) -> None:
    """An entry emptied without the act in the chain is no erasure; one filled again after it is found too."""
    (entry,) = session.scalars(select(Entry).where(Entry.person_id == four.tess))
    body, entry.body = entry.body, {}
    session.flush()
    assert ledger_check.walk(session).broken is not None
    entry.body = body
    session.flush()
    asked(session, four)
    erasing.erase(session, level_iii(session), four.tess, LATER)
    entry.body = {"date": "2026-11-20"}
    session.flush()
    assert "was changed" in ledger_check.walk(session).says


def test_equal_facts_have_unequal_digests(session: Session, four: People) -> None:
    """The salt keeps anybody from guessing an erased fact by hashing likely ones."""
    (entry,) = session.scalars(select(Entry).where(Entry.person_id == four.tess))
    before = ledger.digest(entry)
    salt, entry.salt = entry.salt, "0" * 64
    assert ledger.digest(entry) != before
    entry.salt = salt
    assert ledger.digest(entry) == before
    assert all(str(salt) not in str(link.event) for link in session.scalars(select(Link)))


def test_no_table_about_people_is_forgotten() -> None:
    """Every table with a column person_id is deleted from, emptied, or holds numbers and words only."""
    about = {name for name, table in Model.metadata.tables.items() if "person_id" in table.columns}
    deleted = {table.__tablename__ for table in erasing.DELETED}
    assert about == deleted | EMPTIED | NUMBERS | APART


def test_what_hangs_on_papers_goes_with_them(session: Session, shelf: Shelf) -> None:
    """Identity, incident, appeal and typed marks of the erased are gone; a line typed about another stays."""
    people = make_people(session)
    other = make_person(session, "TV-08", "Bo").id
    sitting = make_sitting(session, shelf, people, other)
    rows = printed_papers.draw(session, shelf, people.ian, sitting.id, 2, iter(range(1, 99)).__next__, NOW)
    for turn in (1, 2):
        printed_papers.take(session, people.ian, sitting.id, turn, "1 TV-07 RW", NOW)
    printed_papers.take(session, people.ian, sitting.id, 1, "2 TV-08 RW", NOW)
    paper = rows[0].paper_id or 0
    invigilation.confirm_identity(session, people.ian, paper, NOW)
    invigilation.write_down(session, people.ian, sitting.id, "Felt ill", paper, NOW)
    printed_papers.take(session, people.ian, sitting.id, 1, "2 -", NOW)
    session.expire_all()
    scoring_papers.close(session, shelf, people.ian, sitting.id, NOW)
    appeals.write_down(session, people.ian, paper, 2, "It was right", NOW)
    accounts.set_left(session, people.emma, people.tess, True, NOW)
    asked(session, people)
    erasing.erase(session, make_level_iii(session), people.tess, LATER)
    for table in (Paper, IdentityCheck, Incident, Appeal):
        assert session.scalars(select(table)).all() == []
    assert session.scalars(select(TypedMarks.works_number)).all() == ["TV-08", ""]
