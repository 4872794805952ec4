"""The signing key of an installation: one file in the instance folder, for its owner's eyes only."""

from __future__ import annotations

import os
import secrets
import stat
from pathlib import Path
from uuid import uuid4

from trainer import private_files
from trainer.errors import NotFound
from trainer.languages import _
from trainer.records.keys import SigningKey
from trainer.services.proving import issuers

KEY_FILE = "signing.key"
OTHERS = stat.S_IRWXG | stat.S_IRWXO


def ensure(instance: Path) -> SigningKey:
    """The key of this installation; made at the first call, with mode 600, and put on the list of issuers.

    Raises Unreadable for a file that is no key.
    """
    key = fresh()
    try:
        private_files.create(instance / KEY_FILE, key.pem())
    except FileExistsError:
        return load(instance)
    issuers.ensure_own(instance, key.did)
    return key


def load(instance: Path) -> SigningKey:
    """The key of this installation. Raises NotFound where there is none, Unreadable for no key."""
    try:
        pem = (instance / KEY_FILE).read_bytes()
    except FileNotFoundError:
        raise NotFound(
            _(
                "There is no signing key in %(instance)s. 'trainer serve' makes one; if there was "
                "one, bring it back from the place where it is kept, or employers will not know the "
                "records.",
                instance=instance,
            )
        ) from None
    return SigningKey.from_pem(pem)


def fresh() -> SigningKey:
    """A key that nobody has."""
    return SigningKey(secrets.token_bytes(32))


def fresh_urn() -> str:
    """A name for a signed document that no other has."""
    return uuid4().urn


def replace(instance: Path, key: SigningKey) -> None:
    """Put another key in the place of the present one, as a whole; the present one is gone then."""
    private_files.replace(instance / KEY_FILE, key.pem())


def is_private(instance: Path) -> bool:
    """Whether nobody but its owner may read the key file; always so where a system has no such modes."""
    return os.name == "nt" or not (instance / KEY_FILE).stat().st_mode & OTHERS
