"""A store that cannot write or read is told in a sentence; nothing is half kept, and afterwards it goes on."""

from __future__ import annotations

from pathlib import Path

import pytest
from sqlalchemy import select, text
from sqlalchemy.exc import OperationalError
from sqlalchemy.orm import Session

from tests.conftest import Browser
from tests.make import NOW, People, make_person
from trainer.errors import NotNow, Unreadable
from trainer.services.keeping import audit
from trainer.store import Database
from trainer.store.migrations import migrate, pending, taken
from trainer.store.models import Organisation
from trainer.store.troubles import AWAY, raise_meaning

pytestmark = pytest.mark.sqlite


def room_for(store: Database, pages: int) -> None:
    """Let every connection of a store believe that its disk holds so many pages more, and no more."""
    store.engine.dispose()
    with store.engine.connect() as connection:
        present = connection.scalar(text("PRAGMA page_count")) or 0
        connection.execute(text(f"PRAGMA max_page_count={present + pages}"))


def fill_up(store: Database) -> None:
    """Write more than there is room for."""
    with store.writing() as session:
        for number in range(2000):
            session.add(Organisation(name=f"{number:0200}", created_at=NOW))


def test_a_full_disk_is_told_and_nothing_is_half_kept(database: Database) -> None:
    """What does not fit is refused whole with a sentence; with room again it is kept."""
    room_for(database, 3)
    with pytest.raises(NotNow, match="disk of this trainer is full"):
        fill_up(database)
    with database.reading() as session:
        assert session.scalars(select(Organisation)).all() == []
    room_for(database, 1000)
    fill_up(database)


def test_steps_that_find_no_room_are_not_taken(tmp_path: Path) -> None:
    """An installation that begins on a full disk gets the sentence of any other day."""
    database = Database(f"sqlite:///{tmp_path / 'trainer.sqlite'}")
    room_for(database, 3)
    with pytest.raises(NotNow, match="disk of this trainer is full"):
        migrate(database)
    database.close()


def test_records_that_may_only_be_read(database: Database) -> None:
    """Where writing is forbidden the sentence comes before anything is kept."""
    database.engine.dispose()
    with database.engine.connect() as connection:
        connection.execute(text("PRAGMA query_only=ON"))
    with pytest.raises(NotNow, match="cannot be written"), database.writing() as session:
        session.add(Organisation(name="Tarn Valley", created_at=NOW))


def test_a_page_of_a_full_disk_says_so(store: Database, people: People, as_tess: Browser) -> None:
    """The phone gets 503, so that what it holds is sent again, and a sentence for its owner."""
    room_for(store, 0)
    with store.engine.connect() as connection:
        connection.execute(text("PRAGMA query_only=ON"))
    reply = as_tess.send("/trainee/practice")
    assert (reply.status_code, "send it again" in reply.get_data(as_text=True)) == (503, True)


def test_a_store_that_fails_at_who_is_asking_has_its_page(
    store: Database, as_tess: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The page of the fault does not ask the store again, which would fail once more."""

    def away(_database: Database) -> Session:
        raise NotNow(AWAY)

    for way in ("reading", "look"):
        monkeypatch.setattr(Database, way, away)
    reply = as_tess.get("/")
    assert (reply.status_code, AWAY in reply.get_data(as_text=True)) == (503, True)


def test_a_server_that_went_away_is_told_whatever_it_said() -> None:
    """A connection that is gone is told by that, not by words that may change with every version."""
    fault = OperationalError("SELECT 1", None, Exception("the wire was cut"), connection_invalidated=True)
    with pytest.raises(NotNow, match="does not answer just now"):
        raise_meaning(fault)


def test_a_fault_at_the_end_of_a_reading_is_told(database: Database, monkeypatch: pytest.MonkeyPatch) -> None:
    """A store may go away after the last thing was read, when its session is closed."""

    def cut(_session: Session) -> None:
        raise OperationalError("ROLLBACK", None, Exception("server closed the connection unexpectedly"))

    with pytest.raises(NotNow, match="does not answer just now"), database.reading():
        monkeypatch.setattr(Session, "close", cut)


def spoil(file: Path, place: int, size: int) -> None:
    """Overwrite a part of a file."""
    data = bytearray(file.read_bytes())
    data[place : place + size] = b"\xa5" * size
    file.write_bytes(data)


def test_a_spoilt_page_is_told(tmp_path: Path) -> None:
    """Reading what lies on a spoilt page says that the records are damaged, not that something went wrong."""
    file = tmp_path / "trainer.sqlite"
    database = Database(f"sqlite:///{file.as_posix()}")
    migrate(database)
    with database.writing() as session:
        for number in range(300):
            make_person(session, f"TV-{number}", "Somebody")
    database.close()
    spoil(file, 8192, file.stat().st_size - 8192)
    with pytest.raises(NotNow, match="damaged"), database.reading() as session:
        audit.recent(session)
    database.close()


@pytest.mark.parametrize("size", [0, 1, 50, 4096, 6000])
def test_a_file_that_was_cut_off_is_not_opened(tmp_path: Path, size: int) -> None:
    """A start on the beginning of a file says which file, and to bring back a backup."""
    file = tmp_path / "trainer.sqlite"
    database = Database(f"sqlite:///{file.as_posix()}")
    migrate(database)
    database.close()
    file.write_bytes(file.read_bytes()[:size])
    with pytest.raises(Unreadable, match="restore FILE"):
        migrate(database)
    database.close()
    assert file.stat().st_size == size


def test_an_empty_file_is_no_first_run(tmp_path: Path) -> None:
    """Nothing is made of a file of 0 bytes, and the sentence says how to bring the records back; no file is one."""
    file = tmp_path / "trainer.sqlite"
    database = Database(f"sqlite:///{file.as_posix()}")
    assert taken(database) is None
    assert not file.exists()
    file.touch()
    for look in (taken, pending, migrate):
        with pytest.raises(Unreadable, match=r"is empty: the records that it held.*restore FILE --replace"):
            look(database)
    assert file.stat().st_size == 0
    file.unlink()
    assert migrate(database)
    database.close()
