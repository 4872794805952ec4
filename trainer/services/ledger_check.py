"""Hold the ledger against the chain: every row as its link tells it, and no row without its link.

The chain by itself shows that no link was changed; this shows that the rows which the links speak of were
not changed either, and that what was signed as head is still the beginning of the chain.
"""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.records import chain
from trainer.services import audit, ledger
from trainer.services.audit import Walk
from trainer.store.models import Countersignature, Entry, Link, SignedHead


def walk(session: Session) -> Walk:
    """Walk the chain, then hold every entry, countersignature and signed head against it."""
    walked = audit.walk(session)
    if walked.broken is not None:
        return walked
    fault = next(_faults(session), None)
    if fault is not None:
        return Walk(walked.links, fault.seq, fault.says)
    entries = session.scalar(select(func.count()).select_from(Entry)) or 0
    heads = session.scalar(select(func.count()).select_from(SignedHead)) or 0
    said = f"All {walked.links} links hold, {entries} ledger entries are as they were entered"
    return Walk(walked.links, None, f"{said}, {heads} signed heads agree." if heads else f"{said}.")


def _faults(session: Session) -> Iterator[chain.Break]:
    told: dict[tuple[str, str], tuple[int, str]] = {}
    for link in session.scalars(select(Link).order_by(Link.seq)).yield_per(500):
        what = str(link.event.get("what"))
        if what in (ledger.ENTERED, ledger.REVERSED, ledger.SIGNED):
            facts = link.event.get("facts") or {}
            kind = "signature" if what == ledger.SIGNED else "entry"
            told[kind, str(link.event.get("about"))] = (link.seq, str(facts.get("digest")))
    end = session.scalar(select(func.max(Link.seq))) or 0
    for row in session.scalars(select(Entry).order_by(Entry.seq)).yield_per(500):
        yield from _compare("entry", row.id, ledger.digest(row), told, end)
    for signed in session.scalars(select(Countersignature).order_by(Countersignature.id)).yield_per(500):
        yield from _compare("signature", signed.entry_id, ledger.signature_digest(signed), told, end)
    for (kind, name), (seq, _digest) in told.items():
        what = "Entry" if kind == "entry" else "The countersignature of entry"
        yield chain.Break(seq, f"{what} {name} is missing, though link {seq} tells of it.")
    yield from _heads(session)


def _compare(
    kind: str, name: str, digest: str, told: dict[tuple[str, str], tuple[int, str]], end: int
) -> Iterator[chain.Break]:
    what = "Entry" if kind == "entry" else "The countersignature of entry"
    seq, expected = told.pop((kind, name), (end, ""))
    if not expected:
        yield chain.Break(seq, f"{what} {name} was put in outside the program: no link tells of it.")
    elif digest != expected:
        yield chain.Break(seq, f"{what} {name} was changed after link {seq} told of it.")


def _heads(session: Session) -> Iterator[chain.Break]:
    newest = session.scalars(select(SignedHead).order_by(SignedHead.seq.desc()).limit(1)).first()
    if newest is None:
        return
    head = chain.Head(newest.seq + 1, newest.hash, newest.root, audit.moment(newest.signed_at))
    broken = chain.walk(audit.links(session), head)
    if broken:
        yield broken
