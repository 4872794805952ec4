"""Who is to sign a record: what is told of each signature, and what no list of signers may hold."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from record_cases import (
    BOSS,
    DAY,
    EXAMINER,
    HANDS,
    ISSUERS,
    LEVEL_III,
    SHOP,
    SIGNERS,
    STRANGER,
    make_cosigned,
    make_record,
    make_signed,
)

from trainer.errors import Refused
from trainer.records import jcs, proof, signers
from trainer.records.keys import SigningKey
from trainer.records.proof import Signature
from trainer.records.signers import Signer
from trainer.records.verification import Verdict, verify


def told_of(document: dict[str, Any]) -> list[str]:
    """What is told of each signature, in sentences."""
    return [one.says for one in verify(jcs.written(document), ISSUERS, DAY).signatures]


def test_each_signature_is_told_in_words() -> None:
    """By whom, in which role, when; whether the key is on the list, and whose word it is where it is not."""
    assert told_of(make_cosigned(*HANDS)) == [
        "Signed on 2026-03-02 by the issuer, Tarn Valley, wheel-and-axle shop. The key is on your list as "
        "Tarn Valley.",
        "Signed on 2026-03-02 by the examiner, Ian Fell. The key is on your list as Ian, examiner.",
        "Signed on 2026-03-02 by the Level III, Emma Łuk. The key is not on your list: that it is theirs is "
        "the issuer's word.",
        "Signed on 2026-03-02 by the employer, Ina Beck. The key is on your list as Ina of Tarn Valley.",
    ]


@pytest.mark.parametrize("missing", range(3))
def test_a_signature_taken_away_is_told(missing: int) -> None:
    """A proof set does not tell a stripped signature; the record's own list does."""
    document = make_cosigned(*HANDS)
    del document["proof"][missing + 1]
    outcome = verify(jcs.written(document), ISSUERS, DAY)
    says = [one.says for one in outcome.signatures if not one.is_there]
    assert outcome.verdict is Verdict.VALID
    assert says == [f"Not yet signed by the {SIGNERS[missing].role}, {SIGNERS[missing].name}."]


def test_a_key_that_the_record_does_not_name() -> None:
    """It has no role, whether it is on the list or not; what is not pinned makes the issuer unknown."""
    document = proof.sign(make_cosigned(), STRANGER, "2026-03-02T10:00:00Z")
    assert verify(jcs.written(document), ISSUERS, DAY).verdict is Verdict.UNKNOWN_ISSUER
    assert told_of(document)[-1] == (
        "Signed on 2026-03-02 with a key to which the record gives no role. The key is not on your list."
    )


def test_a_broken_signature_names_whose_it_is() -> None:
    """With several signatures the reason says which one does not hold; of the others nothing is believed then."""
    document = make_cosigned(*HANDS)
    document["proof"][2]["created"] = "2026-03-03T10:00:00Z"
    document["proof"][0]["created"] = "2026-03-03T10:00:00Z"
    document["proof"][3] = "signed"
    outcome = verify(jcs.written(document), ISSUERS, DAY)
    starts = [
        "Signature 1, the issuer's: ",
        "Signature 3, that of the Level III, Emma Łuk: ",
        "Signature 4: ",
    ]
    assert (outcome.verdict, outcome.signatures) == (Verdict.ALTERED, ())
    assert [reason.startswith(start) for reason, start in zip(outcome.reasons, starts, strict=True)] == [
        True
    ] * 3


def test_a_name_or_a_time_that_is_missing() -> None:
    """Neither an issuer without a name nor a signature without a time is told as None."""
    (bare,) = signers.told(SHOP.did, None, (), [Signature(SHOP.did, None, None)], ())
    assert bare.says == (
        f"Signed on a day that is not stated by the issuer, {SHOP.did}. The key is not on your list."
    )


def test_a_signer_of_the_house_cannot_issue() -> None:
    """A key that is on the list to sign beside an issuer is not believed as one."""
    outcome = verify(make_signed(BOSS), ISSUERS, DAY)
    assert outcome.verdict is Verdict.UNKNOWN_ISSUER
    assert "beside an issuer's only" in outcome.reasons[0]


def test_a_lost_key_of_a_signer() -> None:
    """Signatures before the last safe day hold on any later day; the same key does not count after it."""
    whole, late = make_cosigned(BOSS), proof.sign(make_cosigned(), BOSS, "2026-07-01T10:00:00Z")
    assert verify(jcs.written(whole), ISSUERS, date(2026, 9, 1)).verdict is Verdict.VALID
    outcome = verify(jcs.written(late), ISSUERS, date(2026, 9, 1))
    assert outcome.verdict is Verdict.UNKNOWN_ISSUER
    assert "not in use by Ina of Tarn Valley" in outcome.reasons[0]


@pytest.mark.parametrize(
    "named",
    [
        (Signer(SHOP.did, "Emma", "Level III"),),
        (SIGNERS[0], SIGNERS[0]),
        tuple(Signer(SigningKey(bytes([n]) * 32).did, "Emma", "employer") for n in range(1, 9)),
    ],
    ids=["the issuer's key", "one key twice", "eight"],
)
def test_no_record_names_these(named: tuple[Signer, ...]) -> None:
    """What verifying would refuse is not written in the first place."""
    with pytest.raises(Refused):
        make_record(signers=named)


@pytest.mark.parametrize(("name", "role"), [("", "employer"), ("x" * 201, "employer"), ("Emma", "Level II")])
def test_no_such_signer(name: str, role: str) -> None:
    """A signer has a name that can be read and a role that is known."""
    with pytest.raises(Refused):
        Signer(EXAMINER.did, name, role)


def test_a_record_without_further_signers_is_as_before() -> None:
    """Nothing is added where nobody else is to sign."""
    assert "signers" not in jcs.parse(make_signed())
    assert [one["id"] for one in jcs.parse(make_signed(signers=SIGNERS))["signers"]] == [
        EXAMINER.did,
        LEVEL_III.did,
        BOSS.did,
    ]
