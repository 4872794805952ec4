"""Sealed examinations and own items: the wrapped data key of each, and the editions behind sealed papers."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import ForeignKey, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.models.model import Digest, Key, Line, Model, Word


class Seal(Model):
    """The data key of one examination, wrapped under its passphrase (records/sealed); ``opened_at`` once it is open."""

    __tablename__ = "seal"

    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"), primary_key=True)
    salt: Mapped[Word]
    wrapped: Mapped[Line]
    sealed_at: Mapped[datetime]
    opened_at: Mapped[datetime | None]


class OwnSeal(Model):
    """The data key of a house's own items, wrapped under their passphrase."""

    __tablename__ = "own_seal"

    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), primary_key=True)
    salt: Mapped[Word]
    wrapped: Mapped[Line]
    sealed_at: Mapped[datetime]


class SealedEdition(Model):
    """An edition behind a sealed paper, found by ``name`` with the data key; at the close it becomes a kept edition."""

    __tablename__ = "sealed_edition"
    __table_args__ = (UniqueConstraint("sitting_id", "name"),)

    id: Mapped[Key]
    sitting_id: Mapped[int] = mapped_column(ForeignKey("sitting.id"))
    name: Mapped[Digest]
    sealed: Mapped[str] = mapped_column(Text)
