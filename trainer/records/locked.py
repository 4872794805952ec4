"""A file that opens with a passphrase only: AES-256-GCM in pieces, its key from scrypt.

The head is MAGIC and the salt. Each piece is its length in four bytes and the sealed bytes; the nonce counts
the pieces and marks the last one, so that pieces left out, swapped or cut off are found. The head is covered
by every piece. Scrypt with N = 2^15, r = 8, p = 1 takes about 32 MB (RFC 7914; the size is common practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import BinaryIO

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from trainer.errors import Refused, Unreadable
from trainer.languages import _

MAGIC = b"MT locked file 1\n"
SALT_BYTES = 16
PIECE = 1024 * 1024
TAG = 16
LEAST_PASSPHRASE = 12


def is_locked(head: bytes) -> bool:
    """Whether a file begins as a locked one does."""
    return head.startswith(MAGIC)


def check(passphrase: str) -> None:
    """Raise Refused for a passphrase that is too short to lock anything."""
    if len(passphrase) < LEAST_PASSPHRASE:
        raise Refused(
            _(
                "Take a passphrase of %(least)s characters or more, for instance four words.",
                least=LEAST_PASSPHRASE,
            )
        )


def stretched(passphrase: str, salt: bytes) -> bytes:
    """The 256-bit key of a passphrase and a salt; slow and wide on purpose, so that guessing is."""
    return Scrypt(salt=salt, length=32, n=2**15, r=8, p=1).derive(passphrase.encode("utf-8"))


def lock(source: BinaryIO, target: BinaryIO, passphrase: str, salt: bytes) -> None:
    """Write the bytes of a file locked; ``salt`` is fresh for each file. Raises Refused as `check` does."""
    check(passphrase)
    head = MAGIC + salt
    cipher = AESGCM(stretched(passphrase, salt))
    target.write(head)
    for number, (piece, is_last) in enumerate(_pieces(source)):
        sealed = cipher.encrypt(_nonce(number, is_last), piece, head)
        target.write(len(sealed).to_bytes(4, "big") + sealed)


def unlock(source: BinaryIO, target: BinaryIO, passphrase: str) -> None:
    """Write the bytes that were locked. Raises Unreadable for a wrong passphrase or a file that was changed."""
    head = source.read(len(MAGIC) + SALT_BYTES)
    if not is_locked(head) or len(head) < len(MAGIC) + SALT_BYTES:
        raise Unreadable("This is no locked file.")
    cipher = AESGCM(stretched(passphrase, head[len(MAGIC) :]))
    number, coming = 0, _sealed(source)
    while coming:
        sealed, coming = coming, _sealed(source)
        try:
            target.write(cipher.decrypt(_nonce(number, not coming), sealed, head))
        except InvalidTag:
            raise Unreadable(
                "The passphrase is not the one of this file, or the file was changed. Type it again, "
                "or use another copy."
            ) from None
        number += 1
    if not number:
        raise Unreadable("The locked file is cut off. Use another copy.")


def _pieces(source: BinaryIO) -> Iterator[tuple[bytes, bool]]:
    """The bytes in pieces, each with whether it is the last; an empty file is one empty piece."""
    piece = source.read(PIECE)
    while True:
        following = source.read(PIECE)
        yield piece, not following
        if not following:
            return
        piece = following


def _sealed(source: BinaryIO) -> bytes:
    """The next sealed piece, nothing at the end. Raises Unreadable where it is not as long as is said before it."""
    length = int.from_bytes(source.read(4), "big")
    sealed = source.read(min(length, PIECE + TAG))
    if len(sealed) != length:
        raise Unreadable("The locked file was changed or is cut off. Use another copy.")
    return sealed


def _nonce(number: int, is_last: bool) -> bytes:
    return number.to_bytes(11, "big") + bytes([is_last])
