"""A further signature: put to a genuine record by a key that it names, once; taken over from a copy of that record."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import pytest
from record_cases import (
    DAY,
    EXAMINER,
    HANDS,
    ISSUERS,
    LEVEL_III,
    SHOP,
    STRANGER,
    all_cases,
    make_cosigned,
    make_signed,
    unsigned,
)

from trainer.errors import Conflict, Refused, Unreadable
from trainer.records import certificate, cosigning, jcs, proof
from trainer.records.verification import verify

AT = "2026-03-04T08:00:00Z"
OPEN = jcs.written(make_cosigned())


def test_a_named_key_signs() -> None:
    """The record bears one signature more and nothing else is changed; the verdict is as before."""
    signed = cosigning.cosigned(OPEN, LEVEL_III, "Level III", AT)
    before, after = jcs.parse(OPEN), jcs.parse(signed)
    assert unsigned(before) == unsigned(after)
    assert after["proof"][0] == before["proof"]
    assert [one.is_there for one in verify(signed, ISSUERS, DAY).signatures] == [True, False, True, False]


def test_in_any_order_to_the_same_facts() -> None:
    """Who signs first plays no part: the same signatures come out."""
    roles = dict(zip(HANDS, ("examiner", "Level III", "employer"), strict=True))

    def all_by(hands: Any) -> list[str]:
        data = OPEN
        for hand in hands:
            data = cosigning.cosigned(data, hand, roles[hand], AT)
        return sorted(one["proofValue"] for one in jcs.parse(data)["proof"])

    assert all_by(HANDS) == all_by(reversed(HANDS))


def test_the_record_inside_a_certificate_can_be_signed() -> None:
    """A certificate is signed by the record that it carries."""
    paper = certificate.pdf(OPEN, datetime(2026, 3, 2, tzinfo=UTC))
    assert jcs.parse(cosigning.cosigned(paper, EXAMINER, "examiner", AT))["proof"][1]["created"] == AT


@pytest.mark.parametrize(
    ("data", "key", "role", "says"),
    [
        (OPEN, STRANGER, "Level III", "does not name the key"),
        (OPEN, SHOP, "employer", "does not name the key"),
        (OPEN, LEVEL_III, "examiner", "as Level III, not as examiner"),
        (make_signed(), LEVEL_III, "Level III", "names nobody who is to sign"),
        (OPEN.replace(b"85.30", b"95.30"), LEVEL_III, "Level III", "not as it was signed"),
        (OPEN.replace("Emma Łuk".encode(), b"Tess"), LEVEL_III, "Level III", "not as it was signed"),
    ],
    ids=["stranger", "issuer", "another role", "nobody named", "altered", "renamed"],
)
def test_what_is_not_signed(data: bytes, key: Any, role: str, says: str) -> None:
    """An unknown key, another role, a changed record: a sentence, and no signature."""
    with pytest.raises(Refused, match=says):
        cosigning.cosigned(data, key, role, AT)


def test_who_is_expected_is_told() -> None:
    """An unknown key is told whose keys the record names."""
    with pytest.raises(Refused, match=f"Level III Emma Łuk, {LEVEL_III.did}"):
        cosigning.cosigned(OPEN, STRANGER, "Level III", AT)


def test_nobody_signs_twice() -> None:
    """The same key is refused a second time."""
    once = cosigning.cosigned(OPEN, LEVEL_III, "Level III", AT)
    with pytest.raises(Conflict, match="signed this record already"):
        cosigning.cosigned(once, LEVEL_III, "Level III", AT)


def test_without_the_issuer_nobody_signs() -> None:
    """A record that its issuer did not sign gets no further signature."""
    alone = proof.sign(unsigned(make_cosigned()), EXAMINER, AT)
    with pytest.raises(Refused, match="did not sign it"):
        cosigning.cosigned(jcs.written(alone), LEVEL_III, "Level III", AT)


def test_no_spoilt_record_is_ever_signed() -> None:
    """Whatever is altered or unreadable gets a sentence, never a signature."""
    spoilt = [
        case for case in all_cases() if case.verdict in ("altered", "unreadable") and case.status is None
    ]
    assert len(spoilt) > 150
    for case in spoilt:
        with pytest.raises((Refused, Unreadable)):
            cosigning.cosigned(case.document, LEVEL_III, "Level III", AT)


def test_signatures_of_a_copy_are_taken_over() -> None:
    """What was signed elsewhere is found by key; the own copy with them verifies like the other."""
    copy = cosigning.cosigned(OPEN, LEVEL_III, "Level III", AT)
    found = cosigning.further(OPEN, copy)
    assert list(found) == [LEVEL_III.did]
    joined = jcs.written(proof.with_proofs(jcs.parse(OPEN), list(found.values())))
    assert joined == copy
    assert cosigning.further(OPEN, OPEN) == {}
    assert proof.with_proofs(jcs.parse(OPEN), []) == jcs.parse(OPEN)


@pytest.mark.parametrize(
    "copy",
    [
        jcs.written(make_cosigned(LEVEL_III, valid_until=date(2026, 12, 17))),
        jcs.written(make_cosigned(LEVEL_III)).replace(b"T10:00", b"T11:00"),
        make_signed(),
    ],
    ids=["another record", "spoilt signature", "names nobody"],
)
def test_other_copies_are_refused(copy: bytes) -> None:
    """Only a genuine copy of exactly this record is taken."""
    with pytest.raises(Refused):
        cosigning.further(OPEN, copy)
