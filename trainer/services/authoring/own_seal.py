"""The passphrase of a house's own items: what is only for examinations lies sealed on the disk, and so do drafts.

Once it is given, every draft is sealed as it is written. What is approved for practice is laid open, since everybody
meets it; what is for examinations only stays sealed, is in no file, and is in the bank of the running program alone.
After a start it is locked: until somebody who examines unlocks it, the bank is without it, and papers that it stands
on cannot be shown or marked. Nobody can open it without the passphrase.

Another passphrase brings another key, so that whoever knew the one before, and has a copy of the disk from then, reads
nothing that is written later.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import select
from sqlalchemy.orm import Session, object_session, selectinload
from sqlalchemy.orm.attributes import set_committed_value

from trainer.errors import Conflict, NotFound, NotNow
from trainer.languages import _
from trainer.services.admitting import accounts
from trainer.services.authoring import draft_text
from trainer.services.keeping import audit, own_contents
from trainer.store.models import Draft, DraftRevision, Edition, OwnSeal
from trainer.store.models.drafts import APPROVED

if TYPE_CHECKING:
    from trainer.services.keeping.passphrase_keys import Fresh


def of_house(session: Session, by_id: int) -> OwnSeal | None:
    """The seal of the asker's house, if it has one."""
    return session.get(OwnSeal, _house(session, by_id))


def is_locked(session: Session, seal: OwnSeal | None) -> bool:
    """Whether there is a seal whose key the running program has not."""
    return seal is not None and own_contents.held_key(session, seal) is None


def seal(session: Session, by_id: int, new: Fresh, now: datetime) -> OwnSeal:
    """Seal what the house has written so far, and from now on what it writes. Raises Conflict where it has a seal."""
    house = _house(session, by_id)
    if session.get(OwnSeal, house) is not None:
        raise Conflict(_("The own items are sealed already."))
    made = OwnSeal(organisation_id=house, salt=new.salt, wrapped=new.wrapped, sealed_at=now)
    session.add(made)
    session.flush()
    own_contents.hold(session, made, new.key)
    with_all = selectinload(Draft.revisions).selectinload(DraftRevision.acts)
    for draft in session.scalars(select(Draft).where(Draft.organisation_id == house).options(with_all)):
        for revision in draft.revisions:
            if not was_approved(revision) or draft_text.is_for_examinations(draft.kind, revision.text):
                shut(session, house, revision)
    session.flush()
    ids = {own_contents.id_of(place) for place in session.scalars(own_contents.APPROVED_SEALED)}
    for kept in session.scalars(select(Edition).where(Edition.drill_id.in_(ids))):
        kept.content = own_contents.content_to_keep(session, kept.drill_id, json.loads(kept.content))
    audit.note(session, by_id, "own items sealed", house, now)
    return made


def to_open(session: Session, by_id: int) -> OwnSeal:
    """The seal of the asker's house. Raises NotFound where nothing is sealed."""
    found = of_house(session, by_id)
    if found is None:
        raise NotFound(_("There is no passphrase of own items to unlock."))
    return found


def unlock(session: Session, by_id: int, kept: OwnSeal, key: bytes, now: datetime) -> None:
    """Let the running program have the key of a seal (`passphrase_keys.key_behind`).

    Raises NotFound where nothing is sealed, Conflict where the passphrase is another by now.
    """
    found = _taken_up(session, by_id, kept, key)
    audit.note(session, by_id, "own items unlocked", found.organisation_id, now)


def change(session: Session, by_id: int, kept: OwnSeal, old: bytes, new: Fresh, now: datetime) -> None:
    """Seal everything anew under another passphrase. Raises as `unlock` does; all of it is the caller's one transaction."""
    found = _taken_up(session, by_id, kept, old)
    house = found.organisation_id
    revisions = [(one, text_of(one)) for one in _sealed_revisions(session, house)]
    editions = own_contents.contents_shut(session, house)
    found.salt, found.wrapped, found.sealed_at = new.salt, new.wrapped, now
    own_contents.hold(session, found, new.key)
    for revision, text in revisions:
        revision.sealed = own_contents.shut(session, house, text)
    for edition, content in editions:
        edition.content = own_contents.content_shut(session, house, content)
    audit.note(session, by_id, "own items sealed anew", house, now)


def take_off(session: Session, by_id: int, kept: OwnSeal, key: bytes, now: datetime) -> None:
    """Lay everything open, in plain from now on. Raises as `unlock` does; all of it is the caller's one transaction."""
    found = _taken_up(session, by_id, kept, key)
    for revision in _sealed_revisions(session, found.organisation_id):
        lay_open(revision)
    for edition, content in own_contents.contents_shut(session, found.organisation_id):
        edition.content = own_contents.content_in_plain(content)
    session.flush()
    session.delete(found)
    audit.note(session, by_id, "own items laid open", found.organisation_id, now)


def refuse_while_locked(session: Session, house: int) -> None:
    """Raise NotNow while own items of a house are locked: a paper drawn now would be without them."""
    if session.get(OwnSeal, house) is not None:
        own_contents.key(session, house)


def shut(session: Session, house: int, revision: DraftRevision) -> None:
    """Seal the text of a revision, if the house has a seal. Raises NotNow while that is locked."""
    if session.get(OwnSeal, house) is not None:
        revision.sealed, revision.text = own_contents.shut(session, house, revision.text), ""


def lay_open(revision: DraftRevision) -> None:
    """Keep the text of a revision in plain: it is approved for practice."""
    if revision.sealed is not None:
        text = text_of(revision)
        set_committed_value(revision, "text", "")  # as it is on the disk, so that the change is seen
        revision.text, revision.sealed = text, None


def text_of(revision: DraftRevision) -> str:
    """The text of a revision. Raises NotNow while it is locked."""
    session = object_session(revision)
    if revision.sealed is None or session is None or revision.text:
        return revision.text
    house = session.scalars(select(Draft.organisation_id).where(Draft.id == revision.draft_id)).one()
    return str(own_contents.opened(session, house, revision.sealed))


def open_for_reading(draft: Draft) -> None:
    """Let every revision show its text. It is set past the session, so that nothing of it goes to the disk."""
    for revision in draft.revisions:
        set_committed_value(revision, "text", text_of(revision))


def was_approved(revision: DraftRevision) -> bool:
    """Whether a second person approved this very revision."""
    return any(act.act == APPROVED for act in revision.acts)


def texts(revisions: Iterable[tuple[str, DraftRevision]]) -> list[tuple[str, str]]:
    """Kind and text of those of these revisions that are sealed, as far as they are unlocked."""
    found = []
    for kind, one in revisions:
        try:
            found += [(kind, text_of(one))] if one.sealed is not None else []
        except NotNow:
            continue
    return found


def _taken_up(session: Session, by_id: int, kept: OwnSeal, key: bytes) -> OwnSeal:
    """The seal as it stands now, its key held: the one that ``key`` was worked out for."""
    found = to_open(session, by_id)
    if found.salt != kept.salt:
        raise Conflict(_("The passphrase of the own items was changed in the meantime. Load the page anew."))
    own_contents.hold(session, found, key)
    return found


def _sealed_revisions(session: Session, house: int) -> list[DraftRevision]:
    wanted = select(DraftRevision).join(Draft).where(Draft.organisation_id == house)
    return list(session.scalars(wanted.where(DraftRevision.sealed.is_not(None))))


def _house(session: Session, by_id: int) -> int:
    return accounts.colleague(session, by_id, by_id).organisation_id
