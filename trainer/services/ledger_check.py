"""Hold the ledger against the chain: every row as its link tells it, and no row without its link.

The chain by itself shows that no link was changed; this shows that the rows which the links speak of were
not changed either, and that what was signed as head is still the beginning of the chain.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain as one_after_the_other

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.records import chain
from trainer.services import audit, ledger
from trainer.services.audit import Walk
from trainer.store.models import Countersignature, Entry, Link, SignedHead

Told = Mapping[tuple[str, str], tuple[int, str]]
"""By kind ("entry", "signature") and name: the link that tells of a row, and the digest it tells."""


@dataclass(frozen=True, slots=True)
class Reached:
    """How far a chain was walked: how many links, the hash of the last, and what they told of the ledger."""

    links: int = 0
    hash: str = chain.START
    told: Told = field(default_factory=dict)


def walk(session: Session) -> Walk:
    """Walk the whole chain, then hold every entry, countersignature and signed head against it."""
    walked = audit.walk(session)
    if walked.broken is not None:
        return walked
    told = _told(audit.links(session))
    faults = one_after_the_other(_row_faults(session, told, walked.links), _head_faults(session))
    return _outcome(session, walked.links, next(faults, None))


def walk_on(session: Session, reached: Reached, most: int) -> tuple[Walk, Reached]:
    """Walk at most ``most`` links on from where an earlier walk came to; give what holds, and how far it is now.

    What was walked before is believed as long as its last link is still the same; `walk` believes nothing.
    """
    length = audit.length(session)
    if reached.links and _hash_of(session, reached.links - 1) != reached.hash:
        reached = Reached()
    coming = list(audit.links(session, reached.links, most))
    broken = chain.walk_on(coming, reached.links, reached.hash)
    if broken is not None:
        return Walk(length, broken.seq, broken.says), Reached()
    if coming:
        told = {**reached.told, **_told(coming)}
        reached = Reached(coming[-1].seq + 1, coming[-1].hash, told)
    if reached.links < length:
        said = f"The first {reached.links} of {length} links hold. Load this page again to walk on."
        return Walk(length, None, said), reached
    faults = one_after_the_other(_row_faults(session, reached.told, length), _cut_or_new(session))
    return _outcome(session, length, next(faults, None)), reached


def _outcome(session: Session, length: int, fault: chain.Break | None) -> Walk:
    if fault is not None:
        return Walk(length, fault.seq, fault.says)
    entries = session.scalar(select(func.count()).select_from(Entry)) or 0
    heads = session.scalar(select(func.count()).select_from(SignedHead)) or 0
    said = f"All {length} links hold, {entries} ledger entries are as they were entered"
    return Walk(length, None, f"{said}, {heads} signed heads agree." if heads else f"{said}.")


def _told(links: Iterable[chain.Link]) -> Told:
    """What links tell of rows of the ledger."""
    told: dict[tuple[str, str], tuple[int, str]] = {}
    for link in links:
        what = str(link.event.get("what"))
        if what in (ledger.ENTERED, ledger.REVERSED, ledger.SIGNED):
            facts = link.event.get("facts") or {}
            kind = "signature" if what == ledger.SIGNED else "entry"
            told[kind, str(link.event.get("about"))] = (link.seq, str(facts.get("digest")))
    return told


def _row_faults(session: Session, told: Told, length: int) -> Iterator[chain.Break]:
    untold = dict(told)
    for row in session.scalars(select(Entry).order_by(Entry.seq)).yield_per(500):
        yield from _compare("entry", row.id, ledger.digest(row), untold, length - 1)
    for signed in session.scalars(select(Countersignature).order_by(Countersignature.id)).yield_per(500):
        yield from _compare("signature", signed.entry_id, ledger.signature_digest(signed), untold, length - 1)
    for (kind, name), (seq, _digest) in untold.items():
        what = "Entry" if kind == "entry" else "The countersignature of entry"
        yield chain.Break(seq, f"{what} {name} is missing, though link {seq} tells of it.")


def _compare(
    kind: str, name: str, digest: str, told: dict[tuple[str, str], tuple[int, str]], end: int
) -> Iterator[chain.Break]:
    what = "Entry" if kind == "entry" else "The countersignature of entry"
    seq, expected = told.pop((kind, name), (end, ""))
    if not expected:
        yield chain.Break(seq, f"{what} {name} was put in outside the program: no link tells of it.")
    elif digest != expected:
        yield chain.Break(seq, f"{what} {name} was changed after link {seq} told of it.")


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
        said = f"The chain is not the one whose head was signed on {audit.moment(newest.signed_at)}: "
        yield chain.Break(newest.seq, f"{said}its end was cut off, or it was written anew.")


def _newest_head(session: Session) -> SignedHead | None:
    return session.scalars(select(SignedHead).order_by(SignedHead.seq.desc()).limit(1)).first()


def _hash_of(session: Session, seq: int) -> str | None:
    return session.scalars(select(Link.hash).where(Link.seq == seq)).first()
