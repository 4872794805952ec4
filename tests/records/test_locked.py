"""A locked file opens with its passphrase only, whole or not at all."""

from __future__ import annotations

import hashlib
import io

import pytest
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.errors import Refused, Unreadable
from trainer.records.locked import MAGIC, PIECE, is_locked, lock, unlock

WORDS = "axle draw hook coil"
SALT = bytes(range(16))


def locked(data: bytes, words: str = WORDS) -> bytes:
    """Bytes, locked."""
    out = io.BytesIO()
    lock(io.BytesIO(data), out, words, SALT)
    return out.getvalue()


def unlocked(data: bytes, words: str = WORDS) -> bytes:
    """Locked bytes, opened."""
    out = io.BytesIO()
    unlock(io.BytesIO(data), out, words)
    return out.getvalue()


@pytest.mark.parametrize("size", [0, 1, PIECE - 1, PIECE, PIECE + 1, 3 * PIECE])
def test_what_is_locked_opens_again(size: int) -> None:
    """Every size comes back to the byte, also at the seams of pieces, and does not show its content."""
    data = bytes(n % 251 for n in range(min(size, 4096))) * (size // 4096 + 1)
    data = data[:size]
    there = locked(data)
    assert is_locked(there)
    assert size < 20 or data[:20] not in there
    assert unlocked(there) == data


def test_the_form_is_the_one_that_is_described() -> None:
    """Files of earlier days open: one written from the description alone, with scrypt (RFC 7914) of OpenSSL."""
    key = hashlib.scrypt(WORDS.encode(), salt=SALT, n=2**15, r=8, p=1, maxmem=2**26, dklen=32)
    head = MAGIC + SALT
    whole = head
    for number, piece in enumerate((b"records ", b"of people")):
        nonce = number.to_bytes(11, "big") + (b"\x01" if piece == b"of people" else b"\x00")
        shut = AESGCM(key).encrypt(nonce, piece, head)
        whole += len(shut).to_bytes(4, "big") + shut
    assert unlocked(whole) == b"records of people"


def test_another_passphrase_opens_nothing() -> None:
    """A wrong passphrase is said in a sentence."""
    with pytest.raises(Unreadable, match="passphrase"):
        unlocked(locked(b"records"), "axle draw hook coi1")


def test_a_short_passphrase_locks_nothing() -> None:
    """Before anything is written a short passphrase is refused."""
    with pytest.raises(Refused, match="12 characters"):
        locked(b"records", "short")


GOOD = locked(b"records of people " * 5)


@settings(max_examples=60)
@given(place=st.integers(0, len(GOOD) - 1), flip=st.integers(1, 255))
def test_a_changed_byte_opens_nothing(place: int, flip: int) -> None:
    """One byte changed anywhere and the file does not open."""
    spoilt = bytearray(GOOD)
    spoilt[place] ^= flip
    with pytest.raises(Unreadable):
        unlocked(bytes(spoilt))


def test_pieces_left_out_or_swapped_are_found() -> None:
    """A file without its last piece, or with two in the other order, does not open."""
    there = locked(b"a" * PIECE + b"b" * PIECE + b"c")
    start, step = len(MAGIC) + len(SALT), PIECE + 16 + 4
    first, second, rest = (
        there[start : start + step],
        there[start + step : start + 2 * step],
        there[start + 2 * step :],
    )
    for other in (
        there[: start + 2 * step],
        there[:start] + second + first + rest,
        there[:start],
        there[:10],
    ):
        with pytest.raises(Unreadable):
            unlocked(other)


@pytest.mark.parametrize("cut", [1, 40, len(GOOD) - len(MAGIC) - len(SALT) - 2])
def test_a_file_that_was_cut_off_is_said_to_be(cut: int) -> None:
    """A piece shorter than is written before it is no piece; the sentence asks for another copy."""
    with pytest.raises(Unreadable, match="another copy"):
        unlocked(GOOD[:-cut])
    with pytest.raises(Unreadable, match="no locked file"):
        unlocked(GOOD[: len(MAGIC) + len(SALT) - 1])
