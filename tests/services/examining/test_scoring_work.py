"""What the close of an examination asks of the store grows by little with each candidate."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.make import NOW, PASSPHRASE, make_class, make_people, make_person
from tests.sitting import CODE, DRILL
from tests.work import calls_in, statements
from trainer.drills.shelf import Shelf
from trainer.examinations.composition import composed
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import papers, scoring_papers, seals, sittings
from trainer.services.keeping import passphrase_keys
from trainer.services.keeping.passphrase_keys import Fresh
from trainer.store import Database
from trainer.store.models import Entry

MOST = 10  # a savepoint, who it is, the newest link and entry, link and entry and their place on the paper


@dataclass
class Count:
    """How many statements a close took, and how many entries came of it."""

    statements: int
    entries: int


@pytest.mark.parametrize("is_sealed", [False, True])
def test_a_close_asks_little_for_each_candidate(database: Database, shelf: Shelf, is_sealed: bool) -> None:
    """Five candidates more cost at most ten statements each, whatever stands on their papers."""
    with database.writing() as session:
        ian = make_people(session).ian
    few = closed(database, shelf, ian, 2, is_sealed)
    many = closed(database, shelf, ian, 7, is_sealed)
    assert (few.entries, many.entries) == (2, 7)
    assert many.statements - few.statements <= 5 * MOST


def closed(database: Database, shelf: Shelf, ian: int, candidates: int, is_sealed: bool) -> Count:
    """An examination of so many people, sat by all and closed."""
    new, title = passphrase_keys.fresh(PASSPHRASE, PASSPHRASE), f"N{candidates}"
    with database.writing() as session:
        crowd = [make_person(session, f"{title}-{at}", f"C {at}").id for at in range(candidates)]
        number = held(session, shelf, ian, crowd, title, new if is_sealed else None)
    with statements(database) as asked, database.writing() as session:
        scoring_papers.close(session, shelf, ian, number, NOW)
    with database.reading() as session:
        entries = session.scalars(select(Entry).where(Entry.person_id.in_(crowd))).all()
    return Count(len(asked), len(entries))


def planned(
    session: Session, shelf: Shelf, ian: int, crowd: list[int], title: str, seal: Fresh | None
) -> int:
    """An open examination of a crowd; its number."""
    questions = composed(shelf.bank.papers["small-1"].plan, 3, {"coil": 1}, [DRILL])
    wanted = Plan((Line(DRILL, "I", 2),), 50, "general", questions=questions)
    taught, code = make_class(session, ian, *crowd, title=title).id, f"{CODE}{title}".upper()
    number = sittings.plan(session, shelf, ian, taught, title, "I", 30, wanted, code, NOW).id
    if seal is not None:
        seals.seal(session, ian, number, seal, NOW)
    sittings.open_sitting(session, ian, number, NOW)
    return number


def held(session: Session, shelf: Shelf, ian: int, crowd: list[int], title: str, seal: Fresh | None) -> int:
    """An examination, handed in by all of a crowd; its number."""
    number, code = planned(session, shelf, ian, crowd, title, seal), f"{CODE}{title}".upper()
    for person in crowd:
        seeds = iter(range(person * 1000, person * 1000 + 99)).__next__
        paper = papers.start(session, shelf, person, code, seeds, NOW)
        papers.hand_in(session, person, paper.id, NOW)
    session.expire_all()
    return number


@pytest.mark.parametrize("is_sealed", [False, True])
def test_the_last_to_start_waits_no_longer_than_the_first(
    database: Database, shelf: Shelf, is_sealed: bool
) -> None:
    """A start asks for the same whether eight or twenty papers are drawn already, and reads none of them."""
    with database.writing() as session:
        ian = make_people(session).ian
        crowd = [make_person(session, f"S-{at}", f"S {at}").id for at in range(20)]
        new = passphrase_keys.fresh(PASSPHRASE, PASSPHRASE)
        planned(session, shelf, ian, crowd, "starts", new if is_sealed else None)
    counts = [start_of(database, shelf, person) for person in crowd]
    asked = [count for count, _ in counts[8:]]  # until then editions are kept for the first time
    assert max(asked) == min(asked)
    assert counts[-1][1] < 1.08 * counts[8][1]  # reading the papers before it would be a sixth more


def start_of(database: Database, shelf: Shelf, person: int) -> tuple[int, int]:
    """Statements and calls that one start takes."""
    with statements(database) as asked, database.writing() as session:
        seeds = iter(range(person * 1000, person * 1000 + 99)).__next__
        calls = calls_in(lambda: papers.start(session, shelf, person, f"{CODE}STARTS", seeds, NOW))
    return len(asked), calls


def test_one_page_that_cannot_be_read_stops_nobody_else(database: Database, shelf: Shelf) -> None:
    """Where somebody's ledger was changed behind the program's back, that one score is told as not entered."""
    with database.writing() as session:
        ian = make_people(session).ian
    closed(database, shelf, ian, 2, False)
    with database.writing() as session:
        spoilt = session.scalars(select(Entry).order_by(Entry.seq)).first()
        assert spoilt is not None
        spoilt.body = {**spoilt.body, "date": "not a day"}
        whose, other = spoilt.person_id, make_person(session, "TV-31", "Bo").id
        number = held(session, shelf, ian, [whose, other], "again", None)
    with database.writing() as session:
        found = scoring_papers.close(session, shelf, ian, number, NOW)
        told = {paper.person_id: scoring_papers.not_entered(paper) for paper in found.papers}
        assert told[other] == ""
        assert "e1" in told[whose]
