"""What own items for examinations hold, as it goes to the disk and comes back: under the passphrase of their house.

The passphrase itself, and the drafts, are the business of services/authoring/own_seal.
"""

from __future__ import annotations

import json
import re
import secrets
from collections.abc import Mapping
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import NotNow
from trainer.languages import N_, _
from trainer.records import sealed
from trainer.store.keyring import OWN_ITEMS, keyring_of
from trainer.store.models import Draft, DraftAct, DraftRevision, Edition, OwnSeal
from trainer.store.models.drafts import APPROVED

_SLUG = r"[a-z][a-z0-9-]{1,60}"
_PLACE = re.compile(rf"(?:(?:drills|questions)/{_SLUG}|practicals)/({_SLUG})\.yaml")
ROOM = 8192  # bytes that a sealed text is filled up to a multiple of
SEALED, HOUSE = "sealed", "house"
LOCKED = N_(
    "The own items for examinations are locked since the program was started anew. Somebody who examines must "
    "unlock them with their passphrase, under Own items. Then go back and go on."
)
APPROVED_SEALED = (
    select(DraftRevision.place).join(DraftAct)
    .where(DraftRevision.sealed.is_not(None), DraftAct.act == APPROVED)
)  # fmt: skip


def id_of(place: str) -> str:
    """The id of the item at a place; empty for what is none."""
    found = _PLACE.fullmatch(place)
    return found[1] if found else ""


def content_is_for_examinations(content: Mapping[str, Any]) -> bool:
    """Whether the plain data of an item are for examinations only.

    A checklist never is: whoever sits a practical is told what it asks.
    """
    asked = [*content.get("questions", ()), *content.get("numbers", ())]
    return any(one["pool"] == "examination" for one in asked) or bool(content.get("examination_only"))


def content_to_keep(session: Session, item: str, content: Any) -> str:
    """The content of an edition as it goes to the disk: sealed, if the item is. Raises NotNow while it is locked."""
    if content_is_for_examinations(content):
        for place, house in session.execute(APPROVED_SEALED.add_columns(Draft.organisation_id).join(Draft)):
            if id_of(place) == item:
                return content_shut(session, house, content)
    return content_in_plain(content)


def content_in_plain(content: Any) -> str:
    """The content of an edition as it goes to the disk for everybody to read."""
    return json.dumps(content, ensure_ascii=False, sort_keys=True)


def content_shut(session: Session, house: int, content: Any) -> str:
    """The content of an edition as only the passphrase of the house opens it. Raises NotNow while it is locked."""
    return content_in_plain({SEALED: shut(session, house, content), HOUSE: house})


def contents_shut(session: Session, house: int) -> list[tuple[Edition, Any]]:
    """Every edition that is sealed for a house, with its content. Raises NotNow while it is locked."""
    begins = content_in_plain({HOUSE: house, SEALED: ""}).removesuffix('"}')
    found = session.scalars(select(Edition).where(Edition.content.startswith(begins, autoescape=True)))
    return [(kept, content_kept(session, json.loads(kept.content))) for kept in found]


def content_kept(session: Session, content: Any) -> Any:
    """The content of an edition as it was before `content_to_keep`. Raises NotNow while it is locked."""
    if isinstance(content, dict) and SEALED in content:
        return opened(session, content[HOUSE], content[SEALED])
    return content


def shut(session: Session, house: int, facts: Any) -> str:
    """Facts as text that only the passphrase of the house opens. Raises NotNow while it is locked."""
    nonce = secrets.token_bytes(sealed.NONCE_BYTES)
    return sealed.seal(key(session, house), facts, nonce, _about(house), ROOM)


def opened(session: Session, house: int, text: str) -> Any:
    """The facts behind such a text. Raises NotNow while it is locked."""
    return sealed.unseal(key(session, house), text, _about(house))


def key(session: Session, house: int) -> bytes:
    """The key of a house's own items. Raises NotNow while it is locked."""
    kept = session.get(OwnSeal, house)
    held = None if kept is None else held_key(session, kept)
    if held is None:
        raise NotNow(_(LOCKED))
    return held


def hold(session: Session, kept: OwnSeal, key: bytes) -> None:
    """Let the running program have the key of a seal."""
    keyring_of(session).hold(kept.organisation_id, key, _of(kept))


def held_key(session: Session, kept: OwnSeal) -> bytes | None:
    """The key of a seal; None while it is locked."""
    return keyring_of(session).key(kept.organisation_id, _of(kept))


def _of(kept: OwnSeal) -> str:
    """What the keyring has the key under: where another process gave another passphrase, this one's key is none."""
    return f"{OWN_ITEMS} {kept.salt}"


def _about(house: int) -> str:
    return f"own items of house {house}"
