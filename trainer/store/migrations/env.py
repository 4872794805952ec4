"""Where Alembic meets our tables; it is only ever run on a connection that is already open."""

from __future__ import annotations

from typing import Any, Literal

from alembic import context

from trainer.store.kinds import Exact, Utc
from trainer.store.models import Model


def _plain(kind: str, item: Any, _context: Any) -> str | Literal[False]:
    """Write our own column kinds in a step as what they are in the database."""
    if kind == "type" and isinstance(item, Utc):
        return "sa.DateTime(timezone=True)"
    if kind == "type" and isinstance(item, Exact):
        return "sa.String(40)"
    return False


context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=Model.metadata,
    render_as_batch=True,
    render_item=_plain,
    compare_type=True,
)
context.run_migrations()
