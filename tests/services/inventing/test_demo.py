"""The invented shop: filled once, by the same rules as real records."""

from __future__ import annotations

from datetime import date

from sqlalchemy import func, select

from tests.make import Clock
from trainer.drills.shelf import Shelf
from trainer.services.admitting.passphrases import matches
from trainer.services.inventing import demo
from trainer.services.practising import skills
from trainer.services.proving import ledger_check
from trainer.services.qualifying import practices, schemes, standing
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.models import Answer, Pack, Person


def test_it_fills_an_empty_store_once(database: Database, shelf: Shelf, clock: Clock) -> None:
    """Sixteen people, answers, two packs, a whole chain; a second filling adds nothing."""
    lines = list(demo.fill(database, shelf, clock()))
    assert any(demo.PASSPHRASE in line for line in lines)
    assert list(demo.fill(database, shelf, clock())) == []
    with database.reading() as session:
        assert session.scalar(select(func.count()).select_from(Person)) == 16
        assert (session.scalar(select(func.count()).select_from(Answer)) or 0) > 30
        assert [one.name for one in session.scalars(select(Pack).order_by(Pack.name))] == ["Pack A", "Pack B"]
        assert skills.disagreements(session) == []
        assert ledger_check.walk(session).broken is None
        kept = session.scalars(select(Person.passphrase_hash).where(Person.works_number == "TV-07")).one()
    assert matches(kept, demo.PASSPHRASE)


def test_tess_is_some_way_there(database: Database, shelf: Shelf, clock: Clock, settings: Settings) -> None:
    """Her standing has something met, something short and a date that runs out soon."""
    list(demo.fill(database, shelf, clock()))
    with database.reading() as session:
        tess = session.scalars(select(Person.id).where(Person.works_number == "TV-07")).one()
        found = standing.of(
            session, tess, "SNT-2016-A1", "I", clock().date(), schemes.known(settings.private_bank)
        )
    rows = {row.id: row for row in found.prerequisites}
    assert rows["general"].verdict == "met"
    assert rows["experience_method"].verdict == "not_met"
    until = rows["vision_near"].until
    assert until is not None
    assert 0 < (until - clock().date()).days < 90
    assert isinstance(until, date)


def test_a_written_practice_is_in_force_and_another_waits(
    database: Database, shelf: Shelf, clock: Clock, settings: Settings
) -> None:
    """Tess is judged by revision 1; revision 2 is Vera's draft, which Emma may approve."""
    list(demo.fill(database, shelf, clock()))
    known = schemes.known(settings.private_bank)
    with database.reading() as session:
        tess, emma = (
            session.scalars(select(Person).where(Person.works_number == number)).one()
            for number in ("TV-07", "TV-90")
        )
        judged = standing.place(session, tess, clock().date(), known).standing
        rows = practices.of_house(session, emma.id)
    assert judged.practice is not None
    assert (judged.practice.revision, judged.practice.approved_by.person) == ("1", "TV-91")
    assert [(row.revision, row.decision is None) for row in rows] == [("2", True), ("1", False)]
    assert rows[0].drafted_by_id != emma.id
