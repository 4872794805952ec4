"""Column kinds of our own: moments that keep their zone, and decimals exactly as written."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import DateTime, String
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeDecorator


class Utc(TypeDecorator[datetime]):
    """A moment in UTC. SQLite forgets time zones; this brings them back and refuses naive times."""

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """Turn an aware moment into UTC. Raises ValueError for one without a zone."""
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a moment without a time zone cannot be stored")
        return value.astimezone(UTC)

    def process_result_value(self, value: Any | None, dialect: Dialect) -> datetime | None:
        """Give the stored moment its zone back."""
        if value is None:
            return None
        moment: datetime = value
        return moment.replace(tzinfo=UTC) if moment.tzinfo is None else moment.astimezone(UTC)


class Exact(TypeDecorator[Decimal]):
    """A decimal kept as text, so that 7.25 h is 7.25 h in every database."""

    impl = String(40)
    cache_ok = True

    def process_bind_param(self, value: Decimal | None, dialect: Dialect) -> str | None:
        """Write the decimal in plain digits."""
        return None if value is None else format(value, "f")

    def process_result_value(self, value: Any | None, dialect: Dialect) -> Decimal | None:
        """Read the decimal back."""
        return None if value is None else Decimal(value)
