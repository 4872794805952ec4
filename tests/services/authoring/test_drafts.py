"""Drafts: written, put forward, approved by another, laid into the bank, changed, withdrawn, never lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.drafting import TEXT, in_bank, level_ii, revised, settled, waiting
from tests.make import NOW, make_class, make_people, make_person
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.examinations.plan import Line, Plan
from trainer.services.authoring import banks, drafts, own_bank
from trainer.services.authoring.draft_text import start
from trainer.services.examining import sittings
from trainer.services.keeping import audit
from trainer.services.keeping.paging import Wish
from trainer.services.teaching import sets
from trainer.store.models import Link

OTHER = TEXT.replace("Omar has shot", "Tess has shot")
PLACE = "questions/own-questions/own-question-1.yaml"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Where own items lie; made by whoever lays the first one there."""
    return tmp_path / "question_bank"


@pytest.fixture
def ian(session: Session) -> int:
    """The instructor who writes."""
    return make_people(session).ian


@pytest.fixture
def eva(session: Session, ian: int) -> int:
    """The examiner who reads what Ian wrote."""
    return make_person(session, "TV-60", "Eva", {"examiner"}).id


def test_nothing_is_scored_before_a_second_person_approves(
    session: Session, shelf: Shelf, folder: Path, ian: int, eva: int
) -> None:
    """Only the approval brings the text into the bank, whole and as it was approved; each act left a link."""
    draft = drafts.write(session, ian, "question", TEXT, NOW)
    assert (drafts.state(draft), settled(session, folder)) == ("draft", {})
    drafts.put_forward(session, shelf, ian, draft.id, 1, NOW)
    assert (drafts.state(draft), settled(session, folder)) == ("waits for a second person", {})
    drafts.approve(session, shelf, folder, eva, draft.id, 1, NOW)
    assert (drafts.state(draft), settled(session, folder)) == ("approved", {PLACE: TEXT})
    assert "own-question-1" in banks.open_shelf(folder).bank.private
    whats = [link.event["what"] for link in session.scalars(select(Link).order_by(Link.seq))]
    assert whats[-3:] == ["draft written", "draft put forward", "draft approved"]
    assert audit.walk(session).broken is None


def test_nobody_approves_their_own_words(
    session: Session, shelf: Shelf, folder: Path, ian: int, eva: int
) -> None:
    """Neither the first author nor whoever wrote a later revision."""
    draft = waiting(session, shelf, ian)
    with pytest.raises(NotAllowed, match="another person"):
        drafts.approve(session, shelf, folder, ian, draft.id, 1, NOW)
    revised(session, shelf, eva, draft, OTHER)
    for person in (ian, eva):
        with pytest.raises(NotAllowed):
            drafts.approve(session, shelf, folder, person, draft.id, 2, NOW)


def test_another_revision_replaces_the_approved_one_only_once_approved(
    session: Session, shelf: Shelf, folder: Path, ian: int, eva: int
) -> None:
    """Until then the bank holds the old words; both stay readable; the first author may approve the second's."""
    draft, shelf = in_bank(session, shelf, folder, ian, eva)
    revised(session, shelf, eva, draft, OTHER)
    assert settled(session, folder) == {PLACE: TEXT}
    drafts.approve(session, shelf, folder, ian, draft.id, 2, NOW)
    assert settled(session, folder) == {PLACE: OTHER}
    assert [one.text for one in draft.revisions] == [TEXT, OTHER]


def test_an_item_in_the_bank_keeps_its_topic(
    session: Session, shelf: Shelf, folder: Path, ian: int, eva: int
) -> None:
    """Another topic would be another file: the sentence says how to get there."""
    draft, shelf = in_bank(session, shelf, folder, ian, eva)
    revised(session, shelf, ian, draft, TEXT.replace("topic: own-questions", "topic: other"))
    with pytest.raises(Conflict, match="Keep its topic"):
        drafts.approve(session, shelf, folder, eva, draft.id, 2, NOW)


