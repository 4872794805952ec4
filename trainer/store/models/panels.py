"""Pass marks set by panels: what was judged, and every sheet of the judges' estimates. Sheets are added, never changed."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import CheckConstraint, ForeignKey, String
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Json, Key, Line, Model


class Panel(Model):
    """One panel about one paper: ``plan_id`` of the bank, "" for any other; ``items`` names each, with its edition."""

    __tablename__ = "panel"

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    title: Mapped[Line]
    plan_id: Mapped[Line]
    items: Mapped[Json]
    made_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    made_at: Mapped[datetime]

    sheets: Mapped[list[PanelSheet]] = relationship(order_by="PanelSheet.id")


class PanelSheet(Model):
    """The estimates of one round in percent, a row a judge; a later sheet of the same round stands in its place."""

    __tablename__ = "panel_sheet"
    __table_args__ = (CheckConstraint("round > 0", name="round"),)

    id: Mapped[Key]
    panel_id: Mapped[int] = mapped_column(ForeignKey("panel.id"), index=True)
    round: Mapped[int]
    ratings: Mapped[Json]
    says: Mapped[str] = mapped_column(String(300))
    by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    at: Mapped[datetime]
