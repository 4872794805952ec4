"""Signed records that left the house and are withdrawn: for good or for a time, told by the house's status lists."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, Refused
from trainer.languages import _
from trainer.records import jcs, statuslist
from trainer.records.keys import SigningKey
from trainer.records.status import MAX_LISTS
from trainer.records.statuslist import PURPOSES
from trainer.services.keeping import audit
from trainer.services.proving import records
from trainer.services.proving.exporting import JSON, Made, own_export
from trainer.services.proving.records import time_text
from trainer.store.models import Export

STATUS_DAYS = 31
MOST_REASON = 200
MOST_KEYS = MAX_LISTS // len(PURPOSES)  # more lists than these are not read elsewhere


def withdraw(
    session: Session, by_id: int, export_id: int, reason: str, now: datetime, *, for_good: bool
) -> None:
    """Withdraw a signed record, for good or until it is given back. Raises NotFound, Refused, Conflict."""
    row, why = own_export(session, by_id, export_id), " ".join(reason.split())
    if not why or len(why) > MOST_REASON:
        raise Refused(_("Say in 1 to %(most)s characters why the record is withdrawn.", most=MOST_REASON))
    if row.revoked_at is not None or (row.suspended_at is not None and not for_good):
        raise Conflict(_("This record is withdrawn already."))
    if for_good:
        row.revoked_at = now
    else:
        row.suspended_at = now
    row.reason = why
    what = "record revoked" if for_good else "record suspended"
    about: dict[str, str | int | None] = {"person": row.person_id}
    audit.note(session, by_id, what, row.credential, now, facts=about, apart=(row.person_id, {"reason": why}))


def give_back(session: Session, by_id: int, export_id: int, now: datetime) -> None:
    """End the suspension of a record. Raises NotFound, Conflict where there is none."""
    row = own_export(session, by_id, export_id)
    if row.suspended_at is None or row.revoked_at is not None:
        raise Conflict(_("This record is not suspended."))
    row.suspended_at = None
    audit.note(session, by_id, "record given back", row.credential, now, facts={"person": row.person_id})


def status_lists(
    session: Session, key: SigningKey, name: str, now: datetime, earlier: Sequence[str] = ()
) -> Made:
    """The house's signed status lists as they stand now, to be handed out with the records.

    ``earlier`` are the keys that this one follows: their records name lists of their own, told by this key too.
    """
    told = {"revocation": Export.revoked_at, "suspension": Export.suspended_at}
    until = time_text(now + timedelta(days=STATUS_DAYS))
    lists = []
    for purpose, column in told.items():
        wanted = select(Export.status_index).where(column.is_not(None), Export.status_index.is_not(None))
        places = [index for index in session.scalars(wanted) if index is not None]
        for did in (key.did, *earlier)[:MOST_KEYS]:
            list_id = records.list_id(did, purpose)
            lists.append(statuslist.signed_list(list_id, purpose, places, key, name, time_text(now), until))
    return Made("status.json", JSON, jcs.written(lists))
