"""Reading before countersigning: which entries were before whom as they stand, and what has changed since.

What a person is shown in full is remembered with its edition: a digest of all that was entered and of the files
beside it. A countersignature is taken for exactly the edition that was read, and for none other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import Conflict
from trainer.languages import _
from trainer.records import jcs
from trainer.services.qualifying import countersigning, evidence, ledger
from trainer.store.models import Entry, EntryReading, EvidenceFile


class NotAsRead(Conflict):
    """Entries that were ticked but are not as this person read them: a sentence for each, by its id."""

    def __init__(self, faults: Mapping[str, str]) -> None:
        super().__init__(" ".join(faults.values()))
        self.faults = dict(faults)


@dataclass(frozen=True, slots=True)
class Page:
    """One entry to be read: its files, its edition, and when an edition was before this person last (None: never)."""

    entry: Entry
    files: Sequence[EvidenceFile]
    edition: str
    read_at: datetime | None
    is_read: bool

    @property
    def changed(self) -> bool:
        """Whether this person has read it, but not as it stands now."""
        return self.read_at is not None and not self.is_read


def pages(session: Session, by_id: int, entries: Iterable[Entry]) -> list[Page]:
    """Each entry as it is to be read by this person, in the same order."""
    rows = {row.id: row for row in entries}
    files = evidence.of_entries(session, rows)
    read: dict[str, list[EntryReading]] = {}
    wanted = select(EntryReading).where(EntryReading.person_id == by_id, EntryReading.entry_id.in_(rows))
    for reading in session.scalars(wanted.order_by(EntryReading.read_at)):
        read.setdefault(reading.entry_id, []).append(reading)
    found = []
    for row in rows.values():
        edition, before = _edition(row, files[row.id]), read.get(row.id, [])
        is_read = edition in [reading.edition for reading in before]
        found.append(Page(row, files[row.id], edition, before[-1].read_at if before else None, is_read))
    return found


def remember(session: Session, by_id: int, shown: Iterable[Page], now: datetime) -> None:
    """Keep that these were before this person, as they were shown."""
    for page in shown:
        if session.get(EntryReading, (by_id, page.entry.id, page.edition)) is None:
            session.add(
                EntryReading(person_id=by_id, entry_id=page.entry.id, edition=page.edition, read_at=now)
            )


def countersign(
    session: Session, ticked: Mapping[str, str], by_id: int, now: datetime, role: str = ""
) -> int:
    """Countersign entries, given with the edition that their page showed; all or none. Return how many.

    Raises NotAsRead for entries never read, changed since, or signed or reversed by others in the meantime, each
    with its sentence; NotFound and NotAllowed as `countersigning.countersign` does.
    """
    faults: dict[str, str] = {}
    for entry_id, edition in ticked.items():
        row = countersigning.reached(session, by_id, entry_id)
        try:
            countersigning.may_sign(session, row, by_id)
        except Conflict as fault:
            faults[entry_id] = str(fault)
            continue
        (page,) = pages(session, by_id, [row])
        if page.read_at is None or not edition:
            faults[entry_id] = _(
                "Entry %(id)s has not been before you yet. Read it, then tick it.", id=entry_id
            )
        elif page.changed or edition != page.edition:
            faults[entry_id] = _(
                "Entry %(id)s has changed since you read it, for instance by a new file. Read it as it stands now, "
                "then tick it.",
                id=entry_id,
            )
    if faults:
        raise NotAsRead(faults)
    return countersigning.countersign(session, ticked, by_id, now, role)


def _edition(row: Entry, files: Iterable[EvidenceFile]) -> str:
    return jcs.digest({"entry": ledger.digest(row), "files": [file.digest for file in files]}).hex()
