"""Editions of items: the content as it stood when it was asked, kept so that later edits change no mark."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from trainer.bank import Bank, Entry, JobEntry, PracticalEntry, QuestionEntry
from trainer.services.keeping import own_contents, sealed_papers
from trainer.store import Asked
from trainer.store.models import Edition

_CONTENT = select(Edition.table().c.content).where(Edition.table().c.hash == bindparam("hash"))


def keep(session: Session, entry: Entry | JobEntry | PracticalEntry | QuestionEntry, now: datetime) -> str:
    """Keep the edition of an item if it is not kept yet; return its hash."""
    if session.get(Edition, entry.edition) is None:
        session.add(_edition(session, entry, now))
        session.flush()  # what is added next refers to it
    return entry.edition


def keep_all(session: Session, entries: Iterable[Entry | QuestionEntry], now: datetime) -> None:
    """Keep the editions of many items at once, those that are not kept yet."""
    by_hash = {entry.edition: entry for entry in entries}
    held = set(session.scalars(select(Edition.hash).where(Edition.hash.in_(by_hash))))
    for name in by_hash.keys() - held:
        session.add(_edition(session, by_hash[name], now))
    session.flush()  # what is added next refers to them


def content(session: Asked, edition: str) -> Any:
    """Return the kept content of an edition, as the bank's reader takes it; of a sealed one while its key is held."""
    kept = session.execute(_CONTENT, {"hash": edition}).first()
    found = None if kept is None else json.loads(kept.content)
    if not isinstance(session, Session):  # practice, where nothing is sealed
        return found
    return (
        sealed_papers.edition(session, edition) if kept is None else own_contents.content_kept(session, found)
    )


def behind(session: Asked, bank: Bank, snapshot: Mapping[str, Any]) -> Any:
    """Return the kept content of the drill that an exercise was drawn from; None where the bank has it still."""
    entry = bank.drills.get(snapshot["drill"])
    same = entry is not None and entry.edition == snapshot["edition"]
    return None if same else content(session, snapshot["edition"])


def _edition(
    session: Session, entry: Entry | JobEntry | PracticalEntry | QuestionEntry, now: datetime
) -> Edition:
    content = own_contents.content_to_keep(session, entry.id, entry.content)
    return Edition(hash=entry.edition, drill_id=entry.id, content=content, kept_at=now)
