"""Leave a note of every act that matters in the hash chain, and walk the chain.

The hash of a link covers its number, its time, its event and the hash before it, so an edited, missing or
swapped link is found. A tail cut off is found by the signed heads that go out with every export.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from sqlalchemy import func, insert, select
from sqlalchemy.orm import Session

from trainer.languages import _
from trainer.records import chain
from trainer.store.models import Link

# Put together once, and of plain columns, since both take longer than the asking.
_LINK = Link.table()
_LAST = select(_LINK.c.seq, _LINK.c.hash).order_by(_LINK.c.seq.desc()).limit(1)
_ADD = insert(_LINK)


@dataclass(frozen=True, slots=True)
class Walk:
    """What a walk along the chain found. ``broken`` is the number of the first link that does not hold."""

    links: int
    broken: int | None
    says: str


def note(
    session: Session,
    who: int | None,
    what: str,
    about: str | int,
    now: datetime,
    where: str = "",
    facts: Mapping[str, str | int | None] | None = None,
) -> None:
    """Add one link: person ``who`` (None: the machine's owner) did ``what`` to ``about``, from ``where``.

    What the session holds back is written first, so that the act is in the store before its link.

    ``facts`` are covered by the hash too, for instance the digest of a ledger entry.
    """
    session.flush()
    last = session.execute(_LAST).first()
    seq, prev = (last.seq + 1, last.hash) if last else (0, chain.START)
    event: dict[str, str | int | dict[str, str | int | None] | None]
    event = {"who": who, "what": what, "about": str(about), "where": where}
    if facts:
        event["facts"] = dict(facts)
    time = moment(now)
    digest = chain.hash_of(seq, time, event, prev)
    session.execute(_ADD, {"seq": seq, "time": time, "event": event, "prev": prev, "hash": digest})


def moment(now: datetime) -> str:
    """The text of a moment as it is hashed: UTC, microseconds, Z."""
    return now.astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def walk(session: Session) -> Walk:
    """Recompute the chain from its first link and name the first one that does not hold."""
    broken = chain.walk(links(session))
    count = length(session)
    if broken:
        return Walk(count, broken.seq, broken.says)
    return Walk(count, None, _("All %(count)s links hold.", count=count))


def length(session: Session) -> int:
    """How many links there are, by the highest number: counting them all would take longer every year."""
    last = session.scalar(select(func.max(Link.seq)))
    return 0 if last is None else last + 1


def links(session: Session, first: int = 0, most: int | None = None) -> Iterator[chain.Link]:
    """The chain from a link on, oldest first, as the records room reads it (for walking and for signed heads)."""
    wanted = select(Link.seq, Link.time, Link.event, Link.prev, Link.hash).where(Link.seq >= first)
    for row in session.execute(wanted.order_by(Link.seq).limit(most)).yield_per(500):
        yield chain.Link(*row)


def recent(session: Session, limit: int = 100) -> list[Link]:
    """The newest links, newest first."""
    return list(session.scalars(select(Link).order_by(Link.seq.desc()).limit(limit)))
