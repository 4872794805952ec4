"""Verifying a signed record: one verdict in a word, the reasons in sentences, never a crash.

The rules are ours where the standards leave the choice (open standards notes, section 1):
- any fault of a signature, of the context list or of the named issuer makes the record **altered**;
- every key that signed must be pinned for the day it signed, else **unknown issuer**;
- withdrawn is told before not yet valid and expired; every reason is listed;
- days are compared as the issuer wrote them; the last day is inclusive;
- a status list that is given but cannot be relied on makes the verdict that of the list: never "valid".

The page for employers (verify_page.js) follows the same rules; the tests hold the two together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from trainer.errors import Refused, Unreadable
from trainer.languages import N_, _
from trainer.records import jcs, proof, status
from trainer.records.issuers import Issuer, find
from trainer.records.jcs import Json
from trainer.records.times import day_of

MAX_FILE_BYTES = 10_000_000
RECORD_TYPES = {"OpenBadgeCredential", "AchievementCredential"}


class Verdict(StrEnum):
    """What a verification says, in words."""

    VALID = N_("valid")
    ALTERED = N_("altered")
    EXPIRED = N_("expired")
    REVOKED = N_("revoked")
    SUSPENDED = N_("suspended")
    NOT_YET_VALID = N_("not yet valid")
    UNKNOWN_ISSUER = N_("unknown issuer")
    UNREADABLE = N_("unreadable")


@dataclass(frozen=True, slots=True)
class Verification:
    """The outcome of verifying one file; texts are as the file states them, None where it does not."""

    verdict: Verdict
    reasons: tuple[str, ...]
    issuer: str | None = None
    issuer_name: str | None = None
    subject: str | None = None
    valid_from: date | None = None
    valid_until: date | None = None
    status_as_of: date | None = None

    @property
    def is_valid(self) -> bool:
        """Say whether the record may be relied on as what its issuer signed."""
        return self.verdict is Verdict.VALID

    def as_json(self) -> dict[str, Json]:
        """The members that scripts rely on; days as ISO 8601 text."""
        return {
            "verdict": self.verdict.value,
            "reasons": list(self.reasons),
            "issuer": self.issuer,
            "subject": self.subject,
            "valid_from": self.valid_from.isoformat() if self.valid_from else None,
            "valid_until": self.valid_until.isoformat() if self.valid_until else None,
            "status_as_of": self.status_as_of.isoformat() if self.status_as_of else None,
        }


@dataclass(frozen=True, slots=True)
class _Claims:
    """What a readable record says of itself, before anything is believed."""

    issuer: str
    issuer_name: str | None
    subject: str | None
    valid_from: date
    valid_until: date | None


def verify(
    document_bytes: bytes, issuers: Sequence[Issuer], on: date, status_bytes: bytes | None = None
) -> Verification:
    """Judge one file (signed record, or certificate PDF with the record inside) as of the day ``on``.

    ``issuers`` are the pinned ones; ``status_bytes`` is the signed status list, if there is one. Whatever the
    bytes are, the answer is a Verification; only a file that stands every test is ``valid``.
    """
    try:
        document = _record(document_bytes)
        claims = _claims(document)
    except Unreadable as fault:
        return Verification(Verdict.UNREADABLE, (str(fault),))
    findings = tuple(_findings(document, claims, issuers, on))
    as_of = None
    if not findings or findings[0][0] not in (Verdict.ALTERED, Verdict.UNKNOWN_ISSUER, Verdict.UNREADABLE):
        told, as_of, remarks = _withdrawn(document, claims, issuers, on, status_bytes)
        findings = (*told, *findings)
    else:
        remarks = ()
    verdict = findings[0][0] if findings else Verdict.VALID
    reasons = tuple(says for _, says in findings) or (_praise(claims, issuers),)
    return Verification(
        verdict,
        (*reasons, *remarks),
        claims.issuer,
        claims.issuer_name,
        claims.subject,
        claims.valid_from,
        claims.valid_until,
        as_of,
    )


def record_in(document_bytes: bytes) -> bytes:
    """The signed record itself: the file as it is, or what a certificate PDF carries inside.

    Raises Unreadable if a PDF carries no record.
    """
    if document_bytes.startswith(b"%PDF-"):
        from trainer.records import certificate

        return certificate.attached_record(document_bytes)
    return document_bytes


def _record(document_bytes: bytes) -> dict[str, Json]:
    document = jcs.parse(record_in(document_bytes))
    if not isinstance(document, dict):
        raise Unreadable(_("The file is JSON, but not a record. Ask for the file that the issuer exported."))
    kinds = document.get("type")
    if not isinstance(kinds, list) or not all(isinstance(kind, str) for kind in kinds):
        raise Unreadable(_("The file does not say what it is; it is not a signed record."))
    if "VerifiableCredential" not in kinds or not RECORD_TYPES & set(kinds):
        raise Unreadable(_("The file is signed for another purpose; it is not the record of a person."))
    return document


def _claims(document: dict[str, Json]) -> _Claims:
    issuer, name = _issuer(document.get("issuer"))
    subject = document.get("credentialSubject")
    if not isinstance(subject, dict):
        raise Unreadable(_("The record does not say whom it is about."))
    valid_from = day_of(document.get("validFrom"), "validFrom")
    until = document.get("validUntil")
    valid_until = day_of(until, "validUntil") if "validUntil" in document else None
    return _Claims(issuer, name, _subject(subject), valid_from, valid_until)


def _issuer(issuer: Json) -> tuple[str, str | None]:
    name = issuer.get("name") if isinstance(issuer, dict) else None
    did = issuer.get("id") if isinstance(issuer, dict) else issuer
    if not isinstance(did, str):
        raise Unreadable(_("The record does not say who issued it."))
    return did, name if isinstance(name, str) else None


def _subject(subject: dict[str, Json]) -> str | None:
    """The person as the record names them: the first identifier, else the subject's id."""
    identifiers = subject.get("identifier")
    first = identifiers[0] if isinstance(identifiers, list) and identifiers else None
    named = first.get("identityHash") if isinstance(first, dict) else subject.get("id")
    return named if isinstance(named, str) else None


