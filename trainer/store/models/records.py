"""What went out, and whose signatures are believed."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy import ForeignKey, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.models.model import Digest, Key, Line, Model, Word


class PinnedIssuer(Model):
    """An issuer that an organisation has decided to believe, by its key."""

    __tablename__ = "pinned_issuer"
    __table_args__ = (UniqueConstraint("organisation_id", "did"),)

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"))
    did: Mapped[Line]
    name: Mapped[Line]
    valid_from: Mapped[date | None]
    valid_to: Mapped[date | None]
    introduced_by: Mapped[Line | None]
    pinned_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    pinned_at: Mapped[datetime]
    dropped_at: Mapped[datetime | None]


class Export(Model):
    """One signed record that left the house, and whether it still stands."""

    __tablename__ = "export"

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    kind: Mapped[Word]
    credential: Mapped[Line] = mapped_column(unique=True)
    status_index: Mapped[int | None] = mapped_column(unique=True)
    digest: Mapped[Digest]
    body: Mapped[str] = mapped_column(Text)
    made_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    made_at: Mapped[datetime]
    revoked_at: Mapped[datetime | None]
    suspended_at: Mapped[datetime | None]
    reason: Mapped[Line | None]


class PersonalKey(Model):
    """A person's own signing key, by its public name; the key itself sealed (records/sealed) while it is in use here.

    ``wrapped`` is None for a key that is kept elsewhere or was given up; ``introduction`` is the file by which the key
    before introduces this one.
    """

    __tablename__ = "personal_key"

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    did: Mapped[Line] = mapped_column(unique=True)
    salt: Mapped[Word | None]
    wrapped: Mapped[Line | None]
    introduction: Mapped[str | None] = mapped_column(Text)
    made_at: Mapped[datetime]
    ended_at: Mapped[datetime | None]


class RecordSigner(Model):
    """Somebody whom a signed record names as a signer beside the house, and the signature once it is there."""

    __tablename__ = "record_signer"
    __table_args__ = (UniqueConstraint("export_id", "did"),)

    id: Mapped[Key]
    export_id: Mapped[int] = mapped_column(ForeignKey("export.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    did: Mapped[Line]
    role: Mapped[Word]
    shown_at: Mapped[datetime | None]
    signed_at: Mapped[datetime | None]
    proof: Mapped[str | None] = mapped_column(Text)
