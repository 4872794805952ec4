"""Drafts of own items: every wording as it was written, and what was done with it.

Rows are added and never changed: another wording is another revision, another decision another act.
"""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, Text, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Key, Line, Model, Word, one_of

KINDS = ("question", "drill", "practical")
PUT_FORWARD, APPROVED, SENT_BACK, WITHDRAWN = ACTS = ("put forward", "approved", "sent back", "withdrawn")


class Draft(Model):
    """One item that a house writes for its own bank."""

    __tablename__ = "draft"
    __table_args__ = (CheckConstraint(one_of("kind", KINDS), name="kind"),)

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    kind: Mapped[Word]

    revisions: Mapped[list[DraftRevision]] = relationship(order_by="DraftRevision.number")


class DraftRevision(Model):
    """One wording of a draft. ``place`` is the file of the bank it is meant for; empty while it has no id.

    Where it is ``sealed`` (services/authoring/own_seal) the text itself is empty.
    """

    __tablename__ = "draft_revision"
    __table_args__ = (UniqueConstraint("draft_id", "number"),)

    id: Mapped[Key]
    draft_id: Mapped[int] = mapped_column(ForeignKey("draft.id"))
    number: Mapped[int]
    text: Mapped[str] = mapped_column(Text)
    sealed: Mapped[str | None] = mapped_column(Text)
    place: Mapped[Line]
    author_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    written_at: Mapped[datetime]

    acts: Mapped[list[DraftAct]] = relationship(order_by="DraftAct.id")


class DraftAct(Model):
    """What somebody did with a revision: put it forward, approved it, sent it back or withdrew it, and why."""

    __tablename__ = "draft_act"
    __table_args__ = (CheckConstraint(one_of("act", ACTS), name="act"),)

    id: Mapped[Key]
    revision_id: Mapped[int] = mapped_column(ForeignKey("draft_revision.id"), index=True)
    act: Mapped[Word]
    reason: Mapped[Line]
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    done_at: Mapped[datetime]
