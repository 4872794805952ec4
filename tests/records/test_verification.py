"""Every verdict, every way of spoiling a record, and the law that a changed file is never valid."""

from __future__ import annotations

import json
import time
from copy import deepcopy
from datetime import date
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from record_cases import (
    DAY,
    HANDS,
    ISSUERS,
    SHOP,
    Case,
    all_cases,
    make_cosigned,
    make_list,
    make_record,
    make_signed,
)

from trainer.records import credential, jcs
from trainer.records.verification import Verdict, verify

GOOD = make_signed()
GOOD_VALUE = json.loads(GOOD)


@pytest.mark.parametrize("case", all_cases(), ids=lambda one: one.name)
def test_verdicts(case: Case) -> None:
    """Each test record gets exactly its verdict, with reasons that are sentences."""
    outcome = verify(case.document, ISSUERS, case.on, case.status)
    assert outcome.verdict == case.verdict, outcome.reasons
    assert outcome.reasons
    assert all(reason.endswith(".") for reason in outcome.reasons)


def test_names_of_cases_differ() -> None:
    """No case hides another one behind the same name."""
    names = [case.name for case in all_cases()]
    assert len(set(names)) == len(names)


def test_facts_of_a_valid_record() -> None:
    """A valid record tells issuer, person, days and the day of the status."""
    outcome = verify(GOOD, ISSUERS, DAY, make_list())
    assert outcome.is_valid
    assert outcome.as_json() | {"reasons": []} == {
        "verdict": "valid",
        "reasons": [],
        "issuer": SHOP.did,
        "subject": "TV-11",
        "valid_from": "2026-03-02",
        "valid_until": "2026-12-18",
        "status_as_of": "2026-03-19",
        "signatures": [
            {
                "key": SHOP.did,
                "name": "Tarn Valley, wheel-and-axle shop",
                "role": "issuer",
                "is_there": True,
                "created": "2026-03-02T09:15:00Z",
                "pinned": "Tarn Valley",
                "says": "Signed on 2026-03-02 by the issuer, Tarn Valley, wheel-and-axle shop. "
                "The key is on your list as Tarn Valley.",
            }
        ],
    }


def test_without_a_list_it_says_so() -> None:
    """Without a status list a valid record says that a withdrawal cannot be seen."""
    outcome = verify(GOOD, ISSUERS, DAY)
    assert outcome.status_as_of is None
    assert any("withdrawal" in reason for reason in outcome.reasons)


def test_with_a_list_it_says_the_limit() -> None:
    """With a list it says as of when, and that later withdrawals cannot be seen offline."""
    outcome = verify(GOOD, ISSUERS, DAY, make_list())
    assert any("2026-03-19" in reason and "offline" in reason for reason in outcome.reasons)


def test_all_reasons_are_told() -> None:
    """A record that is revoked and expired says both."""
    outcome = verify(GOOD, ISSUERS, date(2027, 1, 1), make_list((94_567,)))
    assert outcome.verdict is Verdict.REVOKED
    assert any("good until 2026-12-18" in reason for reason in outcome.reasons)


def test_nobody_pinned() -> None:
    """With an empty list of issuers nothing is valid."""
    assert verify(GOOD, (), DAY).verdict is Verdict.UNKNOWN_ISSUER


def test_signature_that_ends() -> None:
    """A signature with an end of its own is expired after that day, and good on it."""
    document = credential.build(make_record())
    proof_options = {**GOOD_VALUE["proof"], "expires": "2026-04-01T12:00:00Z"}
    del proof_options["proofValue"]
    from trainer.records import keys

    message = jcs.digest(proof_options) + jcs.digest(document)
    document["proof"] = {**proof_options, "proofValue": keys.multibase(SHOP.sign(message))}
    data = jcs.written(document)
    assert verify(data, ISSUERS, date(2026, 4, 1)).verdict is Verdict.VALID
    late = verify(data, ISSUERS, date(2026, 4, 2))
    assert late.verdict is Verdict.EXPIRED
    assert "A signature was good until 2026-04-01." in late.reasons


