"""Own items under a passphrase: no byte of them on the disk, in the bank while unlocked, lost to nobody who knows it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from sqlalchemy import select

from tests.drafting import TEXT, level_ii
from tests.make import NOW, PASSPHRASE, make_class, make_people, make_person
from trainer.bank.readings import FOLDER
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, NotNow, Refused, Unreadable
from trainer.examinations.composition import composed
from trainer.examinations.plan import Plan
from trainer.records import sealed as records_sealed
from trainer.services.authoring import approved, banks, draft_text, drafts, own_bank, own_seal
from trainer.services.authoring.draft_text import start
from trainer.services.examining import paper_items, papers, scoring_papers, seals, sittings
from trainer.services.keeping import audit, editions, own_contents, passphrase_keys
from trainer.services.keeping.paging import Wish
from trainer.services.practising import questions
from trainer.store import Database
from trainer.store.models import DraftRevision, Edition, OwnSeal, PaperAnswer, Sitting

OTHER_PASSPHRASE = "axle draw hook toil"
SECRETS = ("Omar has shot", "Opened under current")
FOR_EXAMINATIONS = TEXT
FOR_PRACTICE = TEXT.replace("pool: examination", "pool: practice").replace("own-question-1", "own-question-2")


@dataclass(frozen=True)
class House:
    """Ian who writes, Eva who approves, Tess who sits; a question for examinations that was approved in plain."""

    ian: int
    eva: int
    tess: int
    draft: int


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where own items lie."""
    return tmp_path / "question_bank"


@pytest.fixture
def house(database: Database, folder: Path) -> House:
    """The question lies in the folder, was read from there, and a later wording waits."""
    with database.writing() as session:
        people = make_people(session)
        eva = make_person(session, "TV-60", "Eva", {"examiner"}).id
    draft = approved_item(database, folder, people.ian, eva, FOR_EXAMINATIONS)
    with database.writing() as session:
        later = FOR_EXAMINATIONS.replace("Omar has shot", "Omar has shot twice")
        drafts.revise(session, people.ian, draft, 1, later, NOW)
    return House(people.ian, eva, people.tess, draft)


@pytest.fixture
def restarted(database: Database) -> Iterator[Database]:
    """The same records in a program that was started anew."""
    again = Database(database.url.render_as_string(hide_password=False))
    yield again
    again.close()


def approved_item(
    store: Database, folder: Path, ian: int, eva: int, text: str, kind: str = "question"
) -> int:
    """An item written, put forward, approved, and in the bank."""
    shelf = opened(store, folder)
    with store.writing() as session:
        draft = drafts.write(session, ian, kind, text, NOW).id
        drafts.put_forward(session, shelf, ian, draft, 1, NOW)
    with store.writing() as session:
        drafts.approve(session, shelf, folder, eva, draft, 1, NOW)
    opened(store, folder)
    return draft


def opened(store: Database, folder: Path) -> Shelf:
    """The bank as the pages open it."""
    with store.reading() as session:
        own_bank.settle(folder, approved.standing(session))
        unlocked = approved.sealed_texts(session)
    return draft_text.joined(banks.open_shelf(folder), unlocked)


def sealed(store: Database, house: House) -> None:
    """Give the own items their passphrase."""
    new = passphrase_keys.fresh(PASSPHRASE, PASSPHRASE)
    with store.writing() as session:
        own_seal.seal(session, house.ian, new, NOW)


def told(tmp_path: Path) -> list[str]:
    """Which of the secrets stand anywhere below the instance: database, its log, files of the bank, what was read."""
    data = b"".join(file.read_bytes() for file in sorted(tmp_path.rglob("*")) if file.is_file())
    return [word for word in SECRETS if word.encode() in data]


def kept_seal(store: Database, house: House) -> OwnSeal:
    """The seal as it stands."""
    with store.reading() as session:
        return own_seal.to_open(session, house.ian)


def unlocked(store: Database, house: House, passphrase: str = PASSPHRASE) -> None:
    """Unlock them in a program that was started anew."""
    kept = kept_seal(store, house)
    with pytest.raises(Refused, match="not the passphrase"):
        passphrase_keys.key_behind(kept, "four wrong words here")
    with store.writing() as session:
        own_seal.unlock(session, house.ian, kept, passphrase_keys.key_behind(kept, passphrase), NOW)


@pytest.mark.sqlite
def test_no_byte_of_them_is_left_on_the_disk(
    database: Database, house: House, folder: Path, tmp_path: Path
) -> None:
    """What lay there in plain before is gone with its file, what was read of it, and the freed pages of the store."""
    assert told(tmp_path) == list(SECRETS)
    assert list((folder / "questions" / "own-questions" / FOLDER).iterdir())
    sealed(database, house)
    shelf = opened(database, folder)
    database.scrub()
    assert told(tmp_path) == []
    assert "own-question-1" in shelf.bank.private
    with database.reading() as session:
        assert drafts.one(session, house.ian, house.draft).revisions[0].text == FOR_EXAMINATIONS
        assert session.scalars(select(DraftRevision.text)).all() == ["", ""]
        assert audit.walk(session).broken is None


