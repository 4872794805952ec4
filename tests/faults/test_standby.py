"""Every acknowledged answer outlives the database server, where a synchronous standby takes over. Long form: standby.py."""

from __future__ import annotations

import os
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import select

from tests import postgres
from tests.faults.standby import PATIENCE, Pair, pair_of_servers, takeovers, until
from tests.make import make_person
from trainer.errors import NotNow
from trainer.store import Database
from trainer.store.migrations import migrate
from trainer.store.models import Person

pytestmark = pytest.mark.slow


@pytest.fixture(autouse=True)
def _installed() -> None:
    """Leave these out where no PostgreSQL is; in CI there must be one."""
    if not postgres.installed():
        if os.environ.get("CI"):
            pytest.fail("CI must have PostgreSQL: install the package postgresql")
        pytest.skip("PostgreSQL is not installed")


@pytest.mark.timeout(600)
def test_the_standby_takes_over_under_load(tmp_path: Path) -> None:
    """Three trainers on one database: nothing acknowledged is lost or doubled, all go on, each reply is a sentence."""
    count = takeovers(tmp_path, times=2, phones=6, seed=11)
    assert count.bad == []
    assert (count.takeovers, count.cut_off) == (2, 1)
    assert count.acknowledged >= 6 * 4
    assert count.kept >= count.acknowledged
    assert {*count.statuses} <= {200, 303, 503}


def test_an_entry_that_the_standby_does_not_have_is_not_acknowledged() -> None:
    """While nothing reaches the standby an entry waits, and is refused with a sentence when the server dies."""
    with pair_of_servers() as pair, store_of(pair) as database:
        pair.cut_off()
        with ThreadPoolExecutor(1) as others:
            entering = others.submit(enter, database)
            until(lambda: waiting_for_the_standby(pair) == 1)
            assert not entering.done()
            pair.primary.kill()
            with pytest.raises(NotNow, match="does not answer just now"):
                entering.result(PATIENCE)
        pair.take_over()
        assert people_in(database) == 0
        enter(database)
        assert people_in(database) == 1


def test_without_waiting_an_acknowledged_entry_is_lost() -> None:
    """The same with a standby that nobody waits for: what was acknowledged is gone, and the look would see it."""
    with pair_of_servers(waits=False) as pair, store_of(pair) as database:
        pair.cut_off()
        enter(database)
        pair.primary.kill()
        pair.take_over()
        assert people_in(database) == 0


@contextmanager
def store_of(pair: Pair) -> Iterator[Database]:
    """An empty store on the pair, its standby joined."""
    pair.primary.say("CREATE DATABASE trainer")
    database = Database(pair.address("trainer"))
    migrate(database)
    pair.join()
    yield database
    database.close()


def enter(database: Database) -> None:
    """Enter somebody."""
    with database.writing() as session:
        make_person(session)


def people_in(database: Database) -> int:
    """How many people are entered, as far as the server knows that takes writes."""
    with database.reading() as session:
        return len(session.scalars(select(Person.id)).all())


def waiting_for_the_standby(pair: Pair) -> object:
    """How many commits of the primary wait until the standby has them too."""
    return pair.primary.say("SELECT count(*) FROM pg_stat_activity WHERE wait_event = 'SyncRep'")
