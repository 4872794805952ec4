"""A sealed examination: nothing on the disk tells a key before the close; a lost passphrase leaves only to void it."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import timedelta
from pathlib import Path

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.make import NOW, PASSPHRASE, People, make_class, make_people, make_person
from tests.sitting import CODE, DRILL
from trainer.bank import Bank
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotNow, Refused
from trainer.examinations.composition import Composition, composed
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import (
    invigilation,
    paper_items,
    papers,
    printed_papers,
    scoring_papers,
    seals,
    sittings,
)
from trainer.services.keeping import passphrase_keys, sealed_papers
from trainer.services.overseeing import personal_data
from trainer.services.practising import questions
from trainer.services.proving import ledger_check
from trainer.services.teaching import classes
from trainer.store import Database, backup
from trainer.store.database_file import copy_database
from trainer.store.models import Edition, Paper, PaperAnswer, PrintedPaper, SealedEdition, Sitting

SEED = 100_000_007  # seeds of nine digits, so that none is found by accident


@dataclass(frozen=True)
class Room:
    """An examination with questions and drills, sealed and open; Tess and Ada have begun."""

    people: People
    ada: int
    sitting: int


@pytest.fixture
def room(database: Database, shelf: Shelf) -> Room:
    """Sealed, two papers printed, opened, two papers begun and written on."""
    with database.writing() as session:
        people = make_people(session)
        ada = make_person(session, "TV-21", "Ada").id
        sitting = planned(session, shelf, people, ada)
        seals.seal(session, people.ian, sitting, passphrase_keys.fresh(PASSPHRASE, PASSPHRASE), NOW)
        seeds = iter(range(SEED, SEED * 9, 7_654_321)).__next__
        printed_papers.draw(session, shelf, people.ian, sitting, 2, seeds, NOW)
        sittings.open_sitting(session, people.ian, sitting, NOW)
        for person in (people.tess, ada):
            papers.start(session, shelf, person, CODE, seeds, NOW)
    with database.writing() as session:
        for paper in session.scalars(select(Paper)).all():
            for row in paper.answers:
                text = "B" if paper_items.is_question(row) else "77 A"
                papers.save(session, paper.person_id, paper.id, row.position, text, False, NOW)
    return Room(people, ada, sitting)


def planned(session: Session, shelf: Shelf, people: People, *others: int, title: str = "MT-1") -> int:
    """A planned examination of three questions and two drills."""
    wanted = Plan((Line(DRILL, "I", 2),), 50, "general", questions=questions_of(shelf.bank))
    taught = make_class(session, people.ian, people.tess, *others, title=title).id
    return sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, CODE, NOW).id


def questions_of(bank: Bank) -> Composition:
    """Three questions of the small bank's coil topic."""
    return composed(bank.papers["small-1"].plan, 3, {"coil": 1}, [DRILL])


@pytest.fixture
def restarted(room: Room, database: Database) -> Iterator[Database]:
    """The same records in a program that was started anew."""
    again = Database(database.url.render_as_string(hide_password=False))
    yield again
    again.close()


def secrets_of(session: Session, shelf: Shelf) -> set[str]:
    """Every text that would tell a key: item, edition, seed, right option, numbers shown, the accepted limits."""
    items = [paper_items.facts(row) for row in session.scalars(select(PaperAnswer))]
    for printed in session.scalars(select(PrintedPaper)):
        items += printed_papers.facts_of(session, printed)
    assert len(items) == 20
    found: set[str] = set()
    for kept in items:
        found |= {kept["edition"], str(kept["seed"])}
        if "question" in kept:
            asked = questions.stored(session, shelf, kept)
            right = next(choice for choice in asked.choices if choice.right)
            found |= {kept["question"], right.text, right.because}
        else:
            drawn = shelf.draw(kept["drill"], kept["seed"], kept["find"])
            found |= {repr(drawn.answer), repr(drawn.accepted.low), repr(drawn.accepted.high)}
            found.add(json.dumps(kept["given"])[1:-1])
    return found


def on_disk(folder: Path) -> bytes:
    """Every byte of the database, of its log and of whatever else lies beside it."""
    files = sorted(file for file in folder.rglob("*") if file.is_file())
    assert {"trainer.sqlite", "trainer.sqlite-wal"} <= {file.name for file in files}
    return b"".join(file.read_bytes() for file in files)


