"""Hold the ledger and the written practices against the chain: every row as its link tells it.

The chain by itself shows that no link was changed; this shows that the rows which the links speak of were
not changed either, that no row stands without its link, and that what was signed as head is still the beginning of the chain.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import chain as one_after_another

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.records import chain
from trainer.services import audit, evidence, ledger, practices
from trainer.services.audit import Walk
from trainer.services.erasing import ERASED
from trainer.store.models import (
    Countersignature,
    Entry,
    EvidenceFile,
    Link,
    PracticeDecision,
    PracticeRevision,
    SignedHead,
)

# What each link tells of, by the words of its note.
TOLD = {
    ledger.ENTERED: "Entry",
    ledger.REVERSED: "Entry",
    ledger.SIGNED: "The countersignature of entry",
    evidence.ATTACHED: "Evidence file",
    practices.DRAFTED: "Written practice",
    practices.APPROVED: "The decision on written practice",
    practices.REFUSED: "The decision on written practice",
}


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


@dataclass(frozen=True, slots=True)
class _Told:
    """What a link tells of a row: the link's number, the digest, and about whom (None: about nobody)."""

    seq: int
    digest: str
    person: int | None


def _faults(session: Session) -> Iterator[chain.Break]:
    told, erased = _told(session)
    end = session.scalar(select(func.max(Link.seq))) or 0
    rows = one_after_another(_entries(session, erased), _files(session), _practices(session))
    for thing, name, digest in rows:
        yield from _compare(thing, name, digest, told, end)
    for (thing, name), link in told.items():
        if link.person not in erased:
            yield chain.Break(link.seq, f"{thing} {name} is missing, though link {link.seq} tells of it.")
    yield from _heads(session)


def _told(session: Session) -> tuple[dict[tuple[str, str], _Told], set[int]]:
    """What the links tell of each row, and the ids of the people who were erased."""
    told: dict[tuple[str, str], _Told] = {}
    erased: set[int] = set()
    for link in session.scalars(select(Link).order_by(Link.seq)).yield_per(500):
        what, facts = str(link.event.get("what")), link.event.get("facts") or {}
        if what == ERASED:
            erased.add(int(str(link.event.get("about"))))
        elif what in TOLD:
            about = (TOLD[what], str(link.event.get("about")))
            told[about] = _Told(link.seq, str(facts.get("digest")), facts.get("person"))
    return told, erased


def _entries(session: Session, erased: set[int]) -> Iterator[tuple[str, str, str]]:
    """Every entry and countersignature: what it is, its name, its digest as it stands now.

    Of an erased person the entry is an empty place, held against nothing; its countersignature stands.
    """
    for row in session.scalars(select(Entry).order_by(Entry.seq)).yield_per(500):
        if row.body or row.person_id not in erased:
            yield TOLD[ledger.ENTERED], row.id, ledger.digest(row)
    for signed in session.scalars(select(Countersignature).order_by(Countersignature.id)).yield_per(500):
        yield TOLD[ledger.SIGNED], signed.entry_id, ledger.signature_digest(signed)


def _files(session: Session) -> Iterator[tuple[str, str, str]]:
    """Every evidence file, its bytes read anew, in the same way."""
    for file in session.scalars(select(EvidenceFile).order_by(EvidenceFile.id)).yield_per(20):
        yield TOLD[evidence.ATTACHED], str(file.id), evidence.told_digest(file, file.content)


def _practices(session: Session) -> Iterator[tuple[str, str, str]]:
    """Every revision of a written practice and every decision on one, in the same way."""
    for row in session.scalars(select(PracticeRevision).order_by(PracticeRevision.id)):
        yield TOLD[practices.DRAFTED], str(row.id), practices.digest(row)
    for decision in session.scalars(select(PracticeDecision).order_by(PracticeDecision.id)):
        yield TOLD[practices.APPROVED], str(decision.revision_id), practices.decision_digest(decision)


def _compare(
    thing: str, name: str, digest: str, told: dict[tuple[str, str], _Told], end: int
) -> Iterator[chain.Break]:
    link = told.pop((thing, name), None)
    if link is None:
        yield chain.Break(end, f"{thing} {name} was put in outside the program: no link tells of it.")
    elif digest != link.digest:
        yield chain.Break(link.seq, f"{thing} {name} was changed after link {link.seq} told of it.")


def _heads(session: Session) -> Iterator[chain.Break]:
    newest = session.scalars(select(SignedHead).order_by(SignedHead.seq.desc()).limit(1)).first()
    if newest is None:
        return
    head = chain.Head(newest.seq + 1, newest.hash, newest.root, audit.moment(newest.signed_at))
    broken = chain.walk(audit.links(session), head)
    if broken:
        yield broken
