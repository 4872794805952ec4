"""Appeals: a second person marks again, the score is exact, and the ledger is put right by entries, never edited."""

from __future__ import annotations

import json

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.entering import make_level_iii
from tests.make import NOW, People, make_people, make_person
from tests.sitting import make_closed, make_paper, make_sitting
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.services.examining import appeals
from trainer.services.keeping import audit
from trainer.services.overseeing import personal_data
from trainer.services.proving import ledger_check
from trainer.services.qualifying import countersigning, ledger
from trainer.store.models import Appeal, Entry, Paper


@pytest.fixture
def four(session: Session) -> People:
    """The four people in an empty store."""
    return make_people(session)


@pytest.fixture
def level_iii(session: Session, four: People) -> int:
    """The Level III of the house."""
    return make_level_iii(session)


@pytest.fixture
def paper(session: Session, shelf: Shelf, four: People) -> Paper:
    """Tess's marked paper, 0 of 2."""
    return make_closed(session, shelf, four)


@pytest.fixture
def appeal(session: Session, four: People, paper: Paper) -> Appeal:
    """Her appeal against the first item."""
    return appeals.write_down(session, four.ian, paper.id, 1, "The unit was said to be free", NOW)


def test_score_and_ledger_are_put_right(
    session: Session, four: People, level_iii: int, paper: Paper, appeal: Appeal
) -> None:
    """1 of 2 in a new entry, the old one reversed, both countersigned by a third hand; the chain holds."""
    old = paper.entry_id or ""
    countersigning.countersign(session, [old], level_iii, NOW)
    second = make_person(session, "TV-92", "Eve", {"examiner"}).id
    appeals.decide(session, second, appeal.id, "right", "The procedure leaves the unit free", NOW)
    assert (paper.score, appeal.was, appeal.answer.verdict) == (
        {"right": 1, "of": 2, "mark": 50}, "unreadable", "right",
    )  # fmt: skip
    undone, new = ledger.reversal_of(session, old), session.scalars(
        select(Entry).where(Entry.id == paper.entry_id)
    ).one()  # fmt: skip
    assert undone is not None
    assert (new.body["right"], new.body["of"], new.entered_by_id) == ("1", "2", second)
    assert old in new.body["note"]
    with pytest.raises(NotAllowed):
        countersigning.countersign(session, [undone.id, new.id], second, NOW)
    assert countersigning.countersign(session, [undone.id, new.id], level_iii, NOW) == 2
    assert ledger_check.walk(session).broken is None
    assert "item marked again" in {link.event["what"] for link in audit.recent(session)}


def test_the_same_verdict_moves_nothing(
    session: Session, level_iii: int, paper: Paper, appeal: Appeal
) -> None:
    """Where the second person agrees, score and entry stay, and the reason is kept."""
    before = paper.entry_id, paper.score
    appeals.decide(session, level_iii, appeal.id, "wrong", "The question names the unit", NOW)
    assert (paper.entry_id, paper.score) == before
    assert appeal.reason == "The question names the unit"
    with pytest.raises(Conflict, match="decided"):
        appeals.decide(session, level_iii, appeal.id, "right", "After all", NOW)


def test_nobody_marks_again_who_had_a_hand_in_it(session: Session, four: People, appeal: Appeal) -> None:
    """Neither who held it, even as examiner, nor the candidate, nor a role that signs no examination."""
    for person, roles in ((four.ian, {"instructor", "examiner"}), (four.emma, {"employer"})):
        assert roles
        with pytest.raises(NotAllowed):
            appeals.decide(session, person, appeal.id, "right", "I think so", NOW)
    with pytest.raises(NotFound):
        appeals.decide(session, four.tess, appeal.id, "right", "I think so", NOW)
    with pytest.raises(NotFound):
        appeals.decide(session, four.omar, appeal.id, "right", "I think so", NOW)


@pytest.mark.parametrize(
    ("verdict", "reason"), [("right", ""), ("right", "x" * 301), ("", "so"), ("x", "so")]
)
def test_verdict_and_reason_are_wanted(
    session: Session, level_iii: int, appeal: Appeal, verdict: str, reason: str
) -> None:
    """Without both nothing is decided."""
    with pytest.raises(Refused):
        appeals.decide(session, level_iii, appeal.id, verdict, reason, NOW)
    assert (appeal.decided_at, appeal.verdict) == (None, None)


def test_one_appeal_an_item_and_only_against_a_verdict(
    session: Session, shelf: Shelf, four: People, appeal: Appeal
) -> None:
    """A second appeal of the same item is refused; a running paper has no verdict to hold anything against."""
    with pytest.raises(Conflict, match="appealed already"):
        appeals.write_down(session, four.ian, appeal.answer.paper_id, 1, "Again", NOW)
    with pytest.raises(NotFound):
        appeals.write_down(session, four.ian, appeal.answer.paper_id, 9, "No such item", NOW)
    make_sitting(session, shelf, four, title="MT-1 December")
    running = make_paper(session, shelf, four.tess)
    with pytest.raises(Conflict, match="verdict"):
        appeals.write_down(session, four.ian, running.id, 1, "Already now", NOW)


def test_her_own_data_hold_the_appeal(session: Session, four: People, appeal: Appeal) -> None:
    """Appeals stand in the file of the candidate's data."""
    told = json.loads(personal_data.everything(session, four.tess, NOW))
    assert told["appeals"][0]["says"] == appeal.says


def test_her_own_data_hold_no_key_of_a_running_paper(session: Session, shelf: Shelf, four: People) -> None:
    """Before the close the file of one's data has what was written, without seed, edition or numbers."""
    make_sitting(session, shelf, four)
    make_paper(session, shelf, four.tess)
    session.flush()
    told = json.loads(personal_data.everything(session, four.tess, NOW))
    assert [row["position"] for row in told["paper_answers"]] == [1, 2]
    assert "seed" not in str(told["paper_answers"])
