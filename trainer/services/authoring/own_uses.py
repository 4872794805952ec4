"""What would fall out or stand still if an own item were withdrawn: other items, sets, examinations ahead."""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.bank.resting import resting_on
from trainer.errors import Conflict
from trainer.examinations.plan import Plan
from trainer.languages import _
from trainer.store.models import DrillSet, DrillSetLine, Sitting

MOST_NAMED = 6


def refuse_if_used(session: Session, bank: Bank, house: int, item: str) -> None:
    """Raise Conflict with what rests on an item, if anything does."""
    if resting := [*resting_on(bank, item), *_waiting_for(session, house, item)]:
        raise Conflict(
            _(
                "It stays for now, since others rest on it: %(others)s. Change or withdraw those first.",
                others=", ".join(resting[:MOST_NAMED]),
            )
        )


def _waiting_for(session: Session, house: int, drill: str) -> Iterator[str]:
    """The titles of drill sets in use and of examinations that are not over and ask for a drill."""
    held = select(DrillSet.title).where(
        DrillSet.lines.any(DrillSetLine.drill_id == drill), DrillSet.retired_at.is_(None),
        DrillSet.organisation_id == house,
    )  # fmt: skip
    yield from session.scalars(held.order_by(DrillSet.id))
    ahead = select(Sitting).where(
        Sitting.state.in_(("planned", "open", "paused")), Sitting.organisation_id == house
    )
    for sitting in session.scalars(ahead.order_by(Sitting.id)):
        if any(line.drill == drill for line in Plan.of_data(sitting.plan).lines):
            yield sitting.title
