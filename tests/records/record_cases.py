"""Test records, good and spoilt, with the verdict each must get. The page and the outside verifiers get the same."""

from __future__ import annotations

import json
from collections.abc import Callable
from copy import deepcopy
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Any

from trainer.records import certificate, chain, credential, jcs, keys, merkle, proof, statuslist
from trainer.records.issuers import Issuer
from trainer.records.keys import SigningKey
from trainer.records.record import Inclusion, Person, Record, Row
from trainer.records.signers import Signer
from trainer.records.statuslist import StatusPlace

SHOP = SigningKey(bytes(range(32)))
SHOP_NEW = SigningKey(bytes(range(1, 33)))
EXAMINER = SigningKey(bytes(range(2, 34)))
STRANGER = SigningKey(bytes(range(3, 35)))
GONE = SigningKey(bytes(range(4, 36)))
LEVEL_III = SigningKey(bytes(range(5, 37)))
BOSS = SigningKey(bytes(range(6, 38)))

LIST = "urn:uuid:2c0b6a2e-0000-4000-8000-000000000001"
OTHER_LIST = "urn:uuid:2c0b6a2e-0000-4000-8000-000000000002"
PLACE = StatusPlace(LIST, "revocation", 94_567)
HOLD = StatusPlace(OTHER_LIST, "suspension", 12)
SIGNED_AT = "2026-03-02T09:15:00Z"
DAY = date(2026, 3, 20)

ISSUERS = (
    Issuer(SHOP.did, "Tarn Valley", date(2025, 1, 1), date(2026, 6, 30)),
    Issuer(SHOP_NEW.did, "Tarn Valley", date(2026, 6, 30), None, SHOP.did),
    Issuer(EXAMINER.did, "Ian, examiner"),
    Issuer(GONE.did, "A shop that closed", date(2020, 1, 1), date(2024, 12, 31)),
    Issuer(BOSS.did, "Ina of Tarn Valley", date(2026, 1, 1), date(2026, 6, 30), beside_only=True),
)
SIGNERS = (
    Signer(EXAMINER.did, "Ian Fell", "examiner"),
    Signer(LEVEL_III.did, "Emma Łuk", "Level III"),
    Signer(BOSS.did, "Ina Beck", "employer"),
)
HANDS = (EXAMINER, LEVEL_III, BOSS)

ENTRIES: tuple[dict[str, object], ...] = (
    {
        "id": "e1",
        "kind": "training",
        "method": "MT",
        "level": "II",
        "from": date(2025, 3, 4),
        "to": date(2025, 3, 6),
        "hours": Decimal("20.0"),
        "mode": "classroom",
        "entered_by": {"person": "Ian", "role": "instructor"},
        "countersigned_by": {"person": "Emma", "role": "level_iii"},
    },
    {
        "id": "e2",
        "kind": "examination",
        "part": "practical",
        "method": "MT",
        "level": "II",
        "date": date(2025, 5, 6),
        "specimens": [{"specimen": "Draw hook 4", "checkpoints": 12, "marks": Decimal("23"), "of": 24}],
        "entered_by": {"person": "Ian", "role": "examiner"},
    },
)

ROWS = (
    Row(
        "training",
        "Training",
        "met",
        Decimal("20.0"),
        Decimal("20"),
        "h",
        None,
        "Table 6.3.1",
        "20.0 of 20 h",
    ),
    Row(
        "composite", "Composite", "met", Decimal("85.30"), Decimal("80"), "pct", None, "8.8", "85.30 of 80 %"
    ),
    Row(
        "vision_near", "Near vision", "met", None, None, None, date(2026, 12, 18), "8.2.1", "good until then"
    ),
)


def make_record(**changes: Any) -> Record:
    """A whole record of the invented trainee Tess, with changes."""
    record = Record(
        id="urn:uuid:6f1d0c0e-4b6e-4f0e-9c2e-0d4a5a1b2c3d",
        person=Person("TV-11", "Tess Łukasz Ångström"),
        issuer_did=SHOP.did,
        issuer_name="Tarn Valley, wheel-and-axle shop",
        on=date(2026, 3, 2),
        scheme="SNT-2020",
        scheme_title="SNT-TC-1A 2020",
        level="II",
        overall="met",
        rows=ROWS,
        entries=ENTRIES,
        valid_until=date(2026, 12, 18),
        status=(PLACE,),
        head=chain.head_of([chain.link(0, SIGNED_AT, {"kind": "training"}, chain.START)], SIGNED_AT),
        inclusions={"e1": Inclusion(0, (merkle.leaf_hash(b""),))},
    )
    return replace(record, **changes)


