"""Answers on the papers of closed examinations, as plain rows for the statistics."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.store.models import Paper, PaperAnswer, Sitting


@dataclass(frozen=True, slots=True)
class Marked:
    """One marked answer: whose, the start of the paper, right or not, the slip, what was written, the item as kept.

    The item is a drill with its numbers ("drill", "find", "given") or a question ("question").
    """

    person: int
    started_at: datetime
    right: bool
    slip: str | None
    text: str
    item: dict[str, Any]


def marked(session: Session, people: Collection[int]) -> Iterator[Marked]:
    """Every marked answer of these people on papers of closed examinations, oldest first."""
    wanted = (
        select(
            Paper.person_id, Paper.started_at, PaperAnswer.verdict == "right", PaperAnswer.slip,
            PaperAnswer.text, PaperAnswer.exercise,
        )
        .join(PaperAnswer, PaperAnswer.paper_id == Paper.id)
        .join(Sitting, Sitting.id == Paper.sitting_id)
        .where(Paper.person_id.in_(people), Sitting.state == "closed", PaperAnswer.verdict.is_not(None))
        .order_by(PaperAnswer.id)
    )  # fmt: skip
    return (Marked(*row) for row in session.execute(wanted))
