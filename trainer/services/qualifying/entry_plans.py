"""What is checked before an entry is added to somebody's page of the ledger, one or many at a time.

The page is read once; each planned entry is checked against what stands there and what was planned before it.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.errors import Conflict
from trainer.languages import _
from trainer.qualification import Entry as Fact
from trainer.services.admitting import accounts
from trainer.services.keeping.moments import local_day
from trainer.services.qualifying import histories
from trainer.services.qualifying.histories import BadEntry
from trainer.store.models import Entry

# Facts that have happened: their last day cannot lie ahead. Others may be planned.
PAST = frozenset({"training", "practice", "experience", "work", "examination", "vision", "education"})


@dataclass(frozen=True, slots=True)
class Planned:
    """An entry that may be added: every rule of the history format and of this house was checked."""

    seq: int
    person_id: int
    kind: str
    body: dict[str, object]
    fact: Fact
    by_id: int
    role: str


@dataclass(slots=True)
class Page:
    """What the ledger holds about one person: the facts read, and what stands (id, kind, body)."""

    person_id: int
    facts: list[Fact]
    standing: list[tuple[str, str, dict[str, object]]]

    @classmethod
    def of(cls, session: Session, person_id: int) -> Page:
        """Read the page of a person. Raises NotFound and Unreadable as histories does."""
        return cls.of_all(session, [person_id])[person_id]

    @classmethod
    def of_all(cls, session: Session, person_ids: Collection[int]) -> dict[int, Page]:
        """Read the pages of several people together."""
        facts = histories.histories_of(session, person_ids)
        pages = {one: cls(one, list(history.entries), []) for one, history in facts.items()}
        wanted = select(Entry).order_by(Entry.seq)
        if len(pages) < accounts.MOST_NAMED:
            wanted = wanted.where(Entry.person_id.in_(pages))
        rows = [row for row in session.scalars(wanted) if row.person_id in pages and row.body]
        gone = {str(row.body["reverses"]) for row in rows if row.kind == "reversal"}
        for row in rows:
            if row.id not in gone:
                pages[row.person_id].standing.append((row.id, row.kind, row.body))
        return pages

    def plan(
        self,
        kind: str,
        body: Mapping[str, object],
        by_id: int,
        role: str,
        seq: int,
        now: datetime,
        schemes: Collection[str] | None,
    ) -> Planned:
        """Check one entry and keep it in mind for the next. Raises BadEntry, Conflict for the same twice."""
        cleaned = {name: _clean(value, name) for name, value in body.items()}
        written = {name: value for name, value in cleaned.items() if value not in (None, "", [], {})}
        hands = {"entered_by": {"person": str(by_id), "role": role}}
        fact = histories.check({"id": f"e{seq}", "kind": kind, **written, **hands}, self.facts, schemes)
        _not_ahead(fact, now)
        self._not_twice(kind, written)
        self.facts.append(fact)
        self.standing.append((fact.id, kind, written))
        return Planned(seq, self.person_id, kind, written, fact, by_id, role)

    def _not_twice(self, kind: str, body: Mapping[str, object]) -> None:
        for name, other_kind, other in self.standing:
            if other_kind == kind and other == body:
                raise Conflict(
                    _(
                        "Exactly the same stands in the ledger as %(name)s already. If it happened twice, say "
                        "in the note what tells the two apart.",
                        name=name,
                    )
                )


def next_seq(session: Session) -> int:
    """The number of the next entry of the ledger."""
    return (session.scalar(select(func.max(Entry.seq))) or 0) + 1


def _clean(value: object, name: str) -> object:
    """The value with its texts in one form; raises BadEntry for signs that cannot be shown."""
    if isinstance(value, Mapping):
        return {str(key): _clean(one, name) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [_clean(one, name) for one in value]
    if not isinstance(value, str):
        return value
    text = unicodedata.normalize("NFC", value[: histories.MOST_CHARACTERS + 1].replace("\r\n", "\n")).strip()
    if any(unicodedata.category(sign) in {"Cc", "Cf", "Cs", "Cn"} and sign != "\n" for sign in text):
        raise BadEntry(_("this holds a character that cannot be shown; type it again"), name)
    return text


def _not_ahead(fact: Fact, now: datetime) -> None:
    """Refuse work that is still to be done. A day of leeway: it may be tomorrow already where it was typed."""
    last = fact.last or fact.first
    if fact.kind in PAST and last > local_day(now) + timedelta(days=1):
        raise BadEntry(
            _("%(last)s has not come yet; enter this when it is done", last=last),
            "to" if fact.ranged else "date",
        )
