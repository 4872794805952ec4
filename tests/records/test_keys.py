"""Keys, their names and their file."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.errors import Refused, Unreadable
from trainer.records import keys
from trainer.records.keys import SigningKey

SEEDS = st.binary(min_size=32, max_size=32)


@given(SEEDS, st.binary(max_size=64))
def test_only_the_key_itself_signs(seed: bytes, message: bytes) -> None:
    """A signature fits its key and message, and neither another key nor another message."""
    key, other = SigningKey(seed), SigningKey(bytes(32) if seed != bytes(32) else bytes(31) + b"\x01")
    signature = key.sign(message)
    assert keys.is_genuine(key.did, message, signature)
    assert not keys.is_genuine(other.did, message, signature)
    assert not keys.is_genuine(key.did, message + b"x", signature)


@given(SEEDS)
def test_a_key_name_leads_back_to_the_key(seed: bytes) -> None:
    """The did names exactly the public key."""
    key = SigningKey(seed)
    assert key.did.startswith("did:key:z6Mk")
    assert keys.public_of(key.did) == key.public


def test_key_file_reads_back() -> None:
    """A key file gives the same key, plain and with a passphrase."""
    key = SigningKey(bytes(range(32)))
    assert SigningKey.from_pem(key.pem()) == key
    assert SigningKey.from_pem(key.pem(b"draw hook"), b"draw hook") == key


def test_secret_is_not_shown() -> None:
    """The seed does not appear when a key is printed by accident."""
    assert "seed" not in repr(SigningKey(bytes(range(32))))


@pytest.mark.parametrize(
    ("pem", "passphrase"),
    [
        (b"", None),
        (b"no key", None),
        (SigningKey(bytes(32)).pem(b"x"), None),
        (SigningKey(bytes(32)).pem(b"x"), b"y"),
    ],
    ids=["empty", "noise", "no passphrase", "wrong passphrase"],
)
def test_bad_key_files(pem: bytes, passphrase: bytes | None) -> None:
    """A key file that cannot be read gets a sentence."""
    with pytest.raises(Unreadable, match="key file"):
        SigningKey.from_pem(pem, passphrase)


def test_key_file_of_another_kind() -> None:
    """A key for another algorithm is named as such."""
    from cryptography.hazmat.primitives import serialization as form
    from cryptography.hazmat.primitives.asymmetric.x25519 import X25519PrivateKey

    pem = X25519PrivateKey.generate().private_bytes(
        form.Encoding.PEM, form.PrivateFormat.PKCS8, form.NoEncryption()
    )
    with pytest.raises(Unreadable, match="another kind"):
        SigningKey.from_pem(pem)


@pytest.mark.parametrize("seed", [b"", bytes(31), bytes(33)])
def test_seed_has_32_bytes(seed: bytes) -> None:
    """A key is made from exactly 32 bytes."""
    with pytest.raises(Refused):
        SigningKey(seed)


@given(st.text(max_size=80))
def test_noise_is_no_key_name(text: str) -> None:
    """No noise is taken for a key name."""
    with pytest.raises(Unreadable):
        keys.public_of("did:key:" + text)


def test_a_name_with_a_blank_behind_is_refused() -> None:
    """A key name is accepted in one form only."""
    with pytest.raises(Unreadable):
        keys.public_of(SigningKey(bytes(32)).did + " ")


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("z0OIl", "base58 does not have"),
        ("z" * 200, "not that of an Ed25519 key"),
        ("z" * 201, "must be written in base58"),
        (keys.multibase(b"\xed\x01" + bytes(31)), "not that of an Ed25519 key"),
        (keys.multibase(b"\x12\x00" + bytes(32)), "not that of an Ed25519 key"),
    ],
)
def test_what_is_wrong_with_a_key_name_is_said(text: str, says: str) -> None:
    """Letters that the alphabet lacks, a text too long to be read at all, a key too short or of another kind."""
    with pytest.raises(Unreadable, match=says):
        keys.public_of("did:key:" + text)


def test_a_secret_key_of_the_vectors_reads_back() -> None:
    """The multibase form of the published vectors holds the seed behind its codec, and no public key."""
    seed = bytes(range(32))
    assert SigningKey.from_multibase(keys.multibase(b"\x80\x26" + seed)).seed == seed
    with pytest.raises(Unreadable):
        SigningKey.from_multibase(keys.multibase(b"\xed\x01" + seed))


@pytest.mark.parametrize("size", [31, 33])
def test_a_public_key_has_32_bytes(size: int) -> None:
    """Nothing else has a name."""
    with pytest.raises(Refused, match="exactly 32 bytes"):
        keys.did_of(bytes(size))
