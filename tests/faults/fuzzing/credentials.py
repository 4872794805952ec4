"""Signed records altered at every layer, and what stands beside them: the list of withdrawals, the certificate.

The maker knows what it signed. Whatever is called valid otherwise is a false "valid"; so is a revoked record
beside any list that says so and was only spoilt.
"""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from tests.faults.fuzzing import Target
from tests.faults.fuzzing.spoiling import bytes_spoilt, data_spoilt, strange
from tests.records.record_cases import (
    DAY,
    EXAMINER,
    GONE,
    ISSUERS,
    PLACE,
    SHOP,
    STRANGER,
    make_list,
    make_signed,
)
from trainer.errors import TrainerError
from trainer.records import certificate, jcs, keys, proof
from trainer.records.claims import record_in
from trainer.records.keys import SigningKey
from trainer.records.verification import verify

DAY_MADE = datetime(2026, 3, 2, 9, 15, tzinfo=UTC)
KEYS = (SHOP, EXAMINER, STRANGER, GONE)
TIMES = ("2026-03-02T09:15:00Z", "2019-01-01T00:00:00Z", "2026-12-01T00:00:00+14:00", "2030-01-01T00:00:00Z")
ENCODINGS = ("utf-16", "utf-16-le", "utf-32", "utf-8-sig", "latin-1", "cp1252", "utf-7", "cp037")
Document = dict[str, Any]


@contextmanager
def begun(folder: Path) -> Iterator[Target]:
    """Judge one altered file after the other."""
    one, several = make_signed(), _countersigned()
    drawn = certificate.pdf(one, DAY_MADE)
    other = json.loads(make_signed(id="urn:uuid:6f1d0c0e-4b6e-4f0e-9c2e-0d4a5a1b2c3e"))
    known = {_meaning(json.loads(whole)) for whole in (one, several)} | {_meaning(other)}
    revoked, clear = make_list((PLACE.index,)), make_list()

    def altered(chance: random.Random) -> str:
        how, whole = chance.choice(LAYERS), chance.choice((one, several))
        signed: set[str] = set()
        if how == "bytes":
            data = bytes_spoilt(whole, chance)
        elif how == "members":
            data = _rewritten(_changed(whole, chance), chance)
        elif how == "numbers":
            data = _numbers(whole, chance)
        elif how == "encodings":
            data = _encoded(whole, chance)
        elif how == "nesting":
            data = _nested(whole, chance)
        elif how == "signed anew":
            data, signed = _signed_anew(whole, chance)
        elif how == "proofs":
            data = _proofs(json.loads(whole), json.loads(several), other, chance)
        elif how == "certificate":
            data = bytes_spoilt(drawn, chance)
        else:
            return _beside_a_list(one, revoked, chance)
        said = verify(data, ISSUERS, DAY, clear if chance.random() < 0.2 else None)
        assert all(said.reasons)
        if said.is_valid and _meaning(json.loads(record_in(data))) not in known | signed:
            return f"false valid ({how})"
        return f"{how}: {said.verdict}"

    yield altered


LAYERS = (
    "bytes", "members", "numbers", "encodings", "nesting", "signed anew", "proofs", "beside a list",
    "bytes", "members", "signed anew", "proofs", "beside a list", "certificate",
)  # fmt: skip


def _countersigned() -> bytes:
    """A record with two signatures."""
    return jcs.written(proof.sign(json.loads(make_signed()), EXAMINER, TIMES[0]))


def _meaning(document: Document) -> str:
    """What a file says, without its signatures: 1 and 1.0 are one number, true is none."""

    def plain(value: Any) -> Any:
        if isinstance(value, dict):
            return {name: plain(one) for name, one in value.items()}
        if isinstance(value, list):
            return [plain(one) for one in value]
        return int(value) if isinstance(value, float) and value.is_integer() else value

    return json.dumps(plain({name: one for name, one in document.items() if name != "proof"}), sort_keys=True)


def _changed(whole: bytes, chance: random.Random) -> Any:
    document = json.loads(whole)
    for _ in range(chance.choice((1, 1, 2, 4))):
        document = data_spoilt(document, chance)
    return document


def _rewritten(document: Any, chance: random.Random) -> bytes:
    """Written in another way: order, room, escapes."""
    if isinstance(document, dict) and chance.random() < 0.3:
        names = list(document)
        chance.shuffle(names)
        document = {name: document[name] for name in names}
    text = json.dumps(document, ensure_ascii=chance.random() < 0.5, indent=chance.choice((None, 0, 2, 9)))
    return text.encode("utf-8", "surrogatepass")


def _numbers(whole: bytes, chance: random.Random) -> bytes:
    """One number of the text written otherwise, or with another worth."""
    text, digits = whole.decode(), []
    for place, sign in enumerate(text):
        if sign.isdigit() and text[place - 1] in " [:," and text[place - 2] != '"':
            digits.append(place)
    place = chance.choice(digits) if digits else 0
    put = chance.choice(
        ("-", "0", "1e0 ", "1", "9" * 20, "0.", "NaN", "Infinity", "1e400", "0x", "+", ".", "-0 ", "1_")
    )
    return (text[:place] + put + text[place + chance.choice((0, 0, 1)) :]).encode()


