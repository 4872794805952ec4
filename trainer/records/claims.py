"""What a signed record says of itself, before anything of it is believed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from trainer.errors import Unreadable
from trainer.languages import _
from trainer.records import jcs, signers
from trainer.records.jcs import Json
from trainer.records.signers import Signer
from trainer.records.times import day_of

RECORD_TYPES = {"OpenBadgeCredential", "AchievementCredential"}


@dataclass(frozen=True, slots=True)
class Claims:
    """Who issued it, about whom, for which days, and who is to sign it beside the issuer."""

    issuer: str
    issuer_name: str | None
    subject: str | None
    valid_from: date
    valid_until: date | None
    signers: tuple[Signer, ...]


def record_in(document_bytes: bytes) -> bytes:
    """The signed record itself: the file as it is, or what a certificate PDF carries inside.

    Raises Unreadable if a PDF carries no record.
    """
    if document_bytes.startswith(b"%PDF-"):
        from trainer.records import certificate

        return certificate.attached_record(document_bytes)
    return document_bytes


def document_in(document_bytes: bytes) -> dict[str, Json]:
    """The record of a file as a document. Raises Unreadable for whatever is no record of a person."""
    document = jcs.parse(record_in(document_bytes))
    if not isinstance(document, dict):
        raise Unreadable(_("The file is JSON, but not a record. Ask for the file that the issuer exported."))
    kinds = document.get("type")
    if not isinstance(kinds, list) or not all(isinstance(kind, str) for kind in kinds):
        raise Unreadable(_("The file does not say what it is; it is not a signed record."))
    if "VerifiableCredential" not in kinds or not RECORD_TYPES & set(kinds):
        raise Unreadable(_("The file is signed for another purpose; it is not the record of a person."))
    return document


def of(document: dict[str, Json]) -> Claims:
    """What the record says of itself. Raises Unreadable, naming what is missing."""
    issuer, name = _issuer(document.get("issuer"))
    subject = document.get("credentialSubject")
    if not isinstance(subject, dict):
        raise Unreadable(_("The record does not say whom it is about."))
    valid_from = day_of(document.get("validFrom"), "validFrom")
    until = document.get("validUntil")
    valid_until = day_of(until, "validUntil") if "validUntil" in document else None
    expected = signers.stated(document, issuer)
    return Claims(issuer, name, _subject(subject), valid_from, valid_until, expected)


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
