"""The store keeps all of a transaction or none, lets writers take turns, and its kinds keep their value."""

from __future__ import annotations

import threading
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal

import pytest
from sqlalchemy import select, text
from sqlalchemy.exc import DatabaseError, IntegrityError, StatementError

from tests.make import NOW, make_class, make_meeting, make_people, make_person
from tests.stores import settle
from trainer.errors import Busy, Conflict, Refused
from trainer.settings import Settings
from trainer.store import Database
from trainer.store import database as database_module
from trainer.store.migrations import migrate
from trainer.store.models import Meeting, Organisation, Person


def test_scrubbing_loses_nothing_that_stands(database: Database) -> None:
    """What was deleted is given up, what was not is still there, on either kind of store."""
    with database.writing() as session:
        people = make_people(session)
    assert database.scrub()
    with database.reading() as session:
        assert session.get_one(Person, people.tess).name == "Tess"


@pytest.mark.sqlite
def test_scrubbing_waits_for_no_reader_and_says_so(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """While somebody reads from before the change the log cannot be cut: that is told, and later it can."""
    monkeypatch.setattr("trainer.store.database.WAIT_SECONDS", 0.05)
    other = Database(database.url.render_as_string())
    with other.reading() as reading:
        reading.execute(text("SELECT count(*) FROM person")).all()
        with database.writing() as writing:
            make_people(writing)
        assert not other.scrub()
    assert other.scrub()
    other.close()


def test_writing_keeps_all_or_nothing(database: Database) -> None:
    """A failure in the last step saves nothing of the steps before it."""

    def add_two_of_one_name() -> None:
        with database.writing() as session:
            session.add(Organisation(name="Tarn Valley", created_at=NOW))
            session.flush()
            session.add(Organisation(name="Tarn Valley", created_at=NOW))

    with pytest.raises(IntegrityError):
        add_two_of_one_name()
    with database.reading() as session:
        assert session.scalars(select(Organisation)).all() == []


def test_reading_throws_changes_away(database: Database) -> None:
    """Whatever is changed while reading is not kept."""
    with database.reading() as session:
        session.add(Organisation(name="Tarn Valley", created_at=NOW))
        session.flush()
    with database.reading() as session:
        assert session.scalars(select(Organisation)).all() == []


def test_what_was_read_can_be_shown_afterwards(database: Database) -> None:
    """Rows stay readable after the session that fetched them is closed."""
    with database.writing() as session:
        make_person(session, "TV-07", "Tess")
    with database.reading() as session:
        person = session.scalars(select(Person)).one()
    assert (person.name, person.roles, person.created_at) == ("Tess", {"trainee"}, NOW)


def test_many_writers_that_read_first_all_succeed(database: Database) -> None:
    """Sixteen writers that each read before they write lose nothing: BEGIN is IMMEDIATE."""
    with database.writing() as session:
        session.add(Organisation(name="count 0", created_at=NOW))
    failed: list[BaseException] = []

    def add_one() -> None:
        try:
            with database.writing() as session:
                row = session.scalars(select(Organisation)).one()
                row.name = f"count {int(row.name.split()[1]) + 1}"
        except BaseException as fault:
            failed.append(fault)

    threads = [threading.Thread(target=add_one) for _ in range(16)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with database.reading() as session:
        assert (failed, session.scalars(select(Organisation)).one().name) == ([], "count 16")


def test_two_programs_take_turns(database: Database) -> None:
    """A writer of another program waits for this one instead of failing."""
    other = Database(database.url.render_as_string(hide_password=False))
    entered = threading.Event()

    def write() -> None:
        entered.set()
        with other.writing() as session:
            session.add(Organisation(name="second", created_at=NOW))

    thread = threading.Thread(target=write)
    with database.writing() as session:
        session.add(Organisation(name="first", created_at=NOW))
        session.flush()
        thread.start()
        entered.wait()
    thread.join()
    other.close()
    with database.reading() as session:
        names = session.scalars(select(Organisation.name).order_by(Organisation.id)).all()
    assert names == ["first", "second"]


def test_a_writer_that_never_ends_is_named(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    """Who waits too long for the turn is told to send it again."""
    monkeypatch.setattr(database_module, "WAIT_SECONDS", 0.05)
    said: list[str] = []

    def write() -> None:
        try:
            with database.writing():
                said.append("came in")
        except Busy as fault:
            said.append(str(fault))

    with database.writing():
        thread = threading.Thread(target=write)
        thread.start()
        thread.join()
    assert len(said) == 1
    assert "send it again" in said[0]


def test_a_writer_of_another_program_that_never_ends_is_named(
    database: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The turn is taken among programs too, before anything is written; who waits too long is told to send it again."""
    monkeypatch.setattr(database_module, "WAIT_SECONDS", 0.05)
    other = Database(database.url.render_as_string(hide_password=False))
    with database.writing() as session:
        assert session.scalars(select(Organisation)).all() == []
        with pytest.raises(Busy, match="send it again"), other.writing() as late:
            late.add(Organisation(name="second", created_at=NOW))
    other.close()


def test_a_reader_sees_one_moment(database: Database) -> None:
    """What is written while somebody reads does not show in the middle of it."""
    with database.reading() as session:
        before = session.scalars(select(Organisation.name)).all()
        with database.writing() as writer:
            writer.add(Organisation(name="later", created_at=NOW))
        assert session.scalars(select(Organisation.name)).all() == before == []


def test_a_fault_does_not_tell_what_was_written(database: Database) -> None:
    """The message of a refused row, which goes to the log, holds no value of the row."""
    with pytest.raises(IntegrityError) as found, database.writing() as session:
        session.add(
            Person(organisation_id=99, works_number="TV-1", name="N", passphrase_hash="hush", created_at=NOW)
        )
    assert "hush" not in str(found.value)


@pytest.mark.sqlite
def test_settings_of_the_connection(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    """As the program opens a file, acknowledged means on the disk; references are checked."""
    monkeypatch.setattr("trainer.store.database._settle", settle)
    opened = Database(settings.database_url)
    with opened.reading() as session:
        found = [
            session.scalar(text(f"PRAGMA {name}")) for name in ("journal_mode", "synchronous", "foreign_keys")
        ]
    opened.close()
    assert found == ["wal", 2, 1]


def test_references_are_checked(database: Database) -> None:
    """A person of no organisation cannot be stored."""
    with pytest.raises(IntegrityError), database.writing() as session:
        session.add(Person(organisation_id=99, works_number="TV-1", name="Nobody", created_at=NOW))


def test_moments_keep_their_zone(database: Database) -> None:
    """A moment comes back in UTC and aware, whatever zone it was given in."""
    west = datetime(2026, 11, 25, 5, 38, tzinfo=timezone(timedelta(hours=-5)))
    with database.writing() as session:
        session.add(Organisation(name="Tarn Valley", created_at=west))
    with database.reading() as session:
        found = session.scalars(select(Organisation.created_at)).one()
    assert (found, found.tzinfo) == (NOW, UTC)


def test_naive_moments_are_refused(database: Database) -> None:
    """A moment without a zone cannot slip into the store."""
    with pytest.raises(StatementError, match="without a time zone"), database.writing() as session:
        session.add(Organisation(name="Tarn Valley", created_at=NOW.replace(tzinfo=None)))


def test_hours_are_exact(database: Database) -> None:
    """Hours come back as the decimal that was written, also one that no binary number holds."""
    with database.writing() as session:
        people = make_people(session)
        made = make_class(session, people.ian)
        make_meeting(session, people.ian, made.id, hours=Decimal("7.15"))
    with database.reading() as session:
        assert session.scalars(select(Meeting.hours)).one() == Decimal("7.15")


@pytest.mark.parametrize("url", ["nonsense", "mysql://somewhere/x", "sqlite3:/x"])
def test_other_stores_are_refused(url: str) -> None:
    """An address that names no store of ours is refused with a sentence."""
    with pytest.raises(Refused, match="The setting database"):
        Database(url)


def test_records_of_a_newer_program_are_left_alone(database: Database) -> None:
    """A store with a step that this program does not know is not touched."""
    with database.writing() as session:
        session.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    with pytest.raises(Conflict, match="newer version"):
        migrate(database)


def test_a_look_goes_on_after_a_fault(database: Database) -> None:
    """One connection serves all looks; after a statement that fails the next one has another, and sees what is there."""
    look = database.look()
    with look as first, look as second:
        assert first is second
    with pytest.raises(DatabaseError), look as connection:
        connection.execute(text("SELECT nothing FROM nowhere"))
    with database.writing() as session:
        make_people(session)
    with look as connection:
        assert connection.execute(select(Person.name)).scalars().all()
    look.close()
    assert database.looker.pool.checkedout() == 0  # type: ignore[attr-defined]
