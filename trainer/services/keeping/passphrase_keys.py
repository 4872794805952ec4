"""Data keys that a passphrase opens: new ones as they go to the disk, and those that stand there."""

from __future__ import annotations

import secrets
from dataclasses import dataclass, field

from trainer.errors import Refused
from trainer.languages import _
from trainer.records import sealed
from trainer.store.models import OwnSeal, Seal


@dataclass(frozen=True, slots=True)
class Fresh:
    """A new data key and how it goes to the disk."""

    key: bytes = field(repr=False)
    salt: str
    wrapped: str


def fresh(passphrase: str, again: str) -> Fresh:
    """A new data key under a passphrase. Call it before a writing transaction opens: it takes its time.

    Raises Refused for a passphrase that is too weak or not the same twice.
    """
    return under(secrets.token_bytes(sealed.KEY_BYTES), passphrase, again)


def under(key: bytes, passphrase: str, again: str) -> Fresh:
    """A key that is there already, under another passphrase; the same faults as `fresh`."""
    if passphrase != again:
        raise Refused(_("The two are not the same. Type the passphrase again, twice."))
    sealed.check(passphrase)
    salt = secrets.token_bytes(sealed.SALT_BYTES)
    return Fresh(key, salt.hex(), sealed.wrap(key, passphrase, salt))


def key_behind(kept: Seal | OwnSeal, passphrase: str) -> bytes:
    """The data key of a seal. Call it outside of a transaction. Raises Refused for a wrong passphrase."""
    return sealed.unwrap(kept.wrapped, passphrase, bytes.fromhex(kept.salt))
