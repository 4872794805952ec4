"""Signatures on JSON documents: W3C Data Integrity with the suite eddsa-jcs-2022.

Source: W3C Recommendation "Data Integrity EdDSA Cryptosuites v1.0", section 3.3 (seen, commit abb673eb); its
test vector is in tests/sources/vectors/eddsa-jcs-2022.json.

Stricter than the suite in four points, because the suite alone accepts them: the contexts of document and
signature must be equal (the suite allows appended ones), every member of a signature must be one that is
checked here, no key signs twice, and the caller learns by whom each signature was made (the suite does not
compare the issuer).

Several signatures are a proof set: each covers the same contents and none the others, in no order (W3C Verifiable
Credential Data Integrity 1.0, 2.1.1). Proof chains (``previousProof``, 2.1.2) are not offered and not accepted: each
signer vouches for the facts, not for another's signature, and a chain that loses its last link tells it no more
than a set does. Who is expected to sign stands in the record itself (records/signers).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.errors import Refused, TrainerError, Unreadable
from trainer.languages import _
from trainer.records import jcs, keys
from trainer.records.jcs import Json
from trainer.records.keys import SigningKey
from trainer.records.times import is_time

SUITE = "eddsa-jcs-2022"
MAX_SIGNATURES = 8
_KNOWN = {"type", "cryptosuite", "created", "expires", "verificationMethod", "proofPurpose", "@context"}


class NotGenuine(TrainerError):
    """A signature does not fit the document: something was changed after signing."""


@dataclass(frozen=True, slots=True)
class Signature:
    """One signature that fits: who made it and the times it states (as written, or None)."""

    signer: str
    created: str | None
    expires: str | None


@dataclass(frozen=True, slots=True)
class Spoilt:
    """One signature that does not hold: the key that it names, if it names one, and why in a sentence."""

    signer: str | None
    says: str


def sign(document: dict[str, Json], key: SigningKey, created: str) -> dict[str, Json]:
    """Return the document with the key's signature added.

    ``created`` is the time of signing, such as 2026-03-02T09:15:00Z. A second signer signs the same contents:
    every signature covers the document without its signatures. Raises Refused for another form of time.
    """
    if not is_time(created):
        raise Refused(_("Write the time of signing as 2026-03-02T09:15:00Z."))
    options: dict[str, Json] = {
        "type": "DataIntegrityProof",
        "cryptosuite": SUITE,
        "created": created,
        "verificationMethod": key.method,
        "proofPurpose": "assertionMethod",
    }
    if "@context" in document:
        options["@context"] = document["@context"]
    value = keys.multibase(key.sign(_hash_data(options, jcs.digest(contents(document)))))
    mine = {**options, "proofValue": value}
    earlier = _listed(document["proof"]) if "proof" in document else []
    if len(earlier) >= MAX_SIGNATURES:
        raise Refused(_("A record holds at most %(most)s signatures.", most=MAX_SIGNATURES))
    return {**contents(document), "proof": [*earlier, mine] if earlier else mine}


def signatures(document: dict[str, Json]) -> tuple[Signature, ...]:
    """Return every signature of the document, all of them checked.

    Raises Unreadable if it bears none or too many, NotGenuine if a single one does not fit.
    """
    found = []
    for one in checked(document):
        if isinstance(one, Spoilt):
            raise NotGenuine(one.says)
        found.append(one)
    return tuple(found)


def checked(document: dict[str, Json]) -> tuple[Signature | Spoilt, ...]:
    """Every signature of the document in its order, whether it fits or not. Raises Unreadable for none or too many."""
    if "proof" not in document:
        raise Unreadable(
            _("The file bears no signature, so it proves nothing. Ask the issuer for the signed file.")
        )
    proofs = _listed(document["proof"])
    if not proofs:
        raise Unreadable(_("The list of signatures is empty. Ask the issuer for the signed file."))
    if len(proofs) > MAX_SIGNATURES:
        raise Unreadable(
            _("The file bears more than %(most)s signatures; no record does.", most=MAX_SIGNATURES)
        )
    covered = contents(document)
    hashed = jcs.digest(covered)
    found: list[Signature | Spoilt] = []
    for proof in proofs:
        one = _judged(proof, covered, hashed)
        if one.signer in [other.signer for other in found if isinstance(other, Signature)]:
            one = Spoilt(one.signer, _("The same key signed twice, which no record needs."))
        found.append(one)
    return tuple(found)


def proof_of(document: dict[str, Json], did: str) -> Json:
    """The signature that names this key, as it stands in a document whose signatures were checked, or None."""
    method = keys.method_of(did)
    return next((one for one in _listed(document["proof"]) if one["verificationMethod"] == method), None)


def with_proofs(document: dict[str, Json], further: Sequence[Json]) -> dict[str, Json]:
    """The signed document with these signatures behind its own."""
    return {**document, "proof": [*_listed(document["proof"]), *further]} if further else document


def contents(document: dict[str, Json]) -> dict[str, Json]:
    """What every signature of a document covers: all of it but the signatures."""
    return {name: value for name, value in document.items() if name != "proof"}


def _judged(proof: Json, covered: dict[str, Json], hashed: bytes) -> Signature | Spoilt:
    try:
        return _checked(proof, covered, hashed)
    except NotGenuine as fault:
        method = proof.get("verificationMethod") if isinstance(proof, dict) else None
        return Spoilt(method.partition("#")[0] if isinstance(method, str) else None, str(fault))


def _checked(proof: Json, covered: dict[str, Json], hashed: bytes) -> Signature:
    if not isinstance(proof, dict):
        raise NotGenuine(_("A signature in the file is not in the form of one."))
    options = {name: value for name, value in proof.items() if name != "proofValue"}
    _check_options(options, covered)
    method = options.get("verificationMethod")
    signer = _signer(method)
    signature = _signature_bytes(proof.get("proofValue"))
    if not keys.is_genuine(signer, _hash_data(options, hashed), signature):
        raise NotGenuine(_("The signature does not fit the contents: something was changed after signing."))
    return Signature(signer, options.get("created"), options.get("expires"))


def _check_options(options: dict[str, Json], covered: dict[str, Json]) -> None:
    strange = sorted(set(options) - _KNOWN)
    if strange:
        raise NotGenuine(
            _(
                "The signature holds a member that is not checked here: %(strange)s.",
                strange=repr(strange[0][:60]),
            )
        )
    if options.get("type") != "DataIntegrityProof" or options.get("cryptosuite") != SUITE:
        raise NotGenuine(
            _(
                "The signature is of another kind than %(suite)s, which is the only one used here.",
                suite=SUITE,
            )
        )
    if options.get("proofPurpose") != "assertionMethod":
        raise NotGenuine(_("The signature was not made to assert a record."))
    for name in ("created", "expires"):
        if name in options and not is_time(options[name]):
            raise NotGenuine(_("The signature's time %(name)s is not written as a time.", name=repr(name)))
    if "@context" in options and options["@context"] != covered.get("@context"):
        raise NotGenuine(_("The context list of the file is not the one that was signed."))


def _signer(method: Json) -> str:
    if not isinstance(method, str):
        raise NotGenuine(_("The signature does not say with which key it was made."))
    did = method.partition("#")[0]
    try:
        keys.public_of(did)
    except Unreadable as fault:
        raise NotGenuine(_("The signature names no key that can be read. %(fault)s", fault=fault)) from None
    if method != keys.method_of(did):
        raise NotGenuine(_("The signature names its key in two different ways."))
    return did


def _signature_bytes(value: Json) -> bytes:
    if not isinstance(value, str):
        raise NotGenuine(_("The signature itself is missing."))
    try:
        raw = keys.from_multibase(value)
    except Unreadable:
        raise NotGenuine(_("The signature is not written in base58.")) from None
    if len(raw) != 64 or keys.multibase(raw) != value:
        raise NotGenuine(_("The signature has the wrong length."))
    return raw


def _hash_data(options: dict[str, Json], hashed: bytes) -> bytes:
    """The 64 bytes that are signed: hash of the options first, then that of the contents."""
    return jcs.digest(options) + hashed


def _listed(proof: Json) -> list[Json]:
    return list(proof) if isinstance(proof, list) else [proof]