def test_after_a_start_they_are_locked(
    database: Database, restarted: Database, house: House, folder: Path
) -> None:
    """The bank is without them and no draft can be read or written; the passphrase brings all of it back."""
    sealed(database, house)
    opened(database, folder)
    assert "own-question-1" not in opened(restarted, folder).bank.private
    with restarted.writing() as session:
        with pytest.raises(NotNow, match="unlock them"):
            drafts.one(session, house.ian, house.draft)
        assert [one.id for one in drafts.of_house(session, house.ian, Wish()).rows] == [house.draft]
        with pytest.raises(NotNow, match="unlock them"):
            drafts.write(session, house.ian, "question", FOR_PRACTICE, NOW)
        session.rollback()
    unlocked(restarted, house)
    assert "own-question-1" in opened(restarted, folder).bank.private
    with restarted.writing() as session:
        drafts.put_forward(session, opened(restarted, folder), house.ian, house.draft, 2, NOW)


def test_what_is_for_practice_is_laid_open(database: Database, house: House, folder: Path) -> None:
    """A practice question and a checklist lie in the folder from their approval on, and survive a start unlocked."""
    sealed(database, house)
    draft = approved_item(database, folder, house.ian, house.eva, FOR_PRACTICE)
    approved_item(database, folder, house.ian, house.eva, start("practical"), "practical")
    assert (folder / "questions" / "own-questions" / "own-question-2.yaml").read_text() == FOR_PRACTICE
    assert (folder / "practicals" / "own-practical-1.yaml").exists()
    with database.reading() as session:
        rows = select(DraftRevision.sealed, DraftRevision.text).where(DraftRevision.draft_id == draft)
        assert session.execute(rows).all() == [(None, FOR_PRACTICE)]


def test_a_sealed_item_keeps_its_id(database: Database, house: House, folder: Path) -> None:
    """Nobody else's draft takes its place while nothing of it lies in the folder."""
    sealed(database, house)
    with database.writing() as session:
        own_bank.settle(folder, approved.standing(session))
        shelf = banks.open_shelf(folder)
        other = drafts.write(session, house.ian, "question", FOR_EXAMINATIONS, NOW).id
        drafts.put_forward(session, shelf, house.ian, other, 1, NOW)
        with pytest.raises(Conflict, match="another item with its id"):
            drafts.approve(session, shelf, folder, house.eva, other, 1, NOW)


@pytest.mark.sqlite
@pytest.mark.parametrize("sealed_too", [False, True])
def test_an_examination_that_asks_it_tells_nothing_of_it(
    database: Database, restarted: Database, house: House, folder: Path, tmp_path: Path, sealed_too: bool
) -> None:
    """Its edition stays sealed behind the paper, open or closed, whether the examination has a passphrase of its own
    or not; only that of the own items shows the item again."""
    sealed(database, house)
    shelf = opened(database, folder)
    plan = shelf.bank.papers["general-1"].plan
    topic = shelf.bank.questions["own-question-1"].topic
    with database.writing() as session:
        taught = make_class(session, house.ian, house.tess).id
        wanted = Plan((), 50, "general", questions=composed(plan, 1, {topic: 1}))
        made = sittings.plan(session, shelf, house.ian, taught, "Own", "I", 30, wanted, "C0DE", NOW).id
        if sealed_too:
            seals.seal(session, house.ian, made, passphrase_keys.fresh(PASSPHRASE, PASSPHRASE), NOW)
        sittings.open_sitting(session, house.ian, made, NOW)
        paper = papers.start(session, shelf, house.tess, "C0DE", iter(range(99)).__next__, NOW).id
        papers.save(session, house.tess, paper, 1, "A", False, NOW)
        papers.hand_in(session, house.tess, paper, NOW)
    with database.writing() as session:
        scoring_papers.close(session, shelf, house.ian, made, NOW)
    database.scrub()
    assert told(tmp_path) == []
    with restarted.reading() as session:
        row = session.scalars(select(PaperAnswer)).one()
        assert row.exercise["question"] == "own-question-1"
        with pytest.raises(NotNow, match="unlock them"):
            paper_items.question(session, opened(restarted, folder), row)
    with restarted.writing() as session:
        found = session.scalars(select(Sitting)).one()
        with pytest.raises(NotNow, match="unlock them"):  # another paper would be drawn without it
            paper_items.drawn(session, opened(restarted, folder), found, {}, iter(range(99)).__next__, NOW)
    unlocked(restarted, house)
    with restarted.reading() as session:
        row = session.scalars(select(PaperAnswer)).one()
        assert questions.stored(session, banks.open_shelf(folder), row.exercise).entry.id == "own-question-1"
        assert '"sealed"' in session.scalars(select(Edition.content)).one()


def test_one_seal_for_a_house(database: Database, house: House) -> None:
    """Not twice, and nothing to unlock where nothing is sealed."""
    with database.reading() as session, pytest.raises(NotFound):
        own_seal.to_open(session, house.ian)
    sealed(database, house)
    with pytest.raises(Conflict, match="sealed already"):
        sealed(database, house)