def test_what_is_withdrawn_leaves_the_bank(
    session: Session, shelf: Shelf, folder: Path, ian: int, eva: int
) -> None:
    """The file goes, the draft with its reason stays, and nothing else in the folder is touched."""
    draft, _ = in_bank(session, shelf, folder, ian, eva)
    (folder / "questions" / "by-hand.yaml").write_text("topic: by-hand\n", encoding="utf-8")
    drafts.withdraw(session, shelf.bank, ian, draft.id, 1, "its fact was wrong", NOW)
    assert settled(session, folder) == {"questions/by-hand.yaml": "topic: by-hand\n"}
    assert drafts.state(draft) == "withdrawn"
    with pytest.raises(Conflict):
        drafts.withdraw(session, shelf.bank, ian, draft.id, 1, "again", NOW)


def test_a_change_by_hand_is_put_back(
    session: Session, shelf: Shelf, folder: Path, ian: int, eva: int
) -> None:
    """Words that no second person read do not stay in an approved file, nor does a file that was lost stay lost."""
    in_bank(session, shelf, folder, ian, eva)
    (folder / PLACE).write_text(OTHER, encoding="utf-8")
    assert settled(session, folder) == {PLACE: TEXT}
    (folder / PLACE).unlink()
    assert settled(session, folder) == {PLACE: TEXT}


def test_sent_back_with_a_reason(session: Session, shelf: Shelf, folder: Path, ian: int, eva: int) -> None:
    """It must be written anew before it can be put forward again."""
    draft = waiting(session, shelf, ian)
    with pytest.raises(Refused, match="why"):
        drafts.send_back(session, eva, draft.id, 1, " ", NOW)
    drafts.send_back(session, eva, draft.id, 1, "two options are right", NOW)
    assert drafts.state(draft) == "sent back"
    with pytest.raises(Conflict):
        drafts.put_forward(session, shelf, ian, draft.id, 1, NOW)
    drafts.revise(session, ian, draft.id, 1, OTHER, NOW)
    assert drafts.state(draft) == "draft"


def test_faults_may_be_kept_but_not_put_forward(session: Session, shelf: Shelf, ian: int) -> None:
    """Half a question is worth keeping; nobody is asked to approve it."""
    draft = drafts.write(session, ian, "question", "topic: [", NOW)
    assert draft.revisions[0].place == ""
    with pytest.raises(Refused, match="faults"):
        drafts.put_forward(session, shelf, ian, draft.id, 1, NOW)


@pytest.mark.parametrize(("text", "says"), [("x" * 60_001, "characters"), ("a\n" * 1001, "lines")])
def test_no_text_is_kept_that_is_too_long(session: Session, ian: int, text: str, says: str) -> None:
    """In characters or lines: comparing two wordings must not take minutes."""
    with pytest.raises(Refused, match=says):
        drafts.write(session, ian, "question", text, NOW)


def test_two_people_at_one_draft(session: Session, ian: int, eva: int) -> None:
    """Who saves second is told, and who changed nothing too."""
    draft = drafts.write(session, ian, "question", TEXT, NOW)
    drafts.revise(session, eva, draft.id, 1, OTHER, NOW)
    with pytest.raises(Conflict, match="Revision 2"):
        drafts.revise(session, ian, draft.id, 1, TEXT + "# mine\n", NOW)
    with pytest.raises(Refused, match="Nothing differs"):
        drafts.revise(session, ian, draft.id, 2, OTHER.replace("\n", "  \r\n"), NOW)


def test_nobody_is_overwritten(session: Session, shelf: Shelf, folder: Path, ian: int, eva: int) -> None:
    """A file that was written by hand, and another draft with the same id, stay as they are."""
    draft = waiting(session, shelf, ian)
    (folder / PLACE).parent.mkdir(parents=True)
    (folder / PLACE).write_text("topic: [", encoding="utf-8")
    with pytest.raises(Conflict, match="already"):
        drafts.approve(session, shelf, folder, eva, draft.id, 1, NOW)
    (folder / PLACE).unlink()
    second = waiting(session, shelf, ian, OTHER)
    drafts.approve(session, shelf, folder, eva, draft.id, 1, NOW)
    with pytest.raises(Conflict, match="already"):
        drafts.approve(session, shelf, folder, eva, second.id, 1, NOW)