def make_signed(key: SigningKey = SHOP, created: str = SIGNED_AT, **changes: Any) -> bytes:
    """The record signed and written."""
    return credential.signed(make_record(issuer_did=key.did, **changes), key, created)


def make_list(
    set_places: tuple[int, ...] = (),
    key: SigningKey = SHOP,
    list_id: str = LIST,
    purpose: str = "revocation",
    valid_from: str = "2026-03-19T18:00:00Z",
    valid_until: str = "2026-04-19T18:00:00Z",
) -> bytes:
    """A signed status list, written."""
    return jcs.written(
        statuslist.signed_list(list_id, purpose, set_places, key, "Tarn Valley", valid_from, valid_until)
    )


def make_cosigned(
    *hands: SigningKey, signers: tuple[Signer, ...] = SIGNERS, **changes: Any
) -> dict[str, Any]:
    """The record that names its further signers, signed by the shop and then by these hands."""
    document = json.loads(make_signed(signers=signers, **changes))
    for hour, hand in enumerate(hands, 10):
        document = proof.sign(document, hand, f"2026-03-02T{hour}:00:00Z")
    return document


@dataclass(frozen=True)
class Case:
    """One file, what came with it, and the verdict it must get; ``is_genuine`` speaks of signature and pin only."""

    name: str
    document: bytes
    verdict: str
    status: bytes | None = None
    on: date = DAY
    is_genuine: bool | None = None


GENUINE = ("valid", "expired", "revoked", "suspended", "not yet valid")


@lru_cache(maxsize=1)
def all_cases() -> tuple[Case, ...]:
    """Every case, in a fixed order."""
    return (
        *_sound(), *_tampered(), *_text_faults(), *_by_others(), *_status_faults(),
        *_signed_by_several(), *_spoilt_among_several(), *_lists_of_signers(),
    )  # fmt: skip


def _sound() -> list[Case]:
    good, hold = make_signed(), make_signed(status=(PLACE, HOLD))
    both = json.dumps(
        [json.loads(make_list()), json.loads(make_list((), list_id=OTHER_LIST, purpose="suspension"))]
    )
    held = make_list((12,), list_id=OTHER_LIST, purpose="suspension")
    co_signed = proof.sign(json.loads(good), EXAMINER, "2026-03-02T10:00:00Z")
    bare = without_context(json.loads(good), SHOP)
    return [
        Case("good", good, "valid"),
        Case("good with list", good, "valid", make_list((1, 2, 3))),
        Case("good, one line", json.dumps(json.loads(good)).encode(), "valid"),
        Case("members in another order", json.dumps(json.loads(good), sort_keys=True).encode(), "valid"),
        Case("list due for renewal", good, "valid", make_list(valid_until="2026-03-19T19:00:00Z")),
        Case(
            "list by the new key", good, "valid", make_list((), SHOP_NEW, valid_from="2026-07-01T00:00:00Z")
        ),
        Case("no status named", make_signed(status=()), "valid"),
        Case("two lists", hold, "valid", both.encode()),
        Case("one of two lists", hold, "valid", make_list()),
        Case("no end stated", make_signed(valid_until=None), "valid", None, date(2099, 1, 1)),
        Case("last day", good, "valid", None, date(2026, 12, 18)),
        Case("first day", good, "valid", None, date(2026, 3, 2)),
        Case("two signers", jcs.written(co_signed), "valid"),
        Case("signature without context", jcs.written(bare), "valid"),
        Case("old record after the change of key", good, "valid", None, date(2026, 9, 1)),
        Case(
            "new key",
            make_signed(SHOP_NEW, "2026-07-02T09:00:00Z", on=date(2026, 7, 1)),
            "valid",
            None,
            date(2026, 7, 3),
        ),
        Case("day after the end", good, "expired", None, date(2026, 12, 19)),
        Case("day before the start", good, "not yet valid", None, date(2026, 3, 1)),
        Case("revoked", good, "revoked", make_list((94_567,))),
        Case("revoked and expired", good, "revoked", make_list((94_567,)), date(2027, 1, 1)),
        Case(
            "revoked by the new key",
            good,
            "revoked",
            make_list((94_567,), SHOP_NEW, valid_from="2026-07-01T00:00:00Z"),
        ),
        Case("suspended", hold, "suspended", held),
        Case(
            "certificate",
            certificate.pdf(good, datetime(2026, 3, 2, 9, 15, tzinfo=UTC)),
            "valid",
            make_list(),
        ),
        Case("not met is a record too", make_signed(overall="not_met", valid_until=None), "valid"),
    ]


