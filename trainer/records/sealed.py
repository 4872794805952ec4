"""Facts of one examination, shut inside the records: AES-256-GCM under a data key of its own.

The data key is chance. It is kept only wrapped: sealed itself under a key stretched from a passphrase, as a
locked file is (records/locked). What is sealed is filled up with spaces to a multiple of a length, since the
exact length of a text tells which one of a known bank it is. Nonces are chance of 96 bits: for far fewer than
2^32 sealings under one key that is the way of NIST SP 800-38D, 8.2.2 (from memory, unconfirmed).
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import hmac
import json
import unicodedata
from typing import Any

from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM

from trainer.errors import Refused, Unreadable
from trainer.languages import _
from trainer.records import locked

KEY_BYTES = 32
SALT_BYTES = locked.SALT_BYTES
NONCE_BYTES = 12
ONCE = bytes(NONCE_BYTES)  # the stretched key is new with each salt and seals one thing only
LEAST_DIFFERENT = 5


def check(passphrase: str) -> None:
    """Raise Refused for a passphrase that is too short or of too few characters to keep anything shut."""
    locked.check(passphrase)
    if len(set(passphrase)) < LEAST_DIFFERENT:
        raise Refused(_("This passphrase is easily guessed. Take four words that do not belong together."))


def wrap(key: bytes, passphrase: str, salt: bytes) -> str:
    """The data key shut under the passphrase; ``salt`` is fresh for each. Takes about a tenth of a second."""
    return _text(AESGCM(_stretched(passphrase, salt)).encrypt(ONCE, key, salt))


def unwrap(wrapped: str, passphrase: str, salt: bytes) -> bytes:
    """The data key. Raises Refused where this is not its passphrase, or where it was changed."""
    try:
        return AESGCM(_stretched(passphrase, salt)).decrypt(ONCE, _bytes(wrapped), salt)
    except InvalidTag:
        raise Refused(
            _("This is not the passphrase that was given when it was sealed. Type it again.")
        ) from None


def seal(key: bytes, facts: Any, nonce: bytes, about: str, room: int) -> str:
    """Facts (as JSON has them) sealed; ``about`` must be said again to open them, ``room`` is the length in bytes."""
    plain = json.dumps(facts, ensure_ascii=False).encode()
    plain += b" " * (-len(plain) % room)
    return _text(nonce + AESGCM(key).encrypt(nonce, plain, about.encode()))


def unseal(key: bytes, sealed: str, about: str) -> Any:
    """The facts that were sealed. Raises Unreadable for another key, other words, or a byte that was changed."""
    data = _bytes(sealed)
    try:
        plain = AESGCM(key).decrypt(data[:NONCE_BYTES], data[NONCE_BYTES:], about.encode())
        return json.loads(plain.decode().rstrip(" "))
    except (InvalidTag, ValueError):
        raise Unreadable(
            _("What is sealed of this examination was changed on the disk. Bring back a backup.")
        ) from None


def name(key: bytes, word: str) -> str:
    """A name that finds a word again with the key, and tells nothing without it."""
    return hmac.new(key, f"name {word}".encode(), hashlib.sha256).hexdigest()


def _stretched(passphrase: str, salt: bytes) -> bytes:
    """One key for one passphrase, whichever way the keyboard composes its letters."""
    return locked.stretched(unicodedata.normalize("NFC", passphrase), salt)


def _text(data: bytes) -> str:
    return base64.b64encode(data).decode("ascii")


def _bytes(text: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        return b""
