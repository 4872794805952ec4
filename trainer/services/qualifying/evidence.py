"""Files that bear ledger entries out: what they are is read from their bytes, never from their names.

They are kept in the store, handed out to be saved only, and never opened by the program. A link of the chain
keeps the digest, so that a file exchanged behind the program's back is found.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.languages import N_, _
from trainer.records import jcs
from trainer.records.verification import Verdict, verify
from trainer.services.keeping import audit
from trainer.services.keeping.moments import local_day
from trainer.services.qualifying import ledger
from trainer.store.models import Entry, EvidenceFile

ATTACHED = "evidence attached"
MOST_BYTES = 5_000_000
MOST_FILES = 10
MOST_NAME = 100


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file that is taken: how a person calls it, the end of its name, its media type."""

    words: str
    end: str
    media_type: str


KINDS = {
    "pdf": Kind("PDF", "pdf", "application/pdf"),
    "png": Kind(N_("PNG picture"), "png", "image/png"),
    "jpeg": Kind(N_("JPEG picture"), "jpg", "image/jpeg"),
    "record": Kind(N_("signed record"), "json", "application/json"),
}


def attach(
    session: Session, entry_id: str, by_id: int, name: str, data: bytes, now: datetime
) -> EvidenceFile:
    """Keep a file with an entry that the asker may read.

    Raises NotFound for another's entry, Unreadable for a file of a kind that is not taken, Refused for one
    that is too large or too many, Conflict for the same file twice.
    """
    entry = ledger.one(session, by_id, entry_id)
    _within_bounds(session, entry, data)
    kind, digest = kind_of(data, now), sha256(data).hexdigest()
    same = select(EvidenceFile.id).where(EvidenceFile.entry_id == entry.id, EvidenceFile.digest == digest)
    if session.scalar(same) is not None:
        raise Conflict(_("Exactly this file is attached to the entry already."))
    row = EvidenceFile(
        entry_id=entry.id,
        name=_shown_name(name),
        kind=kind,
        size=len(data),
        digest=digest,
        content=data,
        added_by_id=by_id,
        added_at=now,
    )
    session.add(row)
    session.flush()  # its number is needed for the note
    facts: dict[str, str | int | None] = {"digest": told_digest(row, data), "person": entry.person_id}
    audit.note(session, by_id, ATTACHED, row.id, now, facts={**facts, "entry": entry.id, "sha256": digest})
    return row


def one(session: Session, by_id: int, file_id: int) -> EvidenceFile:
    """A file of an entry that the asker may read, about themselves or about a colleague. Raises NotFound."""
    found = session.get(EvidenceFile, file_id)
    if found is None:
        raise NotFound(_("There is no such file."))
    ledger.one(session, by_id, found.entry_id)
    return found


def files_of(session: Session, entry_id: str) -> list[EvidenceFile]:
    """The files of an entry, oldest first, their bytes left where they are."""
    return of_entries(session, [entry_id])[entry_id]


def of_entries(session: Session, entry_ids: Iterable[str]) -> dict[str, list[EvidenceFile]]:
    """The files of each of these entries, oldest first; an entry without any has an empty list."""
    found: dict[str, list[EvidenceFile]] = {entry_id: [] for entry_id in entry_ids}
    wanted = select(EvidenceFile).where(EvidenceFile.entry_id.in_(found)).order_by(EvidenceFile.id)
    for file in session.scalars(wanted):
        found[file.entry_id].append(file)
    return found


def kind_of(data: bytes, now: datetime) -> str:
    """What a file is, by its first and last bytes. Raises Unreadable for anything but the kinds taken."""
    if data.startswith(b"%PDF-") and b"%%EOF" in data[-1024:]:
        return "pdf"
    if data.startswith(b"\x89PNG\r\n\x1a\n") and data[12:16] == b"IHDR" and data[-8:-4] == b"IEND":
        return "png"
    if data.startswith(b"\xff\xd8\xff") and data.endswith(b"\xff\xd9"):
        return "jpeg"
    if data.lstrip()[:1] == b"{":
        verdict = verify(data, (), local_day(now)).verdict
        if verdict is Verdict.ALTERED:
            raise Unreadable(_("This signed record was altered. Ask its issuer for a fresh copy."))
        if verdict is not Verdict.UNREADABLE:
            return "record"
    raise Unreadable(
        _("This is none of the files that are kept here. Send a PDF, a PNG, a JPEG or a signed record.")
    )


def told_digest(row: EvidenceFile, data: bytes) -> str:
    """SHA-256 of all that is told about a file and of its bytes, as its link in the chain keeps it."""
    told = {
        "entry": row.entry_id,
        "name": row.name,
        "kind": row.kind,
        "sha256": sha256(data).hexdigest(),
        "added_by": row.added_by_id,
        "added_at": audit.moment(row.added_at),
    }
    return jcs.digest(told).hex()


def _within_bounds(session: Session, entry: Entry, data: bytes) -> None:
    if not data:
        raise Refused(_("The file is empty. Choose another one."))
    if len(data) > MOST_BYTES:
        raise Refused(
            _(
                "The file is larger than %(most)s MB. Scan it again more coarsely.",
                most=MOST_BYTES // 1_000_000,
            )
        )
    held = session.scalar(select(func.count()).where(EvidenceFile.entry_id == entry.id)) or 0
    if held >= MOST_FILES:
        raise Refused(
            _(
                "The entry has %(most)s files already. Put several pages into one PDF.",
                most=MOST_FILES,
            )
        )


def _shown_name(name: str) -> str:
    """The name as it was sent, for a person to recognise the file by; nothing is ever stored under it."""
    plain = "".join(sign for sign in name.replace("\\", "/").rpartition("/")[2] if sign.isprintable())
    return " ".join(plain.split())[-MOST_NAME:] or "without a name"
