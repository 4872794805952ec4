"""What the chain tells of rows that must never change, and what is amiss with those rows.

Entries, countersignatures, evidence files, written practices, words beside links, personal keys and signatures: each link that told of one names
its digest, so a row that was changed, put in or taken out behind the program's back disagrees with the chain.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import chain as one_after_another

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.languages import N_, _
from trainer.records import chain
from trainer.services.keeping import audit
from trainer.services.proving import personal_keys, record_signing
from trainer.services.qualifying import evidence, ledger, practices
from trainer.store.models import (
    Aside,
    Countersignature,
    Entry,
    EvidenceFile,
    PersonalKey,
    PracticeDecision,
    PracticeRevision,
    RecordSigner,
)

ASIDE = "What is told beside link"
# What each link tells of, by the words of its note.
THINGS = {
    ledger.ENTERED: N_("Entry"),
    ledger.REVERSED: N_("Entry"),
    ledger.SIGNED: N_("The countersignature of entry"),
    evidence.ATTACHED: N_("Evidence file"),
    practices.DRAFTED: N_("Written practice"),
    practices.APPROVED: N_("The decision on written practice"),
    practices.REFUSED: N_("The decision on written practice"),
    personal_keys.KEPT: N_("Personal key"),
    record_signing.SIGNED: N_("Signature beside the house's"),
}


@dataclass(frozen=True, slots=True)
class Mention:
    """What a link tells of a row: the link's number, the digest, and about whom (None: about nobody)."""

    seq: int
    digest: str
    person: int | None


@dataclass(frozen=True, slots=True)
class Told:
    """What links tell of rows, by thing and name, and the ids of the people who were erased."""

    rows: Mapping[tuple[str, str], Mention] = field(default_factory=dict)
    erased: frozenset[int] = frozenset()

    def and_then(self, links: Iterable[chain.Link]) -> Told:
        """What is told once these links have been read as well."""
        rows, erased = dict(self.rows), set(self.erased)
        for link in links:
            what, facts = str(link.event.get("what")), link.event.get("facts") or {}
            apart = link.event.get("apart")
            if apart:
                rows[(ASIDE, str(link.seq))] = Mention(link.seq, str(apart["digest"]), apart["of"])
            if what == audit.ERASED:
                erased.add(int(str(link.event.get("about"))))
            elif what in THINGS:
                about = (THINGS[what], str(link.event.get("about")))
                rows[about] = Mention(link.seq, str(facts.get("digest")), facts.get("person"))
        return Told(rows, frozenset(erased))


def faults(session: Session, told: Told, end: int) -> Iterator[chain.Break]:
    """Hold every row against what is told of it; ``end`` is the last link, named where none tells of a row."""
    untold = dict(told.rows)
    for thing, name, digest in one_after_another(
        _entries(session, told.erased),
        _files(session),
        _practices(session),
        _asides(session),
        _signers(session),
    ):
        yield from _compared(thing, name, digest, untold.pop((thing, name), None), end)
    for (thing, name), mention in untold.items():
        if mention.person not in told.erased:
            yield chain.Break(
                mention.seq,
                _(
                    "%(thing)s %(name)s is missing, though link %(link)s tells of it.",
                    thing=_(thing),
                    name=name,
                    link=mention.seq,
                ),
            )


def _compared(thing: str, name: str, digest: str, mention: Mention | None, end: int) -> Iterator[chain.Break]:
    if mention is None:
        yield chain.Break(
            end,
            _(
                "%(thing)s %(name)s was put in outside the program: no link tells of it.",
                thing=_(thing),
                name=name,
            ),
        )
    elif digest != mention.digest:
        yield chain.Break(
            mention.seq,
            _(
                "%(thing)s %(name)s was changed after link %(link)s told of it.",
                thing=_(thing),
                name=name,
                link=mention.seq,
            ),
        )


def _entries(session: Session, erased: frozenset[int]) -> Iterator[tuple[str, str, str]]:
    """Every entry and countersignature: what it is, its name, its digest as it stands now.

    Of an erased person the entry is an empty place, held against nothing; its countersignature stands.
    """
    for row in session.scalars(select(Entry).order_by(Entry.seq)).yield_per(500):
        if row.body or row.person_id not in erased:
            yield THINGS[ledger.ENTERED], row.id, ledger.digest(row)
    for signed in session.scalars(select(Countersignature).order_by(Countersignature.id)).yield_per(500):
        yield THINGS[ledger.SIGNED], signed.entry_id, ledger.signature_digest(signed)


def _files(session: Session) -> Iterator[tuple[str, str, str]]:
    """Every evidence file, its bytes read anew, in the same way."""
    for file in session.scalars(select(EvidenceFile).order_by(EvidenceFile.id)).yield_per(20):
        yield THINGS[evidence.ATTACHED], str(file.id), evidence.told_digest(file, file.content)


def _practices(session: Session) -> Iterator[tuple[str, str, str]]:
    """Every revision of a written practice and every decision on one, in the same way."""
    for row in session.scalars(select(PracticeRevision).order_by(PracticeRevision.id)):
        yield THINGS[practices.DRAFTED], str(row.id), practices.digest(row)
    for decision in session.scalars(select(PracticeDecision).order_by(PracticeDecision.id)):
        yield THINGS[practices.APPROVED], str(decision.revision_id), practices.decision_digest(decision)


def _asides(session: Session) -> Iterator[tuple[str, str, str]]:
    """All that is told beside links, in the same way."""
    for aside in session.scalars(select(Aside).order_by(Aside.link_seq)).yield_per(500):
        yield ASIDE, str(aside.link_seq), audit.digest(aside)


def _signers(session: Session) -> Iterator[tuple[str, str, str]]:
    """Every personal key and every signature beside the house's, in the same way."""
    for key in session.scalars(select(PersonalKey).order_by(PersonalKey.id)):
        yield THINGS[personal_keys.KEPT], str(key.id), personal_keys.digest(key)
    signed = select(RecordSigner).where(RecordSigner.proof.is_not(None))
    for row in session.scalars(signed.order_by(RecordSigner.id)).yield_per(500):
        yield THINGS[record_signing.SIGNED], str(row.id), record_signing.digest(row)
