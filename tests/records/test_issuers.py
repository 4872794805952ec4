"""The pinned issuers and the change of a key."""

from __future__ import annotations

import json
from datetime import date

import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from record_cases import ISSUERS, SHOP, STRANGER, make_signed

from trainer.errors import Refused, Unreadable
from trainer.records import issuers, jcs, proof
from trainer.records.issuers import Issuer
from trainer.records.keys import SigningKey
from trainer.records.verification import verify

NEW = SigningKey(bytes(range(9, 41)))
PINNED = (Issuer(SHOP.did, "Tarn Valley", date(2025, 1, 1)),)
TIME = "2026-05-01T08:00:00Z"


def introduced(old: SigningKey = SHOP, new: SigningKey = NEW) -> dict[str, jcs.Json]:
    """A good introduction."""
    return issuers.introduction(
        old, new, "Tarn Valley", "urn:uuid:2c0b6a2e-0000-4000-8000-00000000000a", TIME
    )


def test_list_reads_back() -> None:
    """What is written is read back to the same list."""
    assert issuers.read(issuers.write(ISSUERS)) == ISSUERS


@given(st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=50).filter(str.strip))
@example("".join(map(chr, range(128))))  # TOML 1.0 has control characters in a text only as escapes
def test_any_name_reads_back(name: str) -> None:
    """Quotation marks, backslashes, control characters and foreign letters in a name survive."""
    listed = (Issuer(SHOP.did, name),)
    assert issuers.read(issuers.write(listed)) == listed


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[[issuer", "not TOML"),
        ("issuer = 3", "begins with"),
        ("[other]\na = 1", "begins with"),
        ("issuer = [3]", "issuer 1"),
        ('[[issuer]]\nname = "x"', "did"),
        (f'[[issuer]]\ndid = "{SHOP.did}"', "name"),
        (f'[[issuer]]\ndid = "{SHOP.did}"\nname = ""', "1 to 200"),
        ('[[issuer]]\ndid = "did:web:x"\nname = "x"', "did:key"),
        (f'[[issuer]]\ndid = "{SHOP.did}"\nname = "x"\nfrom = 1', "'from'"),
        (f'[[issuer]]\ndid = "{SHOP.did}"\nname = "x"\nvalid_from = "2026-03-02"', "quotation marks"),
        (f'[[issuer]]\ndid = "{SHOP.did}"\nname = "x"\nvalid_to = 2026-03-02T10:00:00Z', "a day"),
        (f'[[issuer]]\ndid = "{SHOP.did}"\nname = "x"\nintroduced_by = 3', "introduced_by"),
        (f'[[issuer]]\ndid = "{SHOP.did}"\nname = "x"\nbeside_only = "yes"', "true or false"),
        (
            f'[[issuer]]\ndid = "{SHOP.did}"\nname = "x"\nvalid_from = 2026-03-02\nvalid_to = 2026-03-01',
            "ends before",
        ),
        (f'[[issuer]]\ndid = "{SHOP.did}"\nname = "x"\n' * 2, "twice"),
    ],
)
def test_faults_of_a_list_are_named(text: str, says: str) -> None:
    """A wrong list is refused with the file, the issuer and what to write."""
    with pytest.raises(Unreadable, match=says) as fault:
        issuers.read(text, "mine.toml")
    assert "mine.toml" in str(fault.value)


def test_a_new_key_is_introduced_by_the_old_one() -> None:
    """After the introduction both old and new records are valid; an old-key record dated later is not."""
    grown = issuers.accept(PINNED, jcs.written(introduced()))
    assert grown[1] == Issuer(NEW.did, "Tarn Valley", date(2026, 5, 1), None, SHOP.did)
    assert grown[0].valid_to == date(2026, 5, 1)
    day = date(2026, 6, 1)
    assert verify(make_signed(), grown, day).verdict == "valid"
    assert verify(make_signed(NEW, "2026-05-20T08:00:00Z"), grown, day).verdict == "valid"
    assert verify(make_signed(SHOP, "2026-05-20T08:00:00Z"), grown, day).verdict == "unknown issuer"
    assert verify(make_signed(NEW, "2026-04-20T08:00:00Z"), grown, day).verdict == "unknown issuer"


def test_an_introduction_is_no_record() -> None:
    """An introduction never verifies as the record of a person."""
    assert verify(jcs.written(introduced()), PINNED, date(2026, 6, 1)).verdict == "unreadable"


def spoilt_introductions() -> dict[str, dict[str, jcs.Json]]:
    """Introductions that must not be followed."""
    good = introduced()
    bare = {name: value for name, value in good.items() if name != "proof"}
    return {
        "name changed": {**good, "credentialSubject": {**good["credentialSubject"], "name": "Other"}},
        "key changed": {**good, "credentialSubject": {**good["credentialSubject"], "id": STRANGER.did}},
        "by the old key alone": proof.sign(bare, SHOP, TIME),
        "by the new key alone": proof.sign(bare, NEW, TIME),
        "by a stranger": introduced(STRANGER),
        "by a stranger in the shop's name": proof.sign(proof.sign(bare, STRANGER, TIME), NEW, TIME),
        "of a key on the list": introduced(SHOP, SHOP),
    }


@pytest.mark.parametrize("name", spoilt_introductions())
def test_spoilt_introductions_are_refused(name: str) -> None:
    """Only the old key on the list, together with the new key, can introduce."""
    with pytest.raises(Refused):
        issuers.accept(PINNED, jcs.written(spoilt_introductions()[name]))


@pytest.mark.parametrize(
    "data", [b"{}", b"[]", b"3", b"{", json.dumps({"type": ["KeyIntroduction"]}).encode()]
)
def test_what_is_no_introduction_is_said(data: bytes) -> None:
    """Another kind of file gets a sentence."""
    with pytest.raises(Unreadable):
        issuers.accept(PINNED, data)


def test_speaking_for_an_issuer_goes_in_steps() -> None:
    """A key speaks for those that introduced it, however many steps back, and never in a circle."""
    one, two, three = (SigningKey(bytes([n]) * 32).did for n in (1, 2, 3))
    line = (Issuer(one, "a"), Issuer(two, "a", introduced_by=one), Issuer(three, "a", introduced_by=two))
    assert issuers.speaks_for(line, three, one)
    assert not issuers.speaks_for(line, one, three)
    circle = (Issuer(one, "a", introduced_by=two), Issuer(two, "a", introduced_by=one))
    assert not issuers.speaks_for(circle, one, three)


@pytest.mark.parametrize(
    "change",
    [
        {"type": ["VerifiableCredential"]},
        {"issuer": {"id": 3}},
        {"credentialSubject": {"id": NEW.did, "name": None}},
        {"validFrom": "soon"},
    ],
)
def test_a_signed_file_that_introduces_nobody_is_unreadable(change: dict[str, jcs.Json]) -> None:
    """Two good signatures do not make an introduction of something else."""
    bare = {name: value for name, value in introduced().items() if name != "proof"} | change
    data = jcs.written(proof.sign(proof.sign(bare, SHOP, TIME), NEW, TIME))
    with pytest.raises(Unreadable, match="not the introduction"):
        issuers.accept(PINNED, data)


def test_the_next_key_of_a_signer_issues_nothing_either() -> None:
    """What is believed beside an issuer only introduces a key that is believed beside an issuer only."""
    pinned = (Issuer(SHOP.did, "Ian", beside_only=True),)
    assert issuers.accept(pinned, jcs.written(introduced()))[-1].beside_only
    assert not issuers.accept(PINNED, jcs.written(introduced()))[-1].beside_only