@pytest.mark.sqlite
def test_no_byte_on_the_disk_tells_a_key(
    room: Room, database: Database, shelf: Shelf, tmp_path: Path
) -> None:
    """Database and log of a running sealed examination hold none of it; after the close all of it is there in plain."""
    with database.reading() as session:
        hidden = secrets_of(session, shelf)
    before = on_disk(tmp_path)
    assert [word for word in hidden if word.encode() in before] == []
    assert b"77 A" in before  # what was written is not sealed, and the search finds what is there
    copy_database(tmp_path / "instance" / "trainer.sqlite", tmp_path / "copy.sqlite")
    copied = (tmp_path / "copy.sqlite").read_bytes()
    assert [word for word in hidden if word.encode() in copied] == []
    close(database, shelf, room)
    after = on_disk(tmp_path)
    with database.reading() as session:
        rows = [row.exercise for row in session.scalars(select(PaperAnswer))]
        assert [kept for kept in rows if str(kept["seed"]).encode() not in after] == []
        assert [kept for kept in rows if kept["edition"].encode() not in after] == []
        assert session.scalars(select(SealedEdition)).all() == []
        assert {kept["edition"] for kept in rows} <= set(session.scalars(select(Edition.hash)))


@pytest.mark.sqlite
def test_an_open_one_would_be_found(database: Database, shelf: Shelf, tmp_path: Path) -> None:
    """The same search finds every seed and edition of an examination without a passphrase, so it can fail."""
    with database.writing() as session:
        people = make_people(session)
        sitting = planned(session, shelf, people)
        sittings.open_sitting(session, people.ian, sitting, NOW)
        papers.start(session, shelf, people.tess, CODE, iter(range(SEED, SEED * 9, 7_654_321)).__next__, NOW)
    with database.reading() as session:
        kept = [row.exercise for row in session.scalars(select(PaperAnswer))]
    there = on_disk(tmp_path)
    assert [one for one in kept if str(one["seed"]).encode() not in there] == []
    assert [one for one in kept if one["edition"].encode() not in there] == []


def test_sealed_and_open_score_alike(room: Room, database: Database, shelf: Shelf) -> None:
    """The close marks a sealed paper as its key says, in the same transaction that opens it, and the chain holds."""
    with database.reading() as session:
        tess = session.scalars(select(Paper).where(Paper.person_id == room.people.tess)).one()
        right = sum(
            paper_items.is_question(row) and paper_items.question(session, shelf, row).key == "B"
            for row in tess.answers
        )
    close(database, shelf, room)
    with database.reading() as session:
        tess = session.scalars(select(Paper).where(Paper.person_id == room.people.tess)).one()
        assert tess.score is not None
        assert (tess.score["right"], tess.score["of"]) == (right, 5)
        assert tess.entry_id is not None
        assert ledger_check.walk(session).broken is None


def close(database: Database, shelf: Shelf, room: Room) -> None:
    """Both hand in; Ian closes."""
    with database.writing() as session:
        close_in(session, shelf, room)


def close_in(session: Session, shelf: Shelf, room: Room) -> None:
    """The same in a transaction of the caller."""
    for paper in session.scalars(select(Paper)).all():
        papers.hand_in(session, paper.person_id, paper.id, NOW)
    scoring_papers.close(session, shelf, room.people.ian, room.sitting, NOW)


def test_after_a_start_it_is_locked(room: Room, restarted: Database, shelf: Shelf) -> None:
    """Nothing that needs an item goes on, nothing is lost, and the passphrase alone brings all of it back."""
    people = room.people
    with restarted.reading() as session:
        found = sittings.own_sitting(session, people.ian, room.sitting)
        assert sealed_papers.is_locked(session, found)
        paper = next(one.id for one in found.papers if one.person_id == people.tess)
    refused: tuple[Callable[[Session], object], ...] = (
        lambda s: papers.save(s, people.tess, paper, 1, "1 A", False, NOW),
        lambda s: close_in(s, shelf, room),
        lambda s: printed_papers.draw(s, shelf, people.ian, room.sitting, 1, lambda: SEED, NOW),
        lambda s: printed_papers.take(s, people.ian, room.sitting, 1, "1 TV-30 RRRRR", NOW),
        lambda s: questions.topics(s, shelf, people.tess),
    )
    for ask in refused:
        with pytest.raises(NotNow, match="must unlock"), restarted.writing() as session:
            ask(session)
    with restarted.reading() as session:
        kept = seals.of_sitting(session, people.ian, room.sitting)
        assert session.get_one(Paper, paper).handed_in_at is None
    with pytest.raises(Refused, match="not the passphrase"):
        passphrase_keys.key_behind(kept, PASSPHRASE.upper())
    with restarted.writing() as session:
        seals.unlock(session, people.ian, room.sitting, passphrase_keys.key_behind(kept, PASSPHRASE), NOW)
    with restarted.writing() as session:
        papers.save(session, people.tess, paper, 1, "C", False, NOW)
    close(restarted, shelf, room)
    with restarted.reading() as session:
        assert all(one.score for one in session.scalars(select(Paper)))


