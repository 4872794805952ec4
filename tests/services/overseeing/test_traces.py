"""After an erasure no byte of the person is left in the store's files, and the chain still proves itself."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from sqlalchemy import delete, select, update
from sqlalchemy.orm import Session

from tests.entering import entered, make_level_iii
from tests.examining import make_practical
from tests.files import PDF
from tests.make import NOW, make_people
from tests.sitting import make_paper, make_sitting
from trainer.cli import trainer
from trainer.drills.shelf import Shelf
from trainer.records import chain
from trainer.services.admitting import accounts, sign_in
from trainer.services.examining import appeals, invigilation, papers, practicals, scoring_papers, sittings
from trainer.services.keeping import audit
from trainer.services.overseeing import erasing, notes, personal_data
from trainer.services.proving import ledger_check
from trainer.services.qualifying import evidence
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.models import Aside, Link, Person

NAME, NUMBER, ADDRESS = "Quillfeather", "QF-3141", "203.0.113.77"
WORDS = {
    "the extra time": "zarf one",
    "the incident": "zarf two",
    "the void practical": "zarf three",
    "the appeal": "zarf four",
    "the second marking": "zarf five",
    "the void paper": "zarf six",
    "the asking": "zarf seven",
    "the entry": "zarf eight",
    "the file": "zarf-nine",
    "the browser": "zarf ten",
}
LATER = NOW + timedelta(days=4020)


@pytest.fixture
def left(session: Session, shelf: Shelf) -> tuple[int, int, int]:
    """Somebody who left, the one who asks, the one who erases."""
    return leave(session, shelf)


def leave(session: Session, shelf: Shelf) -> tuple[int, int, int]:
    """Somebody with a trace of every kind, who has left; the one who asks, the one who erases."""
    four = make_people(session)
    tess = session.get_one(Person, four.tess)
    tess.name, tess.works_number = NAME, NUMBER
    boss, other = make_level_iii(session), make_level_iii(session, "TV-92")
    sign_in.begin(session, tess.id, NOW, 12, ADDRESS, WORDS["the browser"])
    row = entered(session, tess.id, tess.id, "trainee", note=WORDS["the entry"])
    evidence.attach(session, row.id, tess.id, WORDS["the file"] + ".pdf", PDF, NOW)
    sheet = make_practical(session, shelf.bank, four)
    practicals.void(session, shelf.bank, four.ian, sheet.id, WORDS["the void practical"], NOW)
    sitting = make_sitting(session, shelf, four)
    paper = make_paper(session, shelf, tess.id)
    sittings.more_time(session, four.ian, paper.id, 5, WORDS["the extra time"], NOW)
    invigilation.write_down(session, four.ian, sitting.id, WORDS["the incident"], paper.id, NOW)
    papers.hand_in(session, tess.id, paper.id, NOW)
    session.expire_all()
    scoring_papers.close(session, shelf, four.ian, sitting.id, NOW)
    appeal = appeals.write_down(session, four.ian, paper.id, 1, WORDS["the appeal"], NOW)
    appeals.decide(session, boss, appeal.id, "right", WORDS["the second marking"], NOW)
    make_sitting(session, shelf, four, title="Another")
    sittings.void_paper(
        session, four.ian, make_paper(session, shelf, tess.id).id, WORDS["the void paper"], NOW
    )
    accounts.set_left(session, four.emma, tess.id, True, NOW)
    erasing.ask(session, boss, tess.id, WORDS["the asking"], 10, LATER)
    return tess.id, boss, other


@pytest.mark.sqlite
def test_no_byte_is_left_and_the_audit_holds(database: Database, settings: Settings, shelf: Shelf) -> None:
    """Name, number, address and every reason are in the files before, and in none of them afterwards."""
    wanted = {"name": NAME, "number": NUMBER, "address": ADDRESS, **WORDS}
    with database.writing() as writing:
        person, _, eraser = leave(writing, shelf)
    kept = files(settings)
    assert [what for what, word in wanted.items() if word.encode() not in kept] == []
    with database.writing() as writing:
        erasing.erase(writing, eraser, person, LATER)
    assert database.scrub()
    kept = files(settings)
    assert [what for what, word in wanted.items() if word.encode() in kept] == []
    told = CliRunner().invoke(trainer, ["--instance", str(settings.instance), "audit"])
    assert (told.exit_code, "links hold" in told.output) == (0, True)


def files(settings: Settings) -> bytes:
    """All that the instance folder keeps: the database and what SQLite writes beside it."""
    return b"".join(file.read_bytes() for file in Path(settings.instance).rglob("*") if file.is_file())


def test_the_notes_say_what_was_erased(session: Session, left: tuple[int, int, int]) -> None:
    """Each note says in the place of address or reason that it was erased; the act says how much."""
    person, boss, eraser = left
    before = {one.seq: one for one in notes.of_house(session, boss, 500).rows}
    assert ADDRESS in {one.where for one in before.values()}
    erasing.erase(session, eraser, person, LATER)
    shown = {one.seq: one for one in notes.of_house(session, boss, 500).rows}
    gone = [seq for seq, one in before.items() if one.where == ADDRESS or "zarf" in str(one.facts)]
    assert len(gone) == 7
    assert all("erased with the person, 2037-" in f"{shown[seq].where} {shown[seq].facts}" for seq in gone)
    facts = dict(shown[max(shown)].facts)
    assert facts == {
        "entries": "1",
        "evidence files": "1",
        "addresses and reasons in notes": "7",
        "names in other texts": "0",
    }
    assert [row.person_id for row in erasing.done(session, boss)] == [person]


def test_asides_are_handed_out_to_whom_they_tell_of(session: Session, left: tuple[int, int, int]) -> None:
    """The file of one's own data has what notes tell of one in words."""
    told = personal_data.everything(session, left[0], NOW).decode()
    assert all(word in told for word in (ADDRESS, WORDS["the extra time"], WORDS["the void paper"]))


