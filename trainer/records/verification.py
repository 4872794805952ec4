"""Verifying a signed record: one verdict in a word, the reasons in sentences, never a crash.

The rules are ours where the standards leave the choice (open standards notes, section 1):
- any fault of any signature, of the context list or of the named issuer makes the record **altered**;
- the issuer's key must be pinned for the day it signed, and whatever other key signed must be pinned for its day,
  or be named by the record as a further signer's and not be pinned at all; else **unknown issuer**;
- a signer that the record names and who has not signed is told, and takes nothing from the issuer's word;
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
from trainer.records import claims as claiming
from trainer.records import proof, signers, status
from trainer.records.claims import Claims
from trainer.records.issuers import Issuer, find
from trainer.records.jcs import Json
from trainer.records.proof import Signature, Spoilt
from trainer.records.signers import Told
from trainer.records.times import day_of

MAX_FILE_BYTES = 10_000_000


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
    """The outcome of verifying one file; texts are as the file states them, None where it does not.

    ``signatures`` is empty where not every signature holds: then nothing of the file can be told as signed.
    """

    verdict: Verdict
    reasons: tuple[str, ...]
    issuer: str | None = None
    issuer_name: str | None = None
    subject: str | None = None
    valid_from: date | None = None
    valid_until: date | None = None
    status_as_of: date | None = None
    signatures: tuple[Told, ...] = ()

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
            "signatures": [one.as_json() for one in self.signatures],
        }


def verify(
    document_bytes: bytes, issuers: Sequence[Issuer], on: date, status_bytes: bytes | None = None
) -> Verification:
    """Judge one file (signed record, or certificate PDF with the record inside) as of the day ``on``.

    ``issuers`` are the pinned ones; ``status_bytes`` is the signed status list, if there is one. Whatever the
    bytes are, the answer is a Verification; only a file that stands every test is ``valid``.
    """
    try:
        document = claiming.document_in(document_bytes)
        claims = claiming.of(document)
        checked = proof.checked(document)
    except Unreadable as fault:
        return Verification(Verdict.UNREADABLE, (str(fault),))
    signed = [one for one in checked if isinstance(one, Signature)]
    findings = tuple(_findings(checked, claims, issuers, on))
    as_of = None
    told: tuple[Told, ...] = ()
    if not findings or findings[0][0] is not Verdict.ALTERED:
        told = signers.told(claims.issuer, claims.issuer_name, claims.signers, signed, issuers)
    if not findings or findings[0][0] not in (Verdict.ALTERED, Verdict.UNKNOWN_ISSUER):
        withdrawn, as_of, remarks = _withdrawn(document, claims, issuers, on, status_bytes)
        findings = (*withdrawn, *findings)
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
        told,
    )


def _findings(
    checked: Sequence[Signature | Spoilt], claims: Claims, issuers: Sequence[Issuer], on: date
) -> Iterator[tuple[Verdict, str]]:
    spoilt = [(place, one) for place, one in enumerate(checked, 1) if isinstance(one, Spoilt)]
    for place, bad in spoilt:
        whose = _whose(bad, claims, place) + " " if len(checked) > 1 else ""
        yield Verdict.ALTERED, whose + _("%(fault)s Ask the issuer for a fresh copy.", fault=bad.says)
    if spoilt:
        return
    signed = [one for one in checked if isinstance(one, Signature)]
    if claims.issuer not in [one.signer for one in signed]:
        yield Verdict.ALTERED, _("The issuer that the record names did not sign it; somebody else's key did.")
        return
    unknown = [says for one in signed if (says := _distrust(one, claims, issuers))]
    if unknown:
        yield from ((Verdict.UNKNOWN_ISSUER, says) for says in unknown)
        return
    yield from _out_of_time(claims, signed, on)


def _whose(spoilt: Spoilt, claims: Claims, place: int) -> str:
    """Which signature of several this is, in the words of the file."""
    if spoilt.signer == claims.issuer:
        return _("Signature %(place)s, the issuer's:", place=place)
    for one in claims.signers:
        if one.did == spoilt.signer:
            told = {"place": place, "role": _(one.role), "name": one.name}
            return _("Signature %(place)s, that of the %(role)s, %(name)s:", **told)
    return _("Signature %(place)s:", place=place)


def _distrust(signature: Signature, claims: Claims, issuers: Sequence[Issuer]) -> str | None:
    """Why this signature counts for nothing here, or None."""
    issuer = find(issuers, signature.signer)
    if issuer is None and signature.signer in [one.did for one in claims.signers]:
        return None
    if issuer is None:
        return _(
            "The file is as it was signed, but the key %(signer)s is not on your list, so it "
            "proves nothing about who stands behind it. Ask the issuer by a way you already have, "
            "compare the key, then add it.",
            signer=signature.signer,
        )
    if issuer.beside_only and signature.signer == claims.issuer:
        return _(
            "The key of %(name)s is on your list for signatures beside an issuer's only; records that it "
            "issues itself are not believed.",
            name=issuer.name,
        )
    day = day_of(signature.created, _("time of signing")) if signature.created else claims.valid_from
    if not issuer.was_in_use(day):
        return _(
            "It was signed on %(day)s, when this key was not in use by %(name)s according to your list.",
            day=day.isoformat(),
            name=issuer.name,
        )
    return None


def _out_of_time(claims: Claims, signed: Sequence[Signature], on: date) -> Iterator[tuple[Verdict, str]]:
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
    claims: Claims,
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


def _praise(claims: Claims, issuers: Sequence[Issuer]) -> str:
    issuer = find(issuers, claims.issuer)
    name = issuer.name if issuer else claims.issuer
    ended = issuer.valid_to if issuer else None
    says = _("%(name)s signed this record and nothing has changed in it since.", name=name)
    if ended is None:
        return says
    return says + " " + _("Its key was in use until %(day)s.", day=ended.isoformat())
