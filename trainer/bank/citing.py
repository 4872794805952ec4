"""Where a fact was read, as it is told: a document goes by its own name, a rule of ours by the reader's words."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from pydantic import BaseModel

from trainer.languages import content

OURS = frozenset({"ours", "common practice"})
"""The states of a source that is no document of others."""


def cited(text: str | None, status: str) -> str:
    """The document or the clause of a source as it is read."""
    return content(text or "") if status in OURS else text or ""


def own_words(held: Any) -> Iterator[str]:
    """Yield what a record, or anything in it, cites of our own."""
    if isinstance(held, BaseModel):
        if getattr(held, "status", "") in OURS:
            yield from filter(None, (getattr(held, "document", ""), getattr(held, "clause", "")))
        for name in type(held).model_fields:
            yield from own_words(getattr(held, name))
    elif isinstance(held, (tuple, list)):
        for one in held:
            yield from own_words(one)
    elif isinstance(held, dict):
        for one in held.values():
            yield from own_words(one)