def _tampered() -> list[Case]:
    def case(name: str, change: Callable[[Any], object]) -> Case:
        document = json.loads(make_signed())
        change(document)
        return Case(name, jcs.written(document), "altered")

    def swap(items: list[Any]) -> None:
        items[0], items[1] = items[1], items[0]

    return [
        case("score changed", lambda d: d["credentialSubject"]["result"][1].update(value="95.30")),
        case("digit dropped", lambda d: d["credentialSubject"]["result"][1].update(value="85.3")),
        case("end put off", lambda d: d.update(validUntil="2036-12-18T23:59:59Z")),
        case("end taken out", lambda d: d.pop("validUntil")),
        case(
            "person changed", lambda d: d["credentialSubject"]["identifier"][0].update(identityHash="TV-12")
        ),
        case("status taken out", lambda d: d.pop("credentialStatus")),
        case("member added", lambda d: d.update(remark="excellent")),
        case("member added deep", lambda d: d["credentialSubject"]["achievement"].update(level="III")),
        case("member named __proto__", lambda d: d.update({"__proto__": {"validUntil": "2099"}})),
        case("rows swapped", lambda d: swap(d["credentialSubject"]["result"])),
        case("entry taken out", lambda d: d["evidence"].pop(0)),
        case(
            "entry countersigned",
            lambda d: d["evidence"][1]["entry"].update(countersigned_by={"person": "Ian"}),
        ),
        case("text to number", lambda d: d["credentialSubject"]["result"][0].update(value=20.0)),
        case("null added", lambda d: d.update(note=None)),
        case(
            "composed letter",
            lambda d: d["credentialSubject"]["identifier"][1].update(
                identityHash="Tess Łukasz A\u030angstro\u0308m"
            ),
        ),
        case("context appended", lambda d: d["@context"].append("https://example.test/more")),
        case("context reordered", lambda d: swap(d["@context"])),
        case("context taken out", lambda d: d.pop("@context")),
        case(
            "context of the signature changed", lambda d: d["proof"].update({"@context": d["@context"][:1]})
        ),
        case("context of the signature taken out", lambda d: d["proof"].pop("@context")),
        case("time of signing changed", lambda d: d["proof"].update(created="2025-03-02T09:15:00Z")),
        case("time of signing taken out", lambda d: d["proof"].pop("created")),
        case("time of signing no time", lambda d: d["proof"].update(created="2026-02-30T09:15:00Z")),
        case("purpose changed", lambda d: d["proof"].update(proofPurpose="authentication")),
        case("suite changed", lambda d: d["proof"].update(cryptosuite="eddsa-rdfc-2022")),
        case("kind changed", lambda d: d["proof"].update(type="Ed25519Signature2020")),
        case("end of the signature added", lambda d: d["proof"].update(expires="2030-01-01T00:00:00Z")),
        case("strange member of the signature", lambda d: d["proof"].update(previousProof="urn:uuid:1")),
        case("signature taken out of it", lambda d: d["proof"].pop("proofValue")),
        case(
            "signature of another letter",
            lambda d: d["proof"].update(proofValue="u" + d["proof"]["proofValue"][1:]),
        ),
        case("signature cut", lambda d: d["proof"].update(proofValue=d["proof"]["proofValue"][:-2])),
        case(
            "signature with a blank behind",
            lambda d: d["proof"].update(proofValue=d["proof"]["proofValue"] + " "),
        ),
        case(
            "signature with leading ones",
            lambda d: d["proof"].update(proofValue="z1" + d["proof"]["proofValue"][1:]),
        ),
        case("signature a number", lambda d: d["proof"].update(proofValue=7)),
        case(
            "signature malleated", lambda d: d["proof"].update(proofValue=malleated(d["proof"]["proofValue"]))
        ),
        case("signature a text", lambda d: d.update(proof="signed")),
        case("key of another kind", lambda d: d["proof"].update(verificationMethod="did:web:example.test#1")),
        case("key named in two ways", lambda d: d["proof"].update(verificationMethod=SHOP.did + "#other")),
        case("key swapped", lambda d: d["proof"].update(verificationMethod=STRANGER.method)),
        case("issuer swapped", lambda d: d["issuer"].update(id=STRANGER.did)),
        case("second signature spoilt", _spoil_second),
    ]


