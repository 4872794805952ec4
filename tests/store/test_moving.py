"""Records move to another store whole, or not at all; what arrived is proven by counts and digests."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import select, text

from tests import postgres
from tests.make import make_class, make_meeting, make_people, make_person
from trainer.errors import Conflict, Refused
from trainer.services.keeping import audit
from trainer.store import Database
from trainer.store.migrations import migrate, taken
from trainer.store.models import Organisation, Person
from trainer.store.moving import contents, move


@pytest.fixture(scope="module")
def server() -> Iterator[postgres.Server]:
    """A PostgreSQL server for the tests of this module."""
    if not postgres.installed():
        if os.environ.get("CI"):
            pytest.fail("CI must have PostgreSQL: install the package postgresql")
        pytest.skip("PostgreSQL is not installed")
    with postgres.server() as server:
        yield server


@pytest.fixture
def on_server(server: postgres.Server) -> Iterator[Database]:
    """A database of the server, without a table."""
    database = Database(server.url(server.fresh()))
    yield database
    database.close()


@pytest.fixture(params=["sqlite", "postgresql"])
def empty(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Database]:
    """A database without a table, of each kind."""
    if request.param == "postgresql":
        yield request.getfixturevalue("on_server")
        return
    database = Database(f"sqlite:///{(tmp_path / 'other.sqlite').as_posix()}")
    yield database
    database.close()


@pytest.fixture
def filled(tmp_path: Path) -> Iterator[Database]:
    """A file with people, a meeting and a chain in it."""
    database = Database(f"sqlite:///{(tmp_path / 'filled.sqlite').as_posix()}")
    migrate(database)
    with database.writing() as session:
        people = make_people(session)
        made = make_class(session, people.ian, people.tess)
        make_meeting(session, people.ian, made.id)
    yield database
    database.close()


def test_everything_arrives(filled: Database, empty: Database) -> None:
    """Every table holds as many rows with the same content, and the newest link is the same."""
    told = move(filled, empty)
    with filled.connection() as here, empty.connection() as there:
        assert contents(here) == contents(there) == told
    assert {content.table: content.rows for content in told}["person"] == 4
    with filled.reading() as here, empty.reading() as there:
        assert audit.recent(here, 1)[0].hash == audit.recent(there, 1)[0].hash


def test_counting_goes_on_after_the_last_number(filled: Database, empty: Database) -> None:
    """The next person gets a number that nobody who came along has."""
    move(filled, empty)
    with empty.writing() as session:
        known = set(session.scalars(select(Person.id)))
        assert make_person(session, "TV-99", "Late").id == max(known) + 1


def test_a_changed_value_changes_the_digest(filled: Database) -> None:
    """One letter in one row shows in the digest of its table, and in no other."""
    with filled.connection() as connection:
        before = {content.table: content.digest for content in contents(connection)}
        connection.execute(text("UPDATE person SET name = 'Tass' WHERE name = 'Tess'"))
        after = {content.table: content.digest for content in contents(connection)}
    assert {table for table in before if before[table] != after[table]} == {"person"}


def test_records_in_the_target_are_not_mixed(filled: Database, empty: Database) -> None:
    """A database that has taken steps already is left alone."""
    migrate(empty)
    with pytest.raises(Conflict, match="empty one"):
        move(filled, empty)


def test_a_row_that_does_not_fit_moves_nothing(filled: Database, on_server: Database) -> None:
    """A text longer than its column, which only a file takes, is named by its table; no table is left behind."""
    with filled.connection() as connection:
        connection.execute(text("UPDATE person SET name = :name WHERE name = 'Omar'"), {"name": "O" * 201})
    with pytest.raises(Refused, match="person"):
        move(filled, on_server)
    assert taken(on_server) is None


def test_a_running_trainer_is_stopped_first(filled: Database, empty: Database) -> None:
    """What would be answered during the move must not be left behind."""
    with filled.reading() as session:
        session.scalars(select(Organisation)).all()
        other = Database(filled.url.render_as_string())
        with pytest.raises(Conflict, match="Stop it, then move"):
            move(other, empty)
        other.close()
    assert taken(empty) is None