def test_another_house_finds_nothing(session: Session, shelf: Shelf, ian: int) -> None:
    """Not the draft, not its list."""
    draft = drafts.write(session, ian, "question", TEXT, NOW)
    stranger = make_person(session, "HK-60", "Una", {"instructor"}, house="Hook and Chain Works").id
    with pytest.raises(NotFound):
        drafts.one(session, stranger, draft.id)
    assert drafts.of_house(session, stranger, Wish()).rows == []


@pytest.mark.parametrize(
    "place", ["", "../key.yaml", "drills/x.yaml", "practicals/../../etc.yaml", "/etc/x.yaml"]
)
def test_only_places_of_the_bank_are_written(folder: Path, place: str) -> None:
    """Whatever stands in the store, no other file is made."""
    with pytest.raises(Refused, match="no place"):
        own_bank.settle(folder, [(place, "x", True)])
    assert not folder.exists()


def test_what_the_check_takes_stays_in_the_bank(session: Session, folder: Path, ian: int, eva: int) -> None:
    """A Level II checklist of one's own on a shipped one is approved, and the bank that is opened then has it."""
    shelf = banks.open_shelf(folder)
    draft = waiting(session, shelf, ian, level_ii("yoke-ac-weld-1"), "practical")
    drafts.approve(session, shelf, folder, eva, draft.id, 1, NOW)
    settled(session, folder)
    bank = banks.open_shelf(folder).bank
    assert (bank.private_faults, "own-practical-2" in bank.practicals) == ((), True)
    refused = drafts.write(session, ian, "practical", level_ii("yoke-ac-weld-2"), NOW)
    with pytest.raises(Refused, match="faults in it"):
        drafts.put_forward(session, shelf, ian, refused.id, 1, NOW)


def test_what_others_rest_on_is_not_withdrawn(
    session: Session, shelf: Shelf, folder: Path, ian: int, eva: int
) -> None:
    """A checklist that another builds on, a drill that a set or a planned examination asks for: named, and kept."""
    base = waiting(session, shelf, ian, start("practical"), "practical")
    drafts.approve(session, shelf, folder, eva, base.id, 1, NOW)
    settled(session, folder)
    above = waiting(session, banks.open_shelf(folder), ian, level_ii("own-practical-1"), "practical")
    drafts.approve(session, banks.open_shelf(folder), folder, eva, above.id, 1, NOW)
    settled(session, folder)
    with pytest.raises(Conflict, match="others rest on it: own-practical-2"):
        drafts.withdraw(session, banks.open_shelf(folder).bank, ian, base.id, 1, "worn out", NOW)
    drafts.withdraw(session, banks.open_shelf(folder).bank, ian, above.id, 1, "worn out", NOW)
    settled(session, folder)
    drafts.withdraw(session, banks.open_shelf(folder).bank, ian, base.id, 1, "worn out", NOW)

    drill = waiting(session, shelf, ian, start("drill"), "drill")
    drafts.approve(session, shelf, folder, eva, drill.id, 1, NOW)
    settled(session, folder)
    held = banks.open_shelf(folder)
    sets.make(session, held, ian, "Own set", [(drafts.own_id(drill), None)], NOW)
    taught = make_class(session, ian, title="MT-9").id
    sittings.plan(
        session, held, ian, taught, "Own paper", "I", 30, Plan((Line(drafts.own_id(drill), None, 1),), 50), "C0DE", NOW
    )  # fmt: skip
    with pytest.raises(Conflict, match="Own set, Own paper"):
        drafts.withdraw(session, held.bank, ian, drill.id, 1, "worn out", NOW)
    assert drafts.own_id(drill) == "own-drill-1"