def _text_faults() -> list[Case]:
    good = make_signed()
    text = good.decode()
    twice = text.replace('"role": "Level II"', '"role": "Level III", "role": "Level II"', 1)
    twice_last = text.replace('"name": "Record', '"name": "Best", "name": "Record', 1)
    bad_day = {**json.loads(good), "validUntil": "2026-02-30T00:00:00Z"}
    files = {
        "empty": b"",
        "cut in the middle": good[: len(good) // 2],
        "last bracket missing": good.rstrip()[:-1],
        "something behind": good + b"{}",
        "comma too many": text.rstrip()[:-1].rstrip().encode() + b",}",
        "single quotes": text.replace('"', "'").encode(),
        "comment": b"// a record\n" + good,
        "UTF-16": text.encode("utf-16"),
        "byte order mark": b"\xef\xbb\xbf" + good,
        "Latin-1": text.encode("latin-1", "replace").replace(b"Tess", b"T\xe9ss"),
        "overlong UTF-8": good.replace(b"Tess", b"T\xc0\xaess"),
        "raw control sign": good.replace(b"Tess", b"Te\x01s"),
        "double member": twice.encode(),
        "double member, right one last": twice_last.encode(),
        "double member in escapes": text.replace('"role":', '"r\\u006fle": "Level III", "role":', 1).encode(),
        "NaN": text.replace('"index": 0', '"index": NaN').encode(),
        "infinite number": text.replace('"index": 0', '"index": 1e999').encode(),
        "number with too many digits": text.replace('"index": 0', '"index": 9007199254740993').encode(),
        "leading zero": text.replace('"index": 0', '"index": 00').encode(),
        "lone surrogate": text.replace("Tess", "Te\\ud800s").encode(),
        "nested 100 deep": b"[" * 100 + b"]" * 100,
        "nested 100,000 deep": b"[" * 100_000,
        "nested in braces": b'{"a":' * 5_000,
        "quotes without end": b'"' + b'\\"' * 200_000,
        "3 MB": good + b" " * 3_000_000,
        "list": b"[]",
        "number": b"7",
        "null": b"null",
        "text": b'"valid"',
        "empty object": b"{}",
        "not a record": jcs.written({**json.loads(good), "type": ["VerifiableCredential"]}),
        "type a text": jcs.written({**json.loads(good), "type": "OpenBadgeCredential"}),
        "no signature": jcs.written({k: v for k, v in json.loads(good).items() if k != "proof"}),
        "no signatures in the list": jcs.written({**json.loads(good), "proof": []}),
        "nine signatures": jcs.written({**json.loads(good), "proof": [json.loads(good)["proof"]] * 9}),
        "no issuer": jcs.written({k: v for k, v in json.loads(good).items() if k != "issuer"}),
        "two persons": jcs.written({**json.loads(good), "credentialSubject": [{}, {}]}),
        "no start": jcs.written({k: v for k, v in json.loads(good).items() if k != "validFrom"}),
        "day that does not exist": jcs.written(proof.sign(unsigned(bad_day), SHOP, SIGNED_AT)),
        "a status list": make_list(),
        "PDF head only": b"%PDF-1.7\n",
        "HTML": b"<!doctype html><p>valid</p>",
    }
    return [Case(name, data, "unreadable") for name, data in files.items()]


def _signed_by_several() -> list[Case]:
    whole = make_cosigned(*HANDS)
    turned = {**whole, "proof": list(reversed(whole["proof"]))}
    twice = {**whole, "proof": [*whole["proof"], whole["proof"][2]]}
    again = proof.sign(make_cosigned(LEVEL_III), LEVEL_III, "2026-03-03T10:00:00Z")
    alone = {**whole, "proof": whole["proof"][1:]}
    late = proof.sign(make_cosigned(), BOSS, "2026-07-01T10:00:00Z")
    strange = proof.sign(
        make_cosigned(signers=(Signer(EXAMINER.did, "Ian", "examiner"),), key=STRANGER), EXAMINER, SIGNED_AT
    )
    found = [
        ("all three signed", whole, "valid"),
        ("signatures in another order", turned, "valid"),
        ("nobody signed yet", make_cosigned(), "valid"),
        ("the Level III has not signed", make_cosigned(EXAMINER, BOSS), "valid"),
        ("only a key that is not pinned signed", make_cosigned(LEVEL_III), "valid"),
        ("a stranger beside the three", proof.sign(whole, STRANGER, SIGNED_AT), "unknown issuer"),
        (
            "a pinned key that the record does not name",
            proof.sign(make_cosigned(LEVEL_III), GONE, "2024-03-02T10:00:00Z"),
            "valid",
        ),
        ("a signer's key no longer in use", late, "unknown issuer"),
        ("known signers of a house that is not", strange, "unknown issuer"),
        ("a signer's key issues a record itself", json.loads(make_signed(BOSS)), "unknown issuer"),
        ("the issuer's signature taken away", alone, "altered"),
        ("one signature twice", twice, "altered"),
        ("one key signed twice", again, "altered"),
    ]
    return [Case(name, jcs.written(document), verdict) for name, document, verdict in found]


# What can be done to one signature of several; each is given the list and the place of the one.
_SPOILINGS: dict[str, Callable[[list[Any], int], object]] = {
    "time changed": lambda found, at: found[at].update(created="2026-03-02T23:00:00Z"),
    "time taken out": lambda found, at: found[at].pop("created"),
    "end added": lambda found, at: found[at].update(expires="2030-01-01T00:00:00Z"),
    "purpose changed": lambda found, at: found[at].update(proofPurpose="authentication"),
    "suite changed": lambda found, at: found[at].update(cryptosuite="eddsa-rdfc-2022"),
    "kind changed": lambda found, at: found[at].update(type="Ed25519Signature2020"),
    "context cut": lambda found, at: found[at].update({"@context": found[at]["@context"][:1]}),
    "context taken out": lambda found, at: found[at].pop("@context"),
    "role added": lambda found, at: found[at].update(role="Level III"),
    "chained to another": lambda found, at: found[at].update(previousProof="urn:uuid:1"),
    "value cut": lambda found, at: found[at].update(proofValue=found[at]["proofValue"][:-2]),
    "value taken out": lambda found, at: found[at].pop("proofValue"),
    "value malleated": lambda found, at: found[at].update(proofValue=malleated(found[at]["proofValue"])),
    "value of another": lambda found, at: found[at].update(proofValue=found[at - 1]["proofValue"]),
    "key of another": lambda found, at: found[at].update(verificationMethod=found[at - 1]["verificationMethod"]),
    "key of a stranger": lambda found, at: found[at].update(verificationMethod=STRANGER.method),
    "a text": lambda found, at: found.__setitem__(at, "signed"),
    "lifted from another record": lambda found, at: found.__setitem__(at, _elsewhere(at)),
}  # fmt: skip


def _elsewhere(at: int) -> Any:
    """A genuine signature of the same hand over another record of the same shop."""
    return make_cosigned(*HANDS, overall="not_met", valid_until=None)["proof"][at]


def _spoilt_among_several() -> list[Case]:
    whole, found = make_cosigned(*HANDS), []
    for name, spoil in _SPOILINGS.items():
        for at, whose in enumerate(("issuer", "examiner", "Level III", "employer")):
            document = deepcopy(whole)
            spoil(document["proof"], at)
            found.append(Case(f"{whose}'s of several: {name}", jcs.written(document), "altered"))
    chained = _with_options(make_cosigned(), LEVEL_III, previousProof="urn:uuid:1")
    with_role = _with_options(make_cosigned(), LEVEL_III, role="Level III")
    return [
        *found,
        Case("a chain that was signed as one", jcs.written(chained), "altered"),
        Case("a role that a key gave itself", jcs.written(with_role), "altered"),
    ]


def _lists_of_signers() -> list[Case]:
    def spoilt(change: Callable[[Any], object]) -> bytes:
        document = make_cosigned(*HANDS)
        change(document)
        return jcs.written(document)

    def signed(signers: Any) -> bytes:
        return jcs.written(
            proof.sign(credential.build(make_record()) | {"signers": signers}, SHOP, SIGNED_AT)
        )

    one: dict[str, Any] = {"id": LEVEL_III.did, "type": ["Profile"], "name": "Emma", "role": "Level III"}
    many = [{**one, "id": SigningKey(bytes([n]) * 32).did} for n in range(1, 9)]
    altered = {
        "list of signers taken out": lambda d: d.pop("signers"),
        "signer taken off the list": lambda d: d["signers"].pop(1),
        "signer put on the list": lambda d: d["signers"].append({**one, "id": STRANGER.did}),
        "signer of another name": lambda d: d["signers"][1].update(name="Tess"),
        "signer of another role": lambda d: d["signers"][0].update(role="Level III"),
        "signer of another key": lambda d: d["signers"][1].update(id=STRANGER.did),
        "signers in another order": lambda d: d["signers"].reverse(),
        "signer with a member more": lambda d: d["signers"][0].update(grade="best"),
    }
    unreadable = {
        "list of signers no list": one,
        "list of signers a text": "Emma",
        "list of signers empty text": "",
        "list of signers null": None,
        "signer a text": [LEVEL_III.did],
        "signer without name": [{**one, "name": ""}],
        "signer with a number for a name": [{**one, "name": 7}],
        "signer with a long name": [{**one, "name": "é" * 201}],
        "signer of no known role": [{**one, "role": "Level IV"}],
        "signer without role": [{name: value for name, value in one.items() if name != "role"}],
        "signer without key": [{**one, "id": "did:web:example.test"}],
        "signer of half a key": [{**one, "id": LEVEL_III.did[:-1]}],
        "signer twice": [one, {**one, "role": "employer"}],
        "issuer among the signers": [{**one, "id": SHOP.did}],
        "eight signers": many,
    }
    return [
        *(Case(name, spoilt(change), "altered") for name, change in altered.items()),
        *(Case(name, signed(value), "unreadable") for name, value in unreadable.items()),
        Case("seven signers", signed(many[:7]), "valid"),
        Case("signer with 200 letters", signed([{**one, "name": "😀" * 200}]), "valid"),
        Case("empty list of signers", signed([]), "valid"),
    ]


def _by_others() -> list[Case]:
    good = json.loads(make_signed())
    posing = proof.sign(unsigned(good), STRANGER, SIGNED_AT)
    posing_shop_first = {**posing, "proof": [posing["proof"]]}
    second = proof.sign(good, STRANGER, SIGNED_AT)
    early = credential.build(make_record())
    return [
        Case("signed by a stranger in his own name", make_signed(STRANGER), "unknown issuer"),
        Case("signed by a stranger in the shop's name", jcs.written(posing), "altered"),
        Case("the same in a list", jcs.written(posing_shop_first), "altered"),
        Case(
            "examiner in the shop's name",
            jcs.written(proof.sign(unsigned(good), EXAMINER, SIGNED_AT)),
            "altered",
        ),
        Case("a stranger signed too", jcs.written(second), "unknown issuer"),
        Case("key no longer in use", make_signed(GONE), "unknown issuer"),
        Case(
            "signed before the key was in use",
            jcs.written(proof.sign(early, SHOP, "2024-12-31T23:00:00Z")),
            "unknown issuer",
        ),
        Case(
            "old key after the change",
            jcs.written(proof.sign(early, SHOP, "2026-07-01T08:00:00Z")),
            "unknown issuer",
        ),
        Case("expired and by a stranger", make_signed(STRANGER), "unknown issuer", None, date(2030, 1, 1)),
    ]


def _status_faults() -> list[Case]:
    good = make_signed()
    spoilt = json.loads(make_list((94_567,)))
    spoilt["credentialSubject"]["encodedList"] = statuslist.encode(())
    bomb = json.loads(make_list())
    bomb["credentialSubject"]["encodedList"] = statuslist.encode((), 64 * statuslist.PLACES)
    short = json.loads(make_list())
    short["credentialSubject"]["encodedList"] = statuslist.encode((), 1024)
    lists: list[tuple[str, bytes, str]] = [
        ("list altered", jcs.written(spoilt), "altered"),
        ("list by a stranger", make_list((), STRANGER), "unknown issuer"),
        ("list by another pinned issuer", make_list((), EXAMINER), "unknown issuer"),
        ("list of another id", make_list(list_id=OTHER_LIST), "unreadable"),
        ("list of another purpose", make_list(purpose="suspension"), "unreadable"),
        ("list unreadable", b"{", "unreadable"),
        ("list is the record", good, "unreadable"),
        ("list empty", b"[]", "unreadable"),
        ("list twice", b"[" + make_list() + b"," + make_list() + b"]", "unreadable"),
        ("list too long", jcs.written(resigned(bomb)), "unreadable"),
        ("list too short", jcs.written(resigned(short)), "unreadable"),
        ("list without gzip", jcs.written(resigned(_with_list("uAAAA"))), "unreadable"),
        ("list cut", jcs.written(resigned(_with_list(statuslist.encode(())[:-20]))), "unreadable"),
        (
            "list with = at its end",
            jcs.written(resigned(_with_list(statuslist.encode(()) + "="))),
            "unreadable",
        ),
    ]
    lists += [
        (
            "list posing as the shop's",
            jcs.written(resigned(json.loads(make_list()), STRANGER)),
            "unknown issuer",
        ),
        ("list of a day without its key", make_list(valid_from="2024-12-31T08:00:00Z"), "unknown issuer"),
    ]
    cases = [Case(name, good, verdict, data, is_genuine=True) for name, data, verdict in lists]
    far = make_signed(status=(StatusPlace(LIST, "revocation", statuslist.PLACES),))
    unnamed = make_signed(status=())
    strange = credential.build(make_record()) | {
        "credentialStatus": {"type": "1EdTechRevocationList", "id": LIST}
    }
    return [
        *cases,
        Case("place outside the list", far, "unreadable", make_list(), is_genuine=True),
        Case("list for a record that names none", unnamed, "unreadable", make_list(), is_genuine=True),
        Case(
            "status of another kind",
            jcs.written(proof.sign(strange, SHOP, SIGNED_AT)),
            "unreadable",
            make_list(),
            is_genuine=True,
        ),
        Case(
            "status index without quotation marks",
            jcs.written(proof.sign(_with_index(7), SHOP, SIGNED_AT)),
            "unreadable",
            make_list(),
            is_genuine=True,
        ),
        Case(
            "status index in other digits",
            jcs.written(proof.sign(_with_index("٧"), SHOP, SIGNED_AT)),
            "unreadable",
            make_list(),
            is_genuine=True,
        ),
        Case(
            "altered, expired and withdrawn",
            good.replace(b"85.30", b"95.30"),
            "altered",
            make_list((94_567,)),
            date(2030, 1, 1),
        ),
        Case("altered record with a good list", good.replace(b"85.30", b"95.30"), "altered", make_list()),
    ]


def unsigned(document: dict[str, Any]) -> dict[str, Any]:
    """The document without its signatures."""
    return {name: value for name, value in document.items() if name != "proof"}


def resigned(document: dict[str, Any], key: SigningKey = SHOP) -> dict[str, Any]:
    """The document signed anew, as its issuer could."""
    return proof.sign(unsigned(document), key, document["proof"]["created"])


def _with_options(document: dict[str, Any], key: SigningKey, **more: Any) -> dict[str, Any]:
    """The document with a signature whose options hold more members, properly signed with them."""
    options = {**proof.sign(unsigned(document), key, SIGNED_AT)["proof"], **more}
    del options["proofValue"]
    message = jcs.digest(options) + jcs.digest(unsigned(document))
    made = {**options, "proofValue": keys.multibase(key.sign(message))}
    return {**document, "proof": [document["proof"], made]}


def without_context(document: dict[str, Any], key: SigningKey) -> dict[str, Any]:
    """The document with a signature that carries no context list, which the suite allows."""
    options = {
        name: value for name, value in document["proof"].items() if name not in ("@context", "proofValue")
    }
    message = jcs.digest(options) + jcs.digest(unsigned(document))
    return {**unsigned(document), "proof": {**options, "proofValue": keys.multibase(key.sign(message))}}


def malleated(value: str) -> str:
    """The same signature with the group order added to its second half: RFC 8032 forbids it."""
    raw = keys.from_multibase(value)
    order = 2**252 + 27742317777372353535851937790883648493
    scalar = int.from_bytes(raw[32:], "little") + order
    return keys.multibase(raw[:32] + scalar.to_bytes(32, "little"))


def _with_index(index: object) -> dict[str, Any]:
    """The record with its place in the status list written otherwise."""
    document = credential.build(make_record())
    return document | {"credentialStatus": {**document["credentialStatus"], "statusListIndex": index}}


def _with_list(encoded: str) -> dict[str, Any]:
    document = json.loads(make_list())
    document["credentialSubject"]["encodedList"] = encoded
    return document


def _spoil_second(document: dict[str, Any]) -> None:
    signed = proof.sign(deepcopy(document), EXAMINER, SIGNED_AT)
    signed["proof"][1]["created"] = "2026-03-02T11:00:00Z"
    document["proof"] = signed["proof"]
