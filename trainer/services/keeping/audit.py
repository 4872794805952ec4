"""Leave a note of every act that matters in the hash chain, and walk the chain.

The hash of a link covers its number, its time, its event and the hash before it, so an edited, missing or
swapped link is found. A tail cut off is found by the signed heads that go out with every export. A chain is for
ever, so what tells of a person in words (an address, a reason) stands beside it, and the link holds its digest.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime

from sqlalchemy import func, insert, select
from sqlalchemy.orm import Session

from trainer.languages import _
from trainer.records import chain, jcs
from trainer.store.models import Aside, Link

SALT_BYTES = 32
# The one act after which rows that links tell of may be missing.
ERASED = "person erased"
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
    facts: Mapping[str, str | int | None] | None = None,
    apart: tuple[int, Mapping[str, str]] | None = None,
) -> chain.Link:
    """Add one link: person ``who`` (None: the machine's owner) did ``what`` to ``about``.

    What the session holds back is written first, so that the act is in the store before its link.

    ``facts`` are covered by the hash, for instance the digest of a ledger entry, and stay for ever. ``apart`` is
    whom words tell of and those words by name: they are kept beside the link and can be erased with that person.
    """
    session.flush()
    store = session.connection()
    last = store.execute(_LAST).first()
    seq, prev = (last.seq + 1, last.hash) if last else (0, chain.START)
    event: dict[str, str | int | dict[str, str | int | None] | None]
    event = {"who": who, "what": what, "about": str(about)}
    if facts:
        event["facts"] = dict(facts)
    aside = _aside(seq, *apart) if apart else None
    if aside is not None:
        names = " ".join(sorted(aside.texts))
        event["apart"] = {"of": aside.person_id, "names": names, "digest": digest(aside)}
    made = chain.link(seq, moment(now), event, prev)
    row = {"seq": seq, "time": made.time, "event": event, "prev": prev, "hash": made.hash}
    store.execute(_ADD, row)
    if aside is not None:
        session.add(aside)
    return made


def digest(aside: Aside) -> str:
    """SHA-256 of what is told beside a link, as that link keeps it; the salt lets nobody guess it afterwards."""
    told = {"link": aside.link_seq, "of": aside.person_id, "texts": aside.texts, "salt": aside.salt}
    return jcs.digest(told).hex()


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


def first_since(session: Session, at: datetime) -> int:
    """The number from which on every link is of a moment or later.

    A clock that was set back puts some of later moments before it as well; none of before lies behind it.
    """
    before = select(_LINK.c.seq).where(_LINK.c.time < moment(at)).order_by(_LINK.c.seq.desc()).limit(1)
    last = session.scalar(before)
    return 0 if last is None else last + 1


def links(session: Session, first: int = 0, most: int | None = None) -> Iterator[chain.Link]:
    """The chain from a link on, oldest first, as the records room reads it (for walking and for signed heads)."""
    wanted = select(Link.seq, Link.time, Link.event, Link.prev, Link.hash).where(Link.seq >= first)
    for row in session.execute(wanted.order_by(Link.seq).limit(most)).yield_per(500):
        yield chain.Link(*row)


def recent(session: Session, limit: int = 100) -> list[Link]:
    """The newest links, newest first."""
    return list(session.scalars(select(Link).order_by(Link.seq.desc()).limit(limit)))


def newest(session: Session) -> str:
    """The hash of the newest link: two stores with the same one hold the same chain. Empty where there is none."""
    return "".join(link.hash for link in recent(session, 1))


def newest_time(session: Session) -> datetime | None:
    """The moment of the newest link; None where there is none."""
    return next((datetime.fromisoformat(link.time) for link in recent(session, 1)), None)


def _aside(seq: int, person_id: int, texts: Mapping[str, str]) -> Aside:
    return Aside(link_seq=seq, person_id=person_id, salt=secrets.token_hex(SALT_BYTES), texts=dict(texts))
