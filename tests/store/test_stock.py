"""The stores that the tests themselves are given: empty every time, whatever the test before left behind."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from sqlalchemy import inspect, text

from tests.make import make_people
from tests.stores import Stock
from trainer.settings import Settings
from trainer.store import Database


@contextmanager
def taken_from(stock: Stock, folder: Path) -> Iterator[Database]:
    """A store of the stock, as a test has it."""
    folder.mkdir()
    settings = Settings(instance=folder, database=stock.fresh(folder))
    database = Database(settings.database_url)
    try:
        yield database
    finally:
        database.close()
        stock.done_with(settings.database)


def test_what_a_test_wrote_is_gone(stock: Stock, tmp_path: Path) -> None:
    """The next test finds nobody, and counts from one again."""
    with taken_from(stock, tmp_path / "first") as database, database.writing() as session:
        before = make_people(session)
    with taken_from(stock, tmp_path / "second") as database, database.writing() as session:
        assert session.scalar(text("SELECT count(*) FROM person")) == 0
        assert make_people(session) == before


@pytest.mark.parametrize(
    "spoil",
    [
        "ALTER TABLE person ADD COLUMN height INTEGER",
        "CREATE TABLE stranger (id INTEGER)",
        "DROP TABLE alembic_version",
        "UPDATE alembic_version SET version_num = '0000'",
    ],
)
def test_what_a_test_did_to_the_tables_is_gone(stock: Stock, tmp_path: Path, spoil: str) -> None:
    """Nor does it find other tables, columns or steps."""
    with taken_from(stock, tmp_path / "first") as database:
        whole = shape_of(database)
        with database.connection() as connection:
            connection.execute(text(spoil))
    with taken_from(stock, tmp_path / "second") as database:
        assert shape_of(database) == whole


def shape_of(database: Database) -> tuple[dict[str, list[str]], str]:
    """Every table with its columns, and the step that was taken."""
    with database.connection() as connection:
        seen = inspect(connection)
        columns = {
            name: [one["name"] for one in seen.get_columns(name)] for name in sorted(seen.get_table_names())
        }
        step = connection.scalar(text("SELECT version_num FROM alembic_version"))
    return columns, str(step)
