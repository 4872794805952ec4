"""What stands on the disk of a sealed examination's papers, and how the running program reads it.

Everything that tells an item (which one, its seed, its numbers, the edition) is sealed with the data key of the
sitting from the moment it is drawn until the close. The key is in the store's keyring or nowhere: after a start
the examination is locked, and whatever needs an item raises NotNow until the invigilator has unlocked it.
"""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import delete, select
from sqlalchemy.orm import Session, object_session

from trainer.errors import NotNow
from trainer.languages import N_, _
from trainer.records import sealed
from trainer.services.keeping import audit, own_contents
from trainer.store.keyring import keyring_of
from trainer.store.models import Edition, PaperAnswer, PrintedPaper, SealedEdition, Sitting

if TYPE_CHECKING:
    from trainer.bank import Entry, QuestionEntry

SEALED, SITTING = "sealed", "sitting"
# Bytes that sealed facts are filled up to a multiple of: an item (the longest of the shipped bank has 268), a
# printed paper, an edition.
ITEM_ROOM, PAPER_ROOM, EDITION_ROOM = 512, 8192, 8192
LOCKED = N_(
    "This examination is locked since the program was started anew. The invigilator must unlock it with its "
    "passphrase, on its page; what was kept is kept. Then go back and go on."
)


def is_sealed(sitting: Sitting) -> bool:
    """Whether what tells the papers of a sitting is sealed on the disk."""
    return sitting.seal is not None and sitting.seal.opened_at is None


def is_locked(session: Session, sitting: Sitting) -> bool:
    """Whether a sitting is sealed and the running program has not its key."""
    return is_sealed(sitting) and keyring_of(session).key(sitting.id) is None


def shut(session: Session, sitting: Sitting, facts: dict[str, Any], room: int) -> dict[str, Any]:
    """Facts as they go to the disk: sealed if the sitting is, else as they are. Raises NotNow while it is locked."""
    if not is_sealed(sitting):
        return facts
    key, nonce = _key(session, sitting.id), secrets.token_bytes(sealed.NONCE_BYTES)
    return {SEALED: sealed.seal(key, facts, nonce, _about(sitting.id), room), SITTING: sitting.id}


def opened(session: Session, kept: dict[str, Any]) -> dict[str, Any]:
    """Facts as they were before `shut`. Raises NotNow while the sitting is locked."""
    if SEALED not in kept:
        return kept
    facts: dict[str, Any] = sealed.unseal(_key(session, kept[SITTING]), kept[SEALED], _about(kept[SITTING]))
    return facts


def is_readable(session: Session, kept: Mapping[str, Any]) -> bool:
    """Whether facts can be opened now: they are not sealed, or the key is there."""
    return SEALED not in kept or keyring_of(session).key(kept[SITTING]) is not None


def facts(row: PaperAnswer) -> dict[str, Any]:
    """The facts of an item. Raises NotNow while its examination is locked."""
    session = object_session(row)
    return row.exercise if session is None else opened(session, row.exercise)


def keep_editions(session: Session, sitting: Sitting, entries: Iterable[Entry | QuestionEntry]) -> None:
    """Keep the editions of a sealed paper's items that are not kept yet. Raises NotNow while it is locked."""
    key = _key(session, sitting.id)
    named = {sealed.name(key, entry.edition): entry for entry in entries}
    held = select(SealedEdition.name).where(
        SealedEdition.sitting_id == sitting.id, SealedEdition.name.in_(named)
    )
    for name in named.keys() - set(session.scalars(held)):
        entry = named[name]
        facts = {"hash": entry.edition, "drill": entry.id, "content": entry.content}
        nonce = secrets.token_bytes(sealed.NONCE_BYTES)
        text = sealed.seal(key, facts, nonce, _about(sitting.id), EDITION_ROOM)
        session.add(SealedEdition(sitting_id=sitting.id, name=name, sealed=text))
    session.flush()  # the next paper looks for them


def edition(session: Session, edition_hash: str) -> Any:
    """The content of an edition that is kept under a seal whose key is held; None if there is none."""
    for sitting_id, key in keyring_of(session).all().items():
        wanted = select(SealedEdition).where(
            SealedEdition.sitting_id == sitting_id, SealedEdition.name == sealed.name(key, edition_hash)
        )
        row = session.scalars(wanted).one_or_none()
        if row is not None:
            return sealed.unseal(key, row.sealed, _about(sitting_id))["content"]
    return None


def open_for_good(session: Session, sitting: Sitting, now: datetime) -> None:
    """Write everything of a sitting back in plain: papers, printed papers, editions. Raises NotNow while locked.

    Own items for examinations stay sealed under their own passphrase.

    All of it is the caller's one transaction, with the scores.
    """
    if sitting.seal is None or sitting.seal.opened_at is not None:
        return
    key = _key(session, sitting.id)
    rows = list(session.scalars(select(SealedEdition).where(SealedEdition.sitting_id == sitting.id)))
    behind = [sealed.unseal(key, row.sealed, _about(sitting.id)) for row in rows]
    hashes = [kept["hash"] for kept in behind]
    known = set(session.scalars(select(Edition.hash).where(Edition.hash.in_(hashes))))
    for kept in behind:
        if kept["hash"] not in known:
            content = own_contents.content_to_keep(session, kept["drill"], kept["content"])
            session.add(Edition(hash=kept["hash"], drill_id=kept["drill"], content=content, kept_at=now))
    session.execute(delete(SealedEdition).where(SealedEdition.sitting_id == sitting.id))
    for paper in sitting.papers:
        for answer in paper.answers:
            answer.exercise = opened(session, answer.exercise)
    for printed in session.scalars(select(PrintedPaper).where(PrintedPaper.sitting_id == sitting.id)):
        printed.items = opened(session, printed.items)
    if sitting.tally is not None:
        sitting.tally = opened(session, sitting.tally)
    sitting.seal.opened_at = now
    audit.note(session, None, "examination unsealed", sitting.id, now)


def _key(session: Session, sitting_id: int) -> bytes:
    key = keyring_of(session).key(sitting_id)
    if key is None:
        raise NotNow(_(LOCKED))
    return key


def _about(sitting_id: int) -> str:
    return f"sitting {sitting_id}"
