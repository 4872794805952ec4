"""A further signature to a signed record: put to it by who holds the key, or taken over from a copy signed elsewhere."""

from __future__ import annotations

from trainer.errors import Conflict, Refused
from trainer.languages import _
from trainer.records import claims, jcs, proof
from trainer.records.claims import Claims
from trainer.records.jcs import Json
from trainer.records.keys import SigningKey
from trainer.records.proof import Signature, Spoilt
from trainer.records.signers import Signer


def genuine(data: bytes) -> tuple[dict[str, Json], Claims, tuple[Signature, ...]]:
    """A record whose every signature holds, its issuer's among them, with what it claims and those signatures.

    Raises Unreadable for what is no record, Refused for one that was changed after signing.
    """
    document = claims.document_in(data)
    claimed, found = claims.of(document), proof.checked(document)
    spoilt = next((one for one in found if isinstance(one, Spoilt)), None)
    signed = tuple(one for one in found if isinstance(one, Signature))
    if spoilt is not None:
        raise Refused(
            _(
                "This file is not as it was signed, so no further signature is put to it. %(fault)s Ask the issuer "
                "for a fresh copy.",
                fault=spoilt.says,
            )
        )
    if claimed.issuer not in [one.signer for one in signed]:
        raise Refused(_("The issuer that the record names did not sign it; somebody else's key did."))
    return document, claimed, signed


def may_sign(data: bytes, did: str, role: str) -> Signer:
    """The signer as whom this key may now sign the record in this role.

    Raises as ``genuine`` does, Refused for a key or a role that the record does not name, Conflict where this key
    has signed already.
    """
    _document, claimed, signed = genuine(data)
    signer = next((one for one in claimed.signers if one.did == did), None)
    if signer is None:
        raise Refused(_not_named(claimed, did))
    if signer.role != role:
        told = {"name": signer.name, "stated": _(signer.role), "role": _(role)}
        raise Refused(_("The record names %(name)s with this key as %(stated)s, not as %(role)s.", **told))
    if did in [one.signer for one in signed]:
        raise Conflict(_("This key has signed this record already. Nothing was changed."))
    return signer


def cosigned(data: bytes, key: SigningKey, role: str, created: str) -> bytes:
    """The record (JSON, or the one inside a certificate) with this key's signature too, as a file.

    ``created`` is the time of signing such as 2026-03-02T09:15:00Z. Raises as ``may_sign`` does.
    """
    may_sign(data, key.did, role)
    return jcs.written(proof.sign(claims.document_in(data), key, created))


def further(record: bytes, copy: bytes) -> dict[str, Json]:
    """The signatures of a record's further signers that a copy of it bears, by key.

    Raises as ``genuine`` does, and Refused for a copy of another record.
    """
    own = claims.document_in(record)
    document, claimed, _signed = genuine(copy)
    if jcs.canonical(proof.contents(document)) != jcs.canonical(proof.contents(own)):
        raise Refused(_("This is a copy of another record. Choose the one that stands here."))
    proofs = {one.did: proof.proof_of(document, one.did) for one in claimed.signers}
    return {did: found for did, found in proofs.items() if found is not None}


def _not_named(claimed: Claims, did: str) -> str:
    expected = "; ".join(f"{_(one.role)} {one.name}, {one.did}" for one in claimed.signers)
    if not expected:
        return _(
            "The record names nobody who is to sign it beside its issuer. Ask the issuer for one that does."
        )
    return _(
        "The record does not name the key %(did)s, so a signature by it would tell nobody who signed. It names: "
        "%(expected)s.",
        did=did,
        expected=expected,
    )
