"""The shape of the exported record, and what it says and never says."""

from __future__ import annotations

import json
from datetime import date
from decimal import Decimal
from pathlib import Path
from typing import Any

import jsonschema
import pytest
from record_cases import ENTRIES, ROWS, SHOP, SIGNED_AT, STRANGER, make_record, make_signed

from trainer.errors import Refused
from trainer.records import credential, proof
from trainer.records.keys import SigningKey
from trainer.records.record import Row, entry_facts, good_until, headline, plain
from trainer.records.statuslist import StatusPlace

OB3 = json.loads(
    (Path(__file__).parents[1] / "sources" / "vectors" / "ob3-subset.json").read_text(encoding="utf-8")
)


def documents() -> list[dict[str, Any]]:
    """Records of several shapes."""
    bare = make_record(rows=(), entries=(), status=(), head=None, inclusions={}, valid_until=None)
    return [
        json.loads(make_signed()),
        credential.build(bare),
        credential.build(make_record(overall="expired")),
    ]


@pytest.mark.parametrize("document", documents(), ids=["full", "bare", "expired"])
def test_it_has_the_shape_of_open_badges(document: dict[str, Any]) -> None:
    """Our own schema of the Open Badges 3.0 subset (class list seen) accepts it, results name their descriptions."""
    jsonschema.Draft202012Validator(OB3["schema"]).validate(document)
    subject = document["credentialSubject"]
    described = {one["id"] for one in subject["achievement"]["resultDescription"]}
    assert {one["resultDescription"] for one in subject["result"]} == described


def test_decimals_keep_their_digits() -> None:
    """Decimals are signed as text, digit by digit; no number in the record is a binary fraction."""
    document = json.loads(make_signed(), parse_float=lambda text: pytest.fail(f"{text} is a float"))
    assert document["credentialSubject"]["result"][1]["value"] == "85.30"
    assert document["evidence"][0]["entry"]["hours"] == "20.0"


def test_it_never_says_that_it_certifies() -> None:
    """The only words about certifying are that the employer and its Level III decide."""
    text = make_signed().decode().lower()
    assert text.count("certified") == text.count("whether the person is certified is decided by the employer")
    assert "certification" not in text
    assert "met on 2026-03-02 on these records" in text


def test_the_same_record_is_the_same_file() -> None:
    """Built twice, the record has the same bytes."""
    assert make_signed() == make_signed()


def test_entries_come_back() -> None:
    """The ledger entries can be taken over elsewhere, in order and in the form of the history format."""
    assert credential.entries_in(json.loads(make_signed())) == [plain(entry) for entry in ENTRIES]
    assert credential.entries_in({"evidence": "none"}) == []


def test_two_status_places_stand_in_a_list() -> None:
    """One place stands alone, two in a list."""
    place = StatusPlace("urn:uuid:2c0b6a2e-0000-4000-8000-000000000009", "suspension", 3)
    document = credential.build(make_record(status=(*make_record().status, place)))
    assert [one["statusPurpose"] for one in document["credentialStatus"]] == ["revocation", "suspension"]


def test_a_key_that_is_not_the_issuers_is_refused() -> None:
    """The record is signed by the issuer that it names or not at all."""
    with pytest.raises(Refused, match="another issuer"):
        credential.signed(make_record(), STRANGER, SIGNED_AT)


def test_a_time_of_another_form_is_refused() -> None:
    """The time of signing has one form."""
    with pytest.raises(Refused, match="time of signing"):
        credential.signed(make_record(), SHOP, "2 March 2026")


def test_a_record_too_large_to_verify_is_refused() -> None:
    """What no verifier would read is not written."""
    entries = tuple({**ENTRIES[0], "id": f"e{n}", "note": "x" * 900} for n in range(1200))
    with pytest.raises(Refused, match="too large"):
        make_signed(entries=entries)


def test_good_until_is_the_earliest_end_of_what_is_met() -> None:
    """Ends of prerequisites that are not met, or that have passed, do not count."""
    on = date(2026, 3, 2)
    ends = [
        ("met", date(2027, 1, 1)),
        ("met", date(2026, 12, 18)),
        ("expired", date(2026, 1, 1)),
        ("met", None),
    ]
    rows = tuple(
        Row(f"r{n}", "", verdict, None, None, None, until, "", "") for n, (verdict, until) in enumerate(ends)
    )
    assert good_until(rows, on) == date(2026, 12, 18)
    assert good_until((), on) is None
    assert good_until(ROWS, on) == date(2026, 12, 18)


@pytest.mark.parametrize(
    ("overall", "words"), [("met", "met on"), ("expired", "expired on"), ("not_met", "not all met on")]
)
def test_headline(overall: str, words: str) -> None:
    """The headline says what was found and on which day."""
    assert f"{words} 2026-03-02 on these records." in headline(make_record(overall=overall))


@pytest.mark.parametrize("value", [1.5, float("nan"), Decimal("NaN"), 2**60, object(), {"a": [1.5]}])
def test_what_cannot_be_signed_exactly_is_refused(value: object) -> None:
    """Binary fractions, numbers without end and strange things are not signed."""
    with pytest.raises(Refused):
        plain(value)


def test_the_largest_whole_number_is_signed() -> None:
    """2**53 - 1 is the last that every reader of JSON has exactly (RFC 8259, 6); one more is refused."""
    for edge in (2**53 - 1, 1 - 2**53):
        assert plain(edge) == edge
        with pytest.raises(Refused):
            plain(edge + (1 if edge > 0 else -1))


@pytest.mark.parametrize(
    "change",
    [{"id": "7"}, {"overall": "certified"}, {"valid_until": date(2026, 1, 1)}],
    ids=lambda one: next(iter(one)),
)
def test_a_record_checks_itself(change: dict[str, Any]) -> None:
    """A record that contradicts itself is never made."""
    with pytest.raises(Refused):
        make_record(**change)


def test_a_row_checks_its_verdict() -> None:
    """A prerequisite is met, not met or expired."""
    with pytest.raises(Refused):
        Row("r", "", "passed", None, None, None, None, "", "")


def test_a_record_bears_eight_signatures_at_most() -> None:
    """One more than a verifier reads is not added."""
    document = json.loads(make_signed())
    for number in range(1, proof.MAX_SIGNATURES):
        document = proof.sign(document, SigningKey(bytes([number]) * 32), SIGNED_AT)
    assert len(proof.signatures(document)) == proof.MAX_SIGNATURES == 8
    with pytest.raises(Refused, match=f"at most {proof.MAX_SIGNATURES} signatures"):
        proof.sign(document, SHOP, SIGNED_AT)


def test_facts_are_written_in_words() -> None:
    """Yes and no, members by name, lists with semicolons."""
    entry = {"facts": {"near_vision": True, "colour": False, "eyes": [1, {"left_eye": "J1"}]}}
    assert "near vision yes" in entry_facts(entry)
    assert "colour no" in entry_facts(entry)
    assert "1; left eye J1" in entry_facts(entry)
