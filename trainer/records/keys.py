"""Ed25519 keys, their public names (did:key) and their key file.

Sources: RFC 8032 (Ed25519); the did:key method, section 3.1 "Format" (seen: its test vectors, see
tests/sources/vectors/did-key.json); multicodec prefixes 0xed 0x01 (public) and 0x80 0x26 (secret).
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cached_property, lru_cache
from typing import TYPE_CHECKING

import base58

from trainer.errors import Refused, Unreadable
from trainer.languages import _

if TYPE_CHECKING:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

DID_PREFIX = "did:key:"
_PUBLIC_CODEC = b"\xed\x01"
_SECRET_CODEC = b"\x80\x26"
_MAX_TEXT = 200


@dataclass(frozen=True)
class SigningKey:
    """One issuer's secret key. The seed is never shown by repr; keep its file readable by its owner only."""

    seed: bytes = field(repr=False)

    def __post_init__(self) -> None:
        if len(self.seed) != 32:
            raise Refused("An Ed25519 key is made from exactly 32 random bytes.")

    @classmethod
    def from_pem(cls, pem: bytes, passphrase: bytes | None = None) -> SigningKey:
        """Read a key file (PEM, PKCS#8); raise Unreadable if it is none or the passphrase is wrong."""
        from cryptography.exceptions import UnsupportedAlgorithm
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey
        from cryptography.hazmat.primitives.serialization import load_pem_private_key

        try:
            key = load_pem_private_key(pem, passphrase)
        except (ValueError, TypeError, UnsupportedAlgorithm):
            raise Unreadable(
                "The key file cannot be read: it must be a PEM file (PKCS#8), with its passphrase if it has one."
            ) from None
        if not isinstance(key, Ed25519PrivateKey):
            raise Unreadable("The key file holds a key of another kind; records are signed with Ed25519.")
        return cls(key.private_bytes_raw())

    @classmethod
    def from_multibase(cls, text: str) -> SigningKey:
        """Read a secret key in the multibase form of the published vectors (begins z3u2)."""
        return cls(_decode(text, _SECRET_CODEC))

    @cached_property
    def _private(self) -> Ed25519PrivateKey:
        from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

        return Ed25519PrivateKey.from_private_bytes(self.seed)

    @cached_property
    def public(self) -> bytes:
        """The public half, 32 bytes."""
        return self._private.public_key().public_bytes_raw()

    @cached_property
    def did(self) -> str:
        """The public name of the key, did:key:z6Mk..."""
        return did_of(self.public)

    @property
    def method(self) -> str:
        """The verification method that a signature names: the did with its own fragment."""
        return method_of(self.did)

    def sign(self, message: bytes) -> bytes:
        """Pure Ed25519 signature of the message, 64 bytes (RFC 8032, 5.1.6)."""
        return self._private.sign(message)

    def pem(self, passphrase: bytes | None = None) -> bytes:
        """Write the key file (PEM, PKCS#8), encrypted if a passphrase is given."""
        from cryptography.hazmat.primitives import serialization as form

        lock = form.BestAvailableEncryption(passphrase) if passphrase else form.NoEncryption()
        return self._private.private_bytes(form.Encoding.PEM, form.PrivateFormat.PKCS8, lock)


def did_of(public: bytes) -> str:
    """The did:key of a public key of 32 bytes."""
    if len(public) != 32:
        raise Refused("An Ed25519 public key has exactly 32 bytes.")
    return DID_PREFIX + multibase(_PUBLIC_CODEC + public)


def method_of(did: str) -> str:
    """The verification method id of a did:key: the did, #, and its multibase part again."""
    return f"{did}#{did.removeprefix(DID_PREFIX)}"


@lru_cache(maxsize=256)
def public_of(did: str) -> bytes:
    """The 32 bytes of a did:key; raise Unreadable for any other kind, codec, length or alphabet."""
    if not did.startswith(DID_PREFIX):
        raise Unreadable(_("%(did)s is not a key name; it must begin with did:key:z6Mk.", did=repr(did[:60])))
    public = _decode(did.removeprefix(DID_PREFIX), _PUBLIC_CODEC)
    if did_of(public) != did:
        raise Unreadable(
            _("The key name is not written in its one right form; copy it again from the issuer.")
        )
    return public


def is_genuine(did: str, message: bytes, signature: bytes) -> bool:
    """Say whether the key named by the did made this signature over this message."""
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PublicKey

    try:
        Ed25519PublicKey.from_public_bytes(public_of(did)).verify(signature, message)
    except (InvalidSignature, ValueError):
        return False
    return True


def multibase(data: bytes) -> str:
    """Base58 (bitcoin alphabet) with its multibase letter z."""
    return "z" + str(base58.b58encode(data).decode("ascii"))


def from_multibase(text: str) -> bytes:
    """The bytes of a z... text; raise Unreadable if it is not base58."""
    if not text.startswith("z") or len(text) > _MAX_TEXT or not text.isascii():
        raise Unreadable(_("A key or signature must be written in base58 and begin with z."))
    try:
        return bytes(base58.b58decode(text[1:]))
    except ValueError:
        raise Unreadable(_("A key or signature holds a character that base58 does not have.")) from None


def _decode(text: str, codec: bytes) -> bytes:
    raw = from_multibase(text)
    if not raw.startswith(codec) or len(raw) != 34:
        raise Unreadable(_("The key name is not that of an Ed25519 key; it must begin with did:key:z6Mk."))
    return raw[2:]