def test_faulty_items_under_the_seal_are_left_out_and_told(shelf: Shelf) -> None:
    """One that rests on what is gone is named among the faults of own items; the others are there."""
    found = draft_text.joined(shelf, [("practical", level_ii("no-such")), ("practical", start("practical"))])
    assert "own-practical-1" in found.bank.private
    assert "no-such" in found.bank.private_faults[0].says


def kept_in_an_edition(store: Database, folder: Path) -> None:
    """The edition of the own question, kept as it stands behind a paper."""
    entry = opened(store, folder).bank.questions["own-question-1"]
    with store.writing() as session:
        editions.keep(session, entry, NOW)


def shut_texts(store: Database) -> list[str]:
    """Everything that lies sealed: texts of drafts, contents of editions."""
    with store.reading() as session:
        texts = [text for text in session.scalars(select(DraftRevision.sealed)) if text is not None]
        contents = [json.loads(text) for text in session.scalars(select(Edition.content))]
    return texts + [content["sealed"] for content in contents if "sealed" in content]


def test_another_passphrase_shuts_everything_anew(
    database: Database, restarted: Database, house: House, folder: Path
) -> None:
    """The key of before opens nothing that is written now, in no process; the new passphrase opens all of it."""
    sealed(database, house)
    unlocked(restarted, house)
    kept_in_an_edition(database, folder)
    kept = kept_seal(database, house)
    old = passphrase_keys.key_behind(kept, PASSPHRASE)
    new = passphrase_keys.fresh(OTHER_PASSPHRASE, OTHER_PASSPHRASE)
    before = shut_texts(database)
    with database.writing() as session:
        own_seal.change(session, house.ian, kept, old, new, NOW)
    after = shut_texts(database)
    assert len(before) == len(after) == 3
    about = f"own items of house {kept.organisation_id}"
    for text in after:
        with pytest.raises(Unreadable):
            records_sealed.unseal(old, text, about)
    assert "own-question-1" in opened(database, folder).bank.private
    assert "own-question-1" not in opened(restarted, folder).bank.private
    with restarted.writing() as session, pytest.raises(NotNow, match="unlock them"):
        drafts.write(session, house.ian, "question", FOR_PRACTICE, NOW)
    with database.writing() as session, pytest.raises(Conflict, match="in the meantime"):
        own_seal.unlock(session, house.ian, kept, old, NOW)
    with pytest.raises(Refused, match="not the passphrase"):
        passphrase_keys.key_behind(kept_seal(restarted, house), PASSPHRASE)
    unlocked(restarted, house, OTHER_PASSPHRASE)
    with restarted.reading() as session:
        texts = [one.text for one in drafts.one(session, house.ian, house.draft).revisions]
        assert [SECRETS[0] in text for text in texts] == [True, True]
        assert own_contents.contents_shut(session, kept.organisation_id)[0][1]["questions"]
        assert audit.recent(session, 2)[1].event["what"] == "own items sealed anew"
        assert audit.walk(session).broken is None


def test_a_change_that_is_not_kept_changes_nothing(database: Database, house: House, folder: Path) -> None:
    """The passphrase of before still opens everything, and the running program has its key still."""
    sealed(database, house)
    kept = kept_seal(database, house)
    old, new = passphrase_keys.key_behind(kept, PASSPHRASE), passphrase_keys.fresh(*[OTHER_PASSPHRASE] * 2)
    with database.writing() as session:
        own_seal.change(session, house.ian, kept, old, new, NOW)
        session.rollback()
    with database.reading() as session:
        assert drafts.one(session, house.ian, house.draft).revisions[0].text == FOR_EXAMINATIONS
    assert passphrase_keys.key_behind(kept_seal(database, house), PASSPHRASE) == old


def test_a_passphrase_that_is_taken_off(
    database: Database, restarted: Database, house: House, folder: Path
) -> None:
    """Texts, editions and the file in the bank lie in plain again, and nothing is asked for after a start."""
    sealed(database, house)
    shelf = opened(database, folder)
    kept_in_an_edition(database, folder)
    kept = kept_seal(database, house)
    with database.writing() as session:
        own_seal.take_off(session, house.ian, kept, passphrase_keys.key_behind(kept, PASSPHRASE), NOW)
    assert shut_texts(database) == []
    again = opened(restarted, folder)
    assert (folder / "questions" / "own-questions" / "own-question-1.yaml").read_text() == FOR_EXAMINATIONS
    assert again.bank.questions["own-question-1"].edition == shelf.bank.questions["own-question-1"].edition
    with restarted.writing() as session:
        assert own_seal.of_house(session, house.ian) is None
        assert "sealed" not in json.loads(session.scalars(select(Edition.content)).one())
        assert drafts.write(session, house.ian, "question", FOR_PRACTICE, NOW).revisions[0].sealed is None
        assert audit.walk(session).broken is None
    sealed(database, house)
