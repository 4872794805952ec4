"""The root of all tables: names of constraints, kinds of columns, lengths of texts."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal
from typing import Annotated, Any, ClassVar, cast

from sqlalchemy import JSON, Index, MetaData, String, Table, text
from sqlalchemy.orm import DeclarativeBase, mapped_column

from trainer.store.kinds import Exact, Utc

Json = dict[str, Any]

# Every constraint gets a name, so that a later step can name what it drops on SQLite too.
NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

Key = Annotated[int, mapped_column(primary_key=True)]
Word = Annotated[str, mapped_column(String(40))]
Line = Annotated[str, mapped_column(String(200))]
Digest = Annotated[str, mapped_column(String(64))]


class Model(DeclarativeBase):
    """Root of all tables."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map: ClassVar[dict[Any, Any]] = {datetime: Utc, Decimal: Exact, Json: JSON}

    @classmethod
    def table(cls) -> Table:
        """The table itself, to ask for plain columns or to add a row where no object is needed: half the work."""
        return cast(Table, cls.__table__)


def one_of(column: str, words: tuple[str, ...]) -> str:
    """The text of a check that a column holds one of these words."""
    return f"{column} IN ({', '.join(repr(word) for word in words)})"


def firsts_of(table: str) -> Index:
    """An index of nothing but first answers by person, few among all that somebody gives: counted without looking at them."""
    return Index(
        f"ix_{table}_person_id_first", "person_id", "is_first", "verdict", sqlite_where=text("is_first = 1"), postgresql_where=text("is_first")
    )  # fmt: skip
