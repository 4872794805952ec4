"""The invigilator's passphrase: an examination is sealed with it before anything is drawn, and unlocked after a start.

Who reads a copy of the disk and does not know the passphrase learns neither which items stand on a running
paper nor which of their options are right. Nobody can open it without: a lost passphrase after a start leaves
nothing but to declare the examination void.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Conflict
from trainer.languages import _
from trainer.services.examining import sittings
from trainer.services.keeping import audit, sealed_papers
from trainer.services.keeping.passphrase_keys import Fresh
from trainer.store.keyring import keyring_of
from trainer.store.models import PrintedPaper, Seal, Sitting


def may_be_sealed(session: Session, sitting: Sitting) -> bool:
    """Whether nothing of a planned sitting is drawn yet: what stood on the disk once cannot be sealed afterwards."""
    drawn = select(PrintedPaper.id).where(PrintedPaper.sitting_id == sitting.id).limit(1)
    return sitting.state == "planned" and sitting.seal is None and session.scalar(drawn) is None


def seal(session: Session, instructor_id: int, sitting_id: int, new: Fresh, now: datetime) -> Sitting:
    """Seal a planned examination: from now on all that is drawn for it is shut on the disk until the close.

    Raises NotFound, and Conflict where it is sealed already, not planned any more, or papers were drawn.
    """
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    if not may_be_sealed(session, found):
        raise Conflict(
            _("An examination is sealed before it is opened and before papers are printed. Plan another.")
        )
    found.seal = Seal(salt=new.salt, wrapped=new.wrapped, sealed_at=now)
    audit.note(session, instructor_id, "examination sealed", sitting_id, now)
    session.flush()
    keyring_of(session).hold(sitting_id, new.key)
    return found


def of_sitting(session: Session, instructor_id: int, sitting_id: int) -> Seal:
    """The seal of an own examination; NotFound for anybody else's, Conflict where nothing is sealed."""
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    if found.seal is None or found.seal.opened_at is not None:
        raise Conflict(_("Nothing of this examination is sealed."))
    return found.seal


def unlock(session: Session, instructor_id: int, sitting_id: int, key: bytes, now: datetime) -> Sitting:
    """Let the running program have the key that `key_behind` gave; one that is void is opened for good."""
    of_sitting(session, instructor_id, sitting_id)
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    keyring_of(session).hold(sitting_id, key)
    audit.note(session, instructor_id, "examination unlocked", sitting_id, now)
    if found.state == "void":
        sealed_papers.open_for_good(session, found, now)
    return found
