"""Move all records from one store to another, and prove that both hold the same.

Rows are read and written by the same models, in one transaction of the new store: all of them arrive, or
none. A table's digest is the sum of the SHA-256 of its rows, so that it does not depend on the order in
which a store gives them: two servers sort text differently.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Integer, Table, func, inspect, select, text
from sqlalchemy.exc import DBAPIError

from trainer.errors import Conflict, Refused
from trainer.store.database import Database
from trainer.store.database_file import make_sure_nobody_is_writing
from trainer.store.migrations import taken, upgrade
from trainer.store.models import Model

AT_ONCE = 1000
MODULUS = 2**256


@dataclass(frozen=True, slots=True)
class Content:
    """What one table holds: how many rows, and the digest over all of them."""

    table: str
    rows: int
    digest: str


def move(source: Database, target: Database) -> tuple[Content, ...]:
    """Copy every row into an empty store and compare both; give what each table holds there.

    Raises Conflict while a trainer runs on the records or where the target is not empty, Refused for a
    row that the target cannot hold and for a copy that is not the same. The source stays as it is.
    """
    if taken(target) is not None:
        raise Conflict("There are records in that database already. Name an empty one.")
    if source.is_sqlite:
        source.close()  # its own idle connections count as somebody's too
        make_sure_nobody_is_writing(Path(source.url.database or ""), "move the records")
    with source.connection() as old, target.connection() as new:
        _make_sure_all_is_known(old)
        upgrade(new)
        for table in Model.metadata.sorted_tables:
            _copy(table, old, new)
        there = contents(new)
        different = [here.table for here, now in zip(contents(old), there, strict=True) if here != now]
        if different:
            raise Refused(f"The copy is not the same in {', '.join(different)}, so nothing was moved.")
    return there


def contents(connection: Connection) -> tuple[Content, ...]:
    """What every table of a store holds, by name."""
    return tuple(_content(table, connection) for table in Model.metadata.sorted_tables)


def _content(table: Table, connection: Connection) -> Content:
    rows, total = 0, 0
    for row in _rows(table, connection):
        rows += 1
        total += int.from_bytes(hashlib.sha256(_written(row)).digest(), "big")
    return Content(table.name, rows, f"{total % MODULUS:064x}")


def _rows(table: Table, connection: Connection) -> Iterator[dict[str, Any]]:
    found = connection.execution_options(yield_per=AT_ONCE).execute(select(table))
    return (dict(row) for row in found.mappings())


def _written(row: dict[str, Any]) -> bytes:
    """One row as bytes that are the same in every store."""
    return json.dumps(row, sort_keys=True, ensure_ascii=False, default=_plain).encode()


def _plain(value: object) -> str:
    if isinstance(value, datetime | date | time):
        return value.isoformat()
    if isinstance(value, Decimal):
        return format(value, "f")
    raise TypeError(f"a column holds {type(value).__name__}, which has no written form here")


def _copy(table: Table, old: Connection, new: Connection) -> None:
    try:
        batch: list[dict[str, Any]] = []
        for row in _rows(table, old):
            batch.append(row)
            if len(batch) == AT_ONCE:
                new.execute(table.insert(), batch)
                batch.clear()
        if batch:
            new.execute(table.insert(), batch)
        _go_on_counting(table, new)
    except DBAPIError as fault:
        raise Refused(
            f"A row of the table {table.name} does not fit into the new database ({fault.orig}). Nothing was moved."
        ) from fault


def _go_on_counting(table: Table, new: Connection) -> None:
    """Let PostgreSQL give the next number after the highest that came along."""
    key = table.autoincrement_column
    if new.dialect.name != "postgresql" or key is None or not isinstance(key.type, Integer):
        return
    sequence = new.scalar(
        text("SELECT pg_get_serial_sequence(:table, :column)"), {"table": table.name, "column": key.name}
    )
    highest = new.scalar(select(func.max(key)))
    if sequence and highest is not None:
        new.execute(text("SELECT setval(:sequence, :highest)"), {"sequence": sequence, "highest": highest})


def _make_sure_all_is_known(old: Connection) -> None:
    strange = {*inspect(old).get_table_names()} - {*Model.metadata.tables, "alembic_version"}
    if strange:
        raise Conflict(f"The records hold tables that this version does not know: {', '.join(strange)}.")
