"""Answers on the papers of closed examinations, as plain rows for the statistics.

What an item is stands in the text that was kept of it; the store looks there, so that no other text is fetched.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from datetime import datetime
from typing import Any, Literal, NamedTuple

from sqlalchemy import ColumnElement, Select, select
from sqlalchemy.orm import Session

from trainer.store.models import Paper, PaperAnswer, Sitting

Kind = Literal["drill", "question"]


class Outcome(NamedTuple):
    """Whether somebody was right at an item: a drill with what it asked for, or a question, which has no find."""

    person: int
    item: str
    find: str | None
    right: bool


class Marked(NamedTuple):
    """One marked answer to an item: whose, the start of the paper, the outcome, what was written, the item as kept.

    ``slip`` is that of a drill whose value was judged wrong, "" for none known, else None.
    """

    person: int
    started_at: datetime
    right: bool
    slip: str | None
    text: str
    kept: dict[str, Any]


def outcomes(session: Session, people: Collection[int], kind: Kind) -> Iterator[Outcome]:
    """The outcome of every marked answer of these people to items of a kind, oldest first."""
    find = PaperAnswer.exercise["find"].as_string()
    wanted = select(Paper.person_id, _item(kind), find, PaperAnswer.verdict == "right")
    rows = session.execute(_closed(wanted, people).where(_item(kind).is_not(None)))
    return (Outcome._make(row) for row in rows)


def marked(session: Session, people: Collection[int], kind: Kind, item: str) -> list[Marked]:
    """Every marked answer of these people to one item, oldest first."""
    wanted = select(
        Paper.person_id, Paper.started_at, PaperAnswer.verdict == "right", PaperAnswer.slip, PaperAnswer.text,
        PaperAnswer.exercise,
    )  # fmt: skip
    return [Marked._make(row) for row in session.execute(_closed(wanted, people).where(_item(kind) == item))]


def _closed(wanted: Select[*tuple[Any, ...]], people: Collection[int]) -> Select[*tuple[Any, ...]]:
    return (
        wanted.join(PaperAnswer, PaperAnswer.paper_id == Paper.id)
        .join(Sitting, Sitting.id == Paper.sitting_id)
        .where(Paper.person_id.in_(people), Sitting.state == "closed", PaperAnswer.verdict.is_not(None))
        .order_by(PaperAnswer.id)
    )


def _item(kind: Kind) -> ColumnElement[str | None]:
    text: ColumnElement[str | None] = PaperAnswer.exercise[kind].as_string()
    return text
