"""Change the signing key: the old key introduces the new one, and what it signed stays verifiable.

The file that does so is signed by both keys. Whoever has the old key on their list of issuers takes it up; the
old key then counts for what it signed up to that day, and signs nothing more.
"""

from __future__ import annotations

from datetime import datetime
from hashlib import sha256
from pathlib import Path

from sqlalchemy.orm import Session

from trainer.records import issuers as pinning
from trainer.records import jcs
from trainer.records.keys import SigningKey
from trainer.services.keeping import audit
from trainer.services.proving import exporting, issuers, signing_key
from trainer.services.proving.records import time_text

FOLDER = "introductions"


def rotate(session: Session, instance: Path, new: SigningKey, document_id: str, now: datetime) -> Path:
    """Put ``new`` in the place of the present key and return the introduction to hand out.

    ``document_id`` is a fresh urn:uuid. The chain so far is sealed by the old key first. Raises NotFound where
    there is no key, Refused where the present key is no longer to be believed: a lost key introduces nothing.
    """
    old = signing_key.load(instance)
    issuers.ensure_own(instance, old.did)
    own = pinning.find(issuers.pinned(instance), old.did)
    name = own.name if own else issuers.OWN_NAME
    data = jcs.written(pinning.introduction(old, new, name, document_id, time_text(now)))
    exporting.keep_head(session, old, now)
    facts: dict[str, str | int | None] = {"introduced_by": old.did, "digest": sha256(data).hexdigest()}
    audit.note(session, None, "signing key changed", new.did, now, facts=facts)
    session.flush()  # whatever the store has to say comes before the files are touched
    file = _kept(instance, data, new.did, now)
    issuers.introduce_own(instance, data)
    signing_key.replace(instance, new)
    return file


def introductions(instance: Path) -> list[Path]:
    """The introductions of this installation's own keys, oldest first."""
    return sorted((instance / FOLDER).glob("*.json"))


def _kept(instance: Path, data: bytes, did: str, now: datetime) -> Path:
    folder = instance / FOLDER
    folder.mkdir(exist_ok=True)
    file = folder / f"{time_text(now).replace(':', '')}-{did[-8:]}.json"
    file.write_bytes(data)
    return file
