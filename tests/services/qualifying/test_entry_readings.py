"""What is countersigned was before the hand that signs it, and is still as it was read."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.entering import entered, make_level_iii
from tests.files import PDF
from tests.make import NOW, People, make_people, make_person
from trainer.errors import NotAllowed, NotFound
from trainer.services.proving import ledger_check
from trainer.services.qualifying import countersigning, entry_readings, evidence, ledger
from trainer.services.qualifying.entry_readings import NotAsRead, Page
from trainer.store.models import Entry, EntryReading


@pytest.fixture
def four(session: Session) -> People:
    """The four people in an empty store."""
    return make_people(session)


@pytest.fixture
def two(session: Session, four: People) -> list[Entry]:
    """Two entries of Tess that wait."""
    return [
        entered(session, four.tess, four.tess, "trainee", date=f"2026-11-{day}", hours="3")
        for day in (19, 20)
    ]


def read(session: Session, by_id: int, entries: list[Entry]) -> dict[str, str]:
    """Have the entries before somebody; the editions that were shown."""
    pages = entry_readings.pages(session, by_id, entries)
    entry_readings.remember(session, by_id, pages, NOW)
    session.flush()
    return {page.entry.id: page.edition for page in pages}


def page_of(session: Session, by_id: int, entry: Entry) -> Page:
    """One entry as it is to be read now."""
    (page,) = entry_readings.pages(session, by_id, [entry])
    return page


def test_what_was_read_is_signed(session: Session, four: People, two: list[Entry]) -> None:
    """Both are signed in one act, and the chain holds."""
    told = read(session, four.emma, two)
    assert entry_readings.countersign(session, told, four.emma, NOW) == 2
    assert [len(row.countersignatures) for row in two] == [1, 1]
    assert ledger_check.walk(session).broken is None


def test_what_was_never_read_is_not_signed(session: Session, four: People, two: list[Entry]) -> None:
    """Neither with a guessed edition, nor without any, nor because somebody else has read it: nothing is signed."""
    told = read(session, four.emma, two[:1])
    editions = read(session, make_level_iii(session), two)
    for other in (editions[two[1].id], "0" * 64, ""):
        with pytest.raises(NotAsRead) as refused:
            entry_readings.countersign(session, {**told, two[1].id: other}, four.emma, NOW)
        assert list(refused.value.faults) == [two[1].id]
        assert "not been before you" in refused.value.faults[two[1].id]
    assert [len(row.countersignatures) for row in two] == [0, 0]


def test_a_file_added_since_is_named(session: Session, four: People, two: list[Entry]) -> None:
    """Evidence that came after the reading must be read first, though another page showed it already."""
    told = read(session, four.emma, two)
    evidence.attach(session, two[0].id, four.tess, "scan.pdf", PDF, NOW)
    page = page_of(session, four.emma, two[0])
    assert (page.changed, page.is_read, [file.name for file in page.files]) == (True, False, ["scan.pdf"])
    for _ in range(2):
        with pytest.raises(NotAsRead, match="has changed since you read it") as refused:
            entry_readings.countersign(session, told, four.emma, NOW)
        assert list(refused.value.faults) == [two[0].id]
        again = read(session, four.emma, two)
    assert entry_readings.countersign(session, again, four.emma, NOW) == 2


def test_what_others_did_in_the_meantime(session: Session, four: People, two: list[Entry]) -> None:
    """Signed by another, taken back by its hand: each is named, none is signed; rights are as ever."""
    told = read(session, four.emma, two)
    countersigning.countersign(session, [two[0].id], make_level_iii(session), NOW)
    ledger.reverse(session, two[1].id, "wrong day", four.tess, NOW)
    with pytest.raises(NotAsRead) as refused:
        entry_readings.countersign(session, told, four.emma, NOW)
    assert ["meantime" in says for says in refused.value.faults.values()] == [True, True]
    mine = entered(session, four.tess, four.emma, "employer", date="2026-11-18")
    with pytest.raises(NotAllowed):
        entry_readings.countersign(session, read(session, four.emma, [mine]), four.emma, NOW)
    boss = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    with pytest.raises(NotFound):
        entry_readings.countersign(session, told, boss, NOW)


def test_each_edition_is_remembered_once(session: Session, four: People, two: list[Entry]) -> None:
    """The first time counts; a later look writes nothing, and the page tells when it was."""
    read(session, four.emma, two)
    pages = entry_readings.pages(session, four.emma, two)
    entry_readings.remember(session, four.emma, pages, NOW + timedelta(days=1))
    assert [row.read_at for row in session.scalars(select(EntryReading))] == [NOW, NOW]
    assert [(page.read_at, page.is_read) for page in pages] == [(NOW, True), (NOW, True)]