def _findings(
    document: dict[str, Json], claims: _Claims, issuers: Sequence[Issuer], on: date
) -> Iterator[tuple[Verdict, str]]:
    try:
        signed = proof.signatures(document)
    except proof.NotGenuine as fault:
        yield Verdict.ALTERED, _("%(fault)s Ask the issuer for a fresh copy.", fault=fault)
        return
    except Unreadable as fault:
        yield Verdict.UNREADABLE, str(fault)
        return
    if claims.issuer not in [one.signer for one in signed]:
        yield Verdict.ALTERED, _("The issuer that the record names did not sign it; somebody else's key did.")
        return
    unknown = [says for one in signed if (says := _distrust(one, claims, issuers))]
    if unknown:
        yield from ((Verdict.UNKNOWN_ISSUER, says) for says in unknown)
        return
    yield from _out_of_time(claims, signed, on)


def _distrust(signature: proof.Signature, claims: _Claims, issuers: Sequence[Issuer]) -> str | None:
    """Why this signature counts for nothing here, or None."""
    issuer = find(issuers, signature.signer)
    if issuer is None:
        return _(
            "The file is as it was signed, but the key %(signer)s is not on your list, so it "
            "proves nothing about who stands behind it. Ask the issuer by a way you already have, "
            "compare the key, then add it.",
            signer=signature.signer,
        )
    day = day_of(signature.created, _("time of signing")) if signature.created else claims.valid_from
    if not issuer.was_in_use(day):
        return _(
            "It was signed on %(day)s, when this key was not in use by %(name)s according to your list.",
            day=day.isoformat(),
            name=issuer.name,
        )
    return None


def _out_of_time(
    claims: _Claims, signed: Sequence[proof.Signature], on: date
) -> Iterator[tuple[Verdict, str]]:
    if on < claims.valid_from:
        yield (
            Verdict.NOT_YET_VALID,
            _("The record is valid from %(day)s on.", day=claims.valid_from.isoformat()),
        )
    if claims.valid_until and on > claims.valid_until:
        yield Verdict.EXPIRED, _("The record was good until %(day)s.", day=claims.valid_until.isoformat())
    for one in signed:
        if one.expires and on > day_of(one.expires, _("end of the signature")):
            yield Verdict.EXPIRED, _("A signature was good until %(day)s.", day=one.expires[:10])


def _withdrawn(
    document: dict[str, Json],
    claims: _Claims,
    issuers: Sequence[Issuer],
    on: date,
    status_bytes: bytes | None,
) -> tuple[tuple[tuple[Verdict, str], ...], date | None, tuple[str, ...]]:
    try:
        read = status.read(document.get("credentialStatus"), status_bytes, claims.issuer, issuers, on)
    except proof.NotGenuine as fault:
        return (
            ((Verdict.ALTERED, _("Status list: %(fault)s Ask the issuer for a fresh list.", fault=fault)),),
            None,
            (),
        )
    except Refused as fault:
        return ((Verdict.UNKNOWN_ISSUER, _("Status list: %(fault)s", fault=fault)),), None, ()
    except Unreadable as fault:
        return ((Verdict.UNREADABLE, _("Status list: %(fault)s", fault=fault)),), None, ()
    found = []
    if read.revoked:
        says = _("The issuer has revoked this record, by its list of %(day)s.", day=read.revoked.isoformat())
        found.append((Verdict.REVOKED, says))
    if read.suspended:
        says = _(
            "The issuer has suspended this record, by its list of %(day)s.", day=read.suspended.isoformat()
        )
        found.append((Verdict.SUSPENDED, says))
    return tuple(found), read.as_of, read.remarks


def _praise(claims: _Claims, issuers: Sequence[Issuer]) -> str:
    issuer = find(issuers, claims.issuer)
    name = issuer.name if issuer else claims.issuer
    ended = issuer.valid_to if issuer else None
    says = _("%(name)s signed this record and nothing has changed in it since.", name=name)
    if ended is None:
        return says
    return says + " " + _("Its key was in use until %(day)s.", day=ended.isoformat())
