"""The append-only ledger, and the hash chain in which every act leaves a link.

Rows of these tables are added and never changed; a wrong entry is reversed by another entry.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, LargeBinary, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Digest, Json, Key, Line, Model, Word


class Entry(Model):
    """One fact about one person, in the fields of the history format (``body``).

    The digest in the chain covers ``salt`` too: once both are erased, the digest tells nothing of what it was.
    """

    __tablename__ = "entry"

    seq: Mapped[Key]
    id: Mapped[Word] = mapped_column(unique=True)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    kind: Mapped[Word]
    body: Mapped[Json]
    entered_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    entered_role: Mapped[Word]
    entered_at: Mapped[datetime]
    salt: Mapped[Digest | None]

    countersignatures: Mapped[list[Countersignature]] = relationship(order_by="Countersignature.id")


class Countersignature(Model):
    """That a second, entitled person vouches for an entry."""

    __tablename__ = "countersignature"
    __table_args__ = (UniqueConstraint("entry_id", "person_id"),)

    id: Mapped[Key]
    entry_id: Mapped[Word] = mapped_column(ForeignKey("entry.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    role: Mapped[Word]
    signed_at: Mapped[datetime]


class EntryReading(Model):
    """That an entry, as it and its evidence then stood, was before somebody who may countersign it."""

    __tablename__ = "entry_reading"

    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), primary_key=True)
    entry_id: Mapped[Word] = mapped_column(ForeignKey("entry.id"), primary_key=True, index=True)
    edition: Mapped[Digest] = mapped_column(primary_key=True)
    read_at: Mapped[datetime]


class Link(Model):
    """One link of the chain: ``hash`` covers its number, time, event and the hash before it.

    ``time`` is kept as the very text that was hashed. ``prev`` is unique, so a fork cannot be stored.
    """

    __tablename__ = "link"

    seq: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    time: Mapped[Word]
    event: Mapped[Json]
    prev: Mapped[Digest] = mapped_column(unique=True)
    hash: Mapped[Digest] = mapped_column(unique=True)


class Aside(Model):
    """What a link tells about one person in words: an address, a reason. It can be erased, the link cannot.

    The link holds a digest over these texts and the salt: once both are gone, it tells nothing of what they were.
    """

    __tablename__ = "aside"

    link_seq: Mapped[int] = mapped_column(ForeignKey("link.seq"), primary_key=True, autoincrement=False)
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    salt: Mapped[Digest]
    texts: Mapped[Json]


class SignedHead(Model):
    """The chain's newest link, signed with the house's key: what was there can no longer be cut off."""

    __tablename__ = "signed_head"

    id: Mapped[Key]
    seq: Mapped[int] = mapped_column(ForeignKey("link.seq"))
    hash: Mapped[Digest]
    root: Mapped[Digest]
    key: Mapped[Line]
    signature: Mapped[str] = mapped_column(String(200))
    signed_at: Mapped[datetime]


class EvidenceFile(Model):
    """A file that bears an entry out: a scan, a photograph, a signed record of another house.

    The bytes are kept beside the entry, in the same transaction and the same backup; ``digest`` is their SHA-256.
    """

    __tablename__ = "evidence_file"
    __table_args__ = (UniqueConstraint("entry_id", "digest"),)

    id: Mapped[Key]
    entry_id: Mapped[Word] = mapped_column(ForeignKey("entry.id"))
    name: Mapped[Line]
    kind: Mapped[Word]
    size: Mapped[int]
    digest: Mapped[Digest]
    content: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)
    added_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    added_at: Mapped[datetime]