def test_another_bank_changes_no_sealed_paper(room: Room, restarted: Database, shelf: Shelf) -> None:
    """A program that is started with a bank without these items asks and marks them from the sealed editions."""
    bare = Shelf(replace(shelf.bank, questions={}))
    with restarted.reading() as session:
        kept = seals.of_sitting(session, room.people.ian, room.sitting)
    with restarted.writing() as session:
        seals.unlock(
            session, room.people.ian, room.sitting, passphrase_keys.key_behind(kept, PASSPHRASE), NOW
        )
    with restarted.reading() as session:
        rows = [row for row in session.scalars(select(PaperAnswer)) if paper_items.is_question(row)]
        assert rows
        for row in rows:
            one, other = (paper_items.question(session, bank, row) for bank in (shelf, bare))
            assert (one.key, one.choices) == (other.key, other.choices)


@pytest.mark.sqlite
def test_a_backup_of_a_running_one_goes_on(
    room: Room, database: Database, shelf: Shelf, tmp_path: Path
) -> None:
    """A backup made meanwhile is locked where it is brought back, and its passphrase opens, goes on and closes it."""
    file = backup.make(tmp_path / "instance", tmp_path / "backups", NOW)
    backup.restore(file, tmp_path / "other", NOW)
    back = Database(f"sqlite:///{(tmp_path / 'other' / 'trainer.sqlite').as_posix()}")
    with back.reading() as session:
        kept = seals.of_sitting(session, room.people.ian, room.sitting)
        assert sealed_papers.is_locked(session, sittings.own_sitting(session, room.people.ian, room.sitting))
    with back.writing() as session:
        seals.unlock(
            session, room.people.ian, room.sitting, passphrase_keys.key_behind(kept, PASSPHRASE), NOW
        )
    close(back, shelf, room)
    with back.reading() as session:
        assert all(one.score for one in session.scalars(select(Paper)))
        assert ledger_check.walk(session).broken is None
    back.close()


def test_a_lost_passphrase_leaves_to_void_it(room: Room, restarted: Database, shelf: Shelf) -> None:
    """Locked it can be declared void and stays sealed; practice and one's own data go on; found again, it opens."""
    people = room.people
    with restarted.writing() as session:
        sittings.void(session, people.ian, room.sitting, "passphrase lost", NOW)
    with restarted.reading() as session:
        rows = list(session.scalars(select(PaperAnswer)))
        assert all(set(row.exercise) == {sealed_papers.SEALED, sealed_papers.SITTING} for row in rows)
        assert {row.text for row in rows} == {"B", "77 A"}
        assert questions.hidden(session, people.tess) == frozenset()
        told = personal_data.everything(session, people.tess, NOW)
        assert sealed_papers.SEALED not in str(told)
    with restarted.reading() as session:
        kept = seals.of_sitting(session, people.ian, room.sitting)
    with restarted.writing() as session:
        seals.unlock(session, people.ian, room.sitting, passphrase_keys.key_behind(kept, PASSPHRASE), NOW)
    with restarted.reading() as session:
        assert len(questions.hidden(session, people.tess)) == 3
        with pytest.raises(Conflict, match="Nothing of this examination is sealed"):
            seals.of_sitting(session, people.ian, room.sitting)


