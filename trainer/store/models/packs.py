"""Power packs of a shop, with the leads that belong to them."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from sqlalchemy import ForeignKey
from sqlalchemy.orm import Mapped, mapped_column

from trainer.store.models.model import Key, Line, Model, Word


class Pack(Model):
    """One pack as it was written down. A change retires the row and adds another, so that each stays as it was.

    ``rated`` in A, ``duty`` as a share of one, ``period`` in s; ``lead`` a size of the bank and ``distance``
    its length one way in m, both empty where the leads are not known.
    """

    __tablename__ = "pack"

    id: Mapped[Key]
    organisation_id: Mapped[int] = mapped_column(ForeignKey("organisation.id"), index=True)
    name: Mapped[Line]
    rated: Mapped[Decimal]
    duty: Mapped[Decimal]
    period: Mapped[Decimal]
    lead: Mapped[Word | None]
    distance: Mapped[Decimal | None]
    made_by_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    made_at: Mapped[datetime]
    retired_by_id: Mapped[int | None] = mapped_column(ForeignKey("person.id"))
    retired_at: Mapped[datetime | None]
