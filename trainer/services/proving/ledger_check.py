"""Hold the ledger against the chain: every row as its link tells it, and no row without its link.

The chain by itself shows that no link was changed; this shows that the rows which the links speak of were
not changed either, and that what was signed as head is still the beginning of the chain.
"""

from __future__ import annotations

import threading
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import chain as one_after_the_other

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.languages import _
from trainer.languages.numerals import grouped
from trainer.records import chain
from trainer.services.keeping import audit
from trainer.services.keeping.audit import Walk
from trainer.services.proving import ledger_rows
from trainer.services.proving.ledger_rows import Told
from trainer.store import Database
from trainer.store.models import Entry, Link, SignedHead


@dataclass(frozen=True, slots=True)
class Reached:
    """How far a chain was walked: how many links, the hash of the last, and what they told of the ledger."""

    links: int = 0
    hash: str = chain.START
    told: Told = field(default_factory=Told)


def walk(session: Session) -> Walk:
    """Walk the whole chain, then hold every entry, countersignature and signed head against it."""
    walked = audit.walk(session)
    if walked.broken is not None:
        return walked
    told = Told().and_then(audit.links(session))
    faults = one_after_the_other(ledger_rows.faults(session, told, walked.links - 1), _head_faults(session))
    return _outcome(session, walked.links, next(faults, None))


class Pace:
    """How far the chain of one store was walked, for all threads of a program: a page walks little, `serving` the rest."""

    def __init__(self, database: Database) -> None:
        self._database = database
        self._reached = Reached()
        self._turn = threading.Lock()

    def walk(self, most: int) -> Walk:
        """Walk on at most so many links; what holds so far, with the ledger if that is all."""
        with self._turn, self._database.reading() as session:
            walk, self._reached = walk_on(session, self._reached, most)
        return walk

    def stride(self, most: int) -> bool:
        """Walk on at most so many links; whether more of them can be walked at once."""
        with self._turn, self._database.reading() as session:
            broken, self._reached = _stretch(session, self._reached, most)
            return broken is None and self._reached.links < audit.length(session)


def walk_on(session: Session, reached: Reached, most: int) -> tuple[Walk, Reached]:
    """Walk at most ``most`` links on from where an earlier walk came to; give what holds, and how far it is now.

    What was walked before is believed as long as its last link is still the same; `walk` believes nothing.
    """
    length = audit.length(session)
    broken, reached = _stretch(session, reached, most)
    if broken is not None:
        return Walk(length, broken.seq, broken.says), reached
    if reached.links < length:
        said = _(
            "The first %(reached)s of %(length)s links hold; the others are being walked. Load this page again.",
            reached=grouped(reached.links),
            length=grouped(length),
        )
        return Walk(length, None, said), reached
    faults = one_after_the_other(ledger_rows.faults(session, reached.told, length - 1), _cut_or_new(session))
    return _outcome(session, length, next(faults, None)), reached


def _stretch(session: Session, reached: Reached, most: int) -> tuple[chain.Break | None, Reached]:
    """The next links in turn: the first that does not hold, and how far those reach that do."""
    if reached.links and _hash_of(session, reached.links - 1) != reached.hash:
        reached = Reached()
    coming = list(audit.links(session, reached.links, most))
    broken = chain.walk_on(coming, reached.links, reached.hash)
    if coming and broken is None:
        reached = Reached(coming[-1].seq + 1, coming[-1].hash, reached.told.and_then(coming))
    return broken, reached


def _outcome(session: Session, length: int, fault: chain.Break | None) -> Walk:
    if fault is not None:
        return Walk(length, fault.seq, fault.says)
    entries = session.scalar(select(func.count()).select_from(Entry)) or 0
    heads = session.scalar(select(func.count()).select_from(SignedHead)) or 0
    told = {"length": length, "entries": entries, "heads": heads}
    if heads:
        said = _(
            "All %(length)s links hold, %(entries)s ledger entries are as they were entered, "
            "%(heads)s signed heads agree.",
            **told,
        )
    else:
        said = _("All %(length)s links hold, %(entries)s ledger entries are as they were entered.", **told)
    return Walk(length, None, said)


def _head_faults(session: Session) -> Iterator[chain.Break]:
    """Hold the newest signed head against the whole chain."""
    newest = _newest_head(session)
    if newest is not None:
        head = chain.Head(newest.seq + 1, newest.hash, newest.root, audit.moment(newest.signed_at))
        broken = chain.walk(audit.links(session), head)
        if broken:
            yield broken


def _cut_or_new(session: Session) -> Iterator[chain.Break]:
    """Hold the newest signed head against its one link: where the chain holds, that link stands for all before."""
    newest = _newest_head(session)
    if newest is not None and _hash_of(session, newest.seq) != newest.hash:
        said = _(
            "The chain is not the one whose head was signed on %(moment)s: its end was cut off, "
            "or it was written anew.",
            moment=audit.moment(newest.signed_at),
        )
        yield chain.Break(newest.seq, said)


def _newest_head(session: Session) -> SignedHead | None:
    return session.scalars(select(SignedHead).order_by(SignedHead.seq.desc()).limit(1)).first()


def _hash_of(session: Session, seq: int) -> str | None:
    return session.scalars(select(Link.hash).where(Link.seq == seq)).first()