@settings(max_examples=400)
@given(place=st.integers(0, len(GOOD) - 1), flip=st.integers(1, 255))
def test_a_changed_byte_is_never_valid(place: int, flip: int) -> None:
    """Whatever byte is changed: valid only if the value read is the same (white space, say)."""
    data = bytearray(GOOD)
    data[place] ^= flip
    outcome = verify(bytes(data), ISSUERS, DAY)
    if outcome.is_valid:
        assert jcs.parse(bytes(data)) == GOOD_VALUE


@settings(max_examples=200)
@given(start=st.integers(0, len(GOOD) - 1), length=st.integers(1, 400))
def test_a_cut_out_piece_is_never_valid(start: int, length: int) -> None:
    """A file with a piece taken out is valid only if nothing but white space went."""
    data = GOOD[:start] + GOOD[start + length :]
    if verify(data, ISSUERS, DAY).is_valid:
        assert jcs.parse(data) == GOOD_VALUE


def _places(value: Any, path: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    if isinstance(value, dict):
        return [path, *(p for name, one in value.items() for p in _places(one, (*path, name)))]
    if isinstance(value, list):
        return [path, *(p for place, one in enumerate(value) for p in _places(one, (*path, place)))]
    return [path]


COSIGNED = make_cosigned(*HANDS)
PLACES = [(whole, path) for whole in (GOOD_VALUE, COSIGNED) for path in _places(whole) if path]
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(max_size=8),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=4), inner, max_size=3),
    max_leaves=5,
)


@settings(max_examples=500)
@given(place=st.sampled_from(PLACES), value=VALUES)
def test_a_changed_value_is_never_valid(place: tuple[Any, tuple[Any, ...]], value: Any) -> None:
    """Whatever value is put anywhere in a record, every signature included: never valid, never a crash."""
    whole, path = place
    document = deepcopy(whole)
    holder = document
    for step in path[:-1]:
        holder = holder[step]
    if jcs_same(holder[path[-1]], value):
        return
    holder[path[-1]] = value
    try:
        data = jcs.written(document)
    except UnicodeEncodeError:
        return
    assert not verify(data, ISSUERS, DAY).is_valid


def jcs_same(one: Any, other: Any) -> bool:
    """Whether the two are the same JSON value (True is not 1)."""
    return json.dumps(one, sort_keys=True) == json.dumps(other, sort_keys=True)


@settings(max_examples=300)
@given(data=st.binary(max_size=300) | st.text(max_size=300).map(lambda text: text.encode("utf-8", "ignore")))
def test_noise_is_unreadable(data: bytes) -> None:
    """Noise is unreadable as a record, and never makes a good record valid as a status list."""
    assert verify(data, ISSUERS, DAY).verdict is Verdict.UNREADABLE
    assert verify(GOOD, ISSUERS, DAY, data).verdict is Verdict.UNREADABLE


@settings(max_examples=150)
@given(place=st.integers(0, len(make_list()) - 1), flip=st.integers(1, 255))
def test_a_spoilt_list_is_never_valid(place: int, flip: int) -> None:
    """Whatever byte of a revoking list is changed, the revoked record never becomes valid."""
    data = bytearray(make_list((94_567,)))
    data[place % len(data)] ^= flip
    assert not verify(GOOD, ISSUERS, DAY, bytes(data)).is_valid


@pytest.mark.parametrize(
    "data",
    [
        b"[" * 2_000_000,
        b'{"a":' * 390_000,
        b'"' + b'\\"' * 990_000,
        b"[" + b"[]," * 660_000 + b"[]]",
        b"1" * 1_990_000,
    ],
    ids=["brackets", "braces", "quotes", "pairs", "digits"],
)
def test_hostile_files_cost_little(data: bytes) -> None:
    """Two megabytes of the worst kind are refused within seconds, not minutes."""
    begun = time.process_time()
    assert verify(data, ISSUERS, DAY).verdict is Verdict.UNREADABLE
    assert time.process_time() - begun < 15