@pytest.mark.parametrize("way", ["edited", "taken out", "put in"])
def test_an_aside_changed_behind_the_back_is_found(session: Session, way: str) -> None:
    """What stands beside a link is held against it, like an entry."""
    four = make_people(session)
    link = audit.note(session, four.ian, "extra time", 1, NOW, apart=(four.tess, {"reason": "a fever"}))
    session.flush()
    assert ledger_check.walk(session).broken is None
    if way == "edited":
        session.execute(update(Aside).values(texts={"reason": "none"}))
    elif way == "taken out":
        session.execute(delete(Aside))
    else:
        session.add(Aside(link_seq=0, person_id=four.tess, salt="0" * 64, texts={"reason": "none"}))
    session.expire_all()
    walk = ledger_check.walk(session)
    assert walk.broken == link.seq
    assert {"edited": "was changed", "taken out": "is missing", "put in": "no link tells"}[way] in walk.says


def test_equal_words_have_unequal_digests(session: Session) -> None:
    """The salt keeps anybody from guessing an erased address by hashing all there are."""
    four = make_people(session)
    for _ in range(2):
        audit.note(session, four.tess, "signed in", four.tess, NOW, apart=(four.tess, {"where": ADDRESS}))
    one, two = session.scalars(select(Aside))
    one.link_seq = two.link_seq
    assert audit.digest(one) != audit.digest(two)


def test_links_of_the_first_edition_are_read_as_they_are(session: Session) -> None:
    """A link that holds address and reason itself still holds, is shown, and survives an erasure."""
    four = make_people(session)
    last = audit.recent(session, 1)[0]
    event = {
        "who": four.ian,
        "what": "paper void",
        "about": "1",
        "where": ADDRESS,
        "facts": {"reason": "ill"},
    }
    made = chain.link(last.seq + 1, audit.moment(NOW), event, last.hash)
    session.add(Link(seq=made.seq, time=made.time, event=made.event, prev=made.prev, hash=made.hash))
    audit.note(session, four.ian, "paper void", 2, NOW)
    session.flush()
    assert ledger_check.walk(session).broken is None
    old = next(one for one in notes.of_house(session, four.emma, 9).rows if one.seq == made.seq)
    assert (old.where, old.facts) == (ADDRESS, (("reason", "ill"),))