def test_void_with_the_key_opens_it(room: Room, database: Database, shelf: Shelf) -> None:
    """Declared void while the program has its key, what stood on it is kept in plain like any void paper."""
    with database.writing() as session:
        sittings.void(session, room.people.ian, room.sitting, "a phone rang", NOW)
    with database.reading() as session:
        assert all("edition" in row.exercise for row in session.scalars(select(PaperAnswer)))


def test_sealed_before_anything_is_drawn(session: Session, shelf: Shelf) -> None:
    """Not once it is open, not once papers are printed, not twice, not by another's hand."""
    people = make_people(session)
    new = passphrase_keys.fresh(PASSPHRASE, PASSPHRASE)
    number = planned(session, shelf, people)
    printed_papers.draw(session, shelf, people.ian, number, 1, lambda: SEED, NOW)
    with pytest.raises(Conflict, match="before papers are printed"):
        seals.seal(session, people.ian, number, new, NOW)
    other = planned(session, shelf, people, title="MT-2")
    seals.seal(session, people.ian, other, new, NOW)
    with pytest.raises(Conflict, match="sealed before"):
        seals.seal(session, people.ian, other, new, NOW)
    third = planned(session, shelf, people, title="MT-3")
    sittings.open_sitting(session, people.ian, third, NOW)
    with pytest.raises(Conflict, match="sealed before it is opened"):
        seals.seal(session, people.ian, third, new, NOW)
    with pytest.raises(Refused, match="not the same"):
        passphrase_keys.fresh(PASSPHRASE, PASSPHRASE + "x")
    assert PASSPHRASE not in repr(new)
    assert str(new.key) not in repr(new)


def test_what_is_sealed_stays_out_of_another_plan(room: Room, database: Database, shelf: Shelf) -> None:
    """Another examination that is opened meanwhile counts only what anybody may read: its counts lie in plain."""
    with database.writing() as session:
        other = planned(session, shelf, room.people, title="MT-2")
        found = sittings.open_sitting(session, room.people.ian, other, NOW)
        assert found.plan["uses"] == {}


def test_printed_papers_are_taken_under_the_seal(room: Room, database: Database, shelf: Shelf) -> None:
    """Marks typed from a sealed printed paper become a sealed paper; the close marks it by its key."""
    with database.writing() as session:
        late = make_person(session, "TV-30", "Bo").id
        found = session.get_one(Sitting, room.sitting)
        classes.add_members(session, room.people.ian, found.class_id or 0, [late], NOW)
        row = session.scalars(select(PrintedPaper).where(PrintedPaper.number == 1)).one()
        items = printed_papers.items_of(session, row)
        keys = "".join(
            paper_items.question(session, shelf, one).key if paper_items.is_question(one) else "R"
            for one in items
        )
        for turn in (1, 2):
            printed_papers.take(session, room.people.ian, room.sitting, turn, f"1 TV-30 {keys}", NOW)
    with database.reading() as session:
        paper = session.scalars(select(Paper).where(Paper.person_id == late)).one()
        assert all(sealed_papers.SEALED in one.exercise for one in paper.answers)
    close(database, shelf, room)
    with database.reading() as session:
        paper = session.scalars(select(Paper).where(Paper.person_id == late)).one()
        assert paper.score is not None
        assert paper.score["right"] == 5


def test_time_for_everybody_who_was_writing(room: Room, database: Database, shelf: Shelf) -> None:
    """Who handed in gets none; whose time ran out after the room was last heard of is writing again."""
    people, later = room.people, NOW + timedelta(minutes=40)
    with database.writing() as session:
        ada = session.scalars(select(Paper).where(Paper.person_id == room.ada)).one()
        papers.hand_in(session, room.ada, ada.id, NOW)
        assert invigilation.last_sign(ada.sitting) == NOW
    with database.writing() as session:
        with pytest.raises(Refused, match="The time was over"):
            invigilation.time_for_all(session, people.ian, room.sitting, 5, "restart", later)
        session.rollback()
    with database.writing() as session:
        assert invigilation.time_for_all(session, people.ian, room.sitting, 40, "restart", later) == 1
    with database.reading() as session:
        held = {paper.person_id: paper for paper in session.scalars(select(Paper))}
        assert held[people.tess].deadline == NOW + timedelta(minutes=70)
        assert papers.is_running(held[people.tess], later)
        assert held[room.ada].handed_in_at == NOW
        assert held[room.ada].extra_minutes == 0