def _encoded(whole: bytes, chance: random.Random) -> bytes:
    """The same text in other bytes, or with something before or behind it."""
    text = whole.decode()
    how = chance.randrange(6)
    if how == 0:
        return text.encode(chance.choice(ENCODINGS), "replace")
    if how == 1:
        place = chance.randrange(len(text))
        return (text[:place] + f"\\u{ord(text[place]):04x}" + text[place + 1 :]).encode()
    if how == 2:
        return chance.choice((b"\xef\xbb\xbf", b"\0", b"\xff\xfe", b" \n", b"%PDF-", b"[", b"PK\3\4")) + whole
    if how == 3:
        return whole + chance.choice((b"\0", b"{}", b"\n\n", whole, b"]", b"//", b"\xc0\xaf", b"%PDF-1.4"))
    if how == 4:
        return whole.replace(b"a", b"\xc1\xa1", 1)  # a letter in two bytes, which UTF-8 forbids
    letter, twin = chance.choice((("a", "а"), ("Å", "Å"), ("s", "ſ"), ("i", "İ"), ("-", "\u2010")))
    return text.replace(letter, twin, chance.choice((1, 3))).encode()


def _nested(whole: bytes, chance: random.Random) -> bytes:
    """Members that stand twice, the record inside another, brackets without end."""
    text, many = whole.decode(), chance.choice((2, 59, 60, 61, 1000, 100_000))
    how = chance.randrange(4)
    if how == 0:
        return ("[" * many + "]" * chance.choice((0, many))).encode()
    if how == 1:
        return (text.rstrip()[:-1] + ',"x":' + "[" * many + "]" * many + "}").encode()
    document: Document = json.loads(whole)
    if how == 2:
        name = chance.choice(list(document))
        return (
            text.rstrip()[:-1] + f",{json.dumps(name)}:{json.dumps(chance.choice(list(document.values())))}}}"
        ).encode()
    return json.dumps(
        chance.choice(([document], {"verifiableCredential": document}, {**document, "x": document}))
    ).encode()


def _signed_anew(whole: bytes, chance: random.Random) -> tuple[bytes, set[str]]:
    """Changed and signed by some key; what the issuer whom it names signed is meant as it stands."""
    document = _changed(whole, chance)
    if not isinstance(document, dict):
        document = {"x": document}
    document.pop("proof", None)
    hands: list[SigningKey] = [chance.choice(KEYS) for _ in range(chance.choice((1, 1, 2)))]
    try:
        for key in hands:
            document = proof.sign(document, key, chance.choice(TIMES))
    except TrainerError:
        return json.dumps(document).encode(), set()
    issuer = document.get("issuer")
    named = issuer.get("id") if isinstance(issuer, dict) else issuer
    return jcs.written(document), {_meaning(document)} if named in [key.did for key in hands] else set()


def _proofs(document: Document, several: Document, other: Document, chance: random.Random) -> bytes:
    """Signatures left out, doubled, mixed up, of another record, with another member or value."""
    listed = document["proof"] if isinstance(document["proof"], list) else [document["proof"]]
    pool = [dict(one) for one in (*listed, *several["proof"], other["proof"])]
    chosen: list[Any] = [chance.choice(pool) for _ in range(chance.choice((0, 1, 1, 2, 3, 8, 9)))]
    for one in chosen:
        how = chance.randrange(6)
        if how == 0:
            one[chance.choice((*one, "nonce", "domain", "expires", "id"))] = strange(chance)
        elif how == 1:
            one["verificationMethod"] = chance.choice(KEYS).method
        elif how == 2:
            one["created"] = chance.choice(TIMES)
        elif how == 3:
            one["proofValue"] = keys.multibase(chance.randbytes(64))
    if chosen and chance.random() < 0.2:
        chosen.insert(chance.randrange(len(chosen)), strange(chance))
    if chance.random() < 0.2:
        document["issuer"]["id"] = chance.choice(KEYS).did
    document["proof"] = chosen[0] if len(chosen) == 1 and chance.random() < 0.5 else chosen
    return json.dumps(document).encode()


def _beside_a_list(record: bytes, revoked: bytes, chance: random.Random) -> str:
    """A revoked record with a spoilt list: never valid."""
    if chance.random() < 0.4:
        beside = bytes_spoilt(revoked, chance)
    else:
        changed = _changed(revoked, chance)
        if isinstance(changed, dict) and chance.random() < 0.5:
            changed.pop("proof", None)
            try:
                changed = proof.sign(changed, chance.choice((EXAMINER, STRANGER, GONE)), TIMES[0])
            except TrainerError:
                changed = {}
        beside = json.dumps(changed if chance.random() < 0.8 else [changed, changed]).encode()
    said = verify(record, ISSUERS, DAY, beside)
    return "false valid (list)" if said.is_valid else f"list: {said.verdict}"
