"""Drills to tick: what was ticked in a form, and the list to tick from, searched by words."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from flask import request

from trainer.bank import Bank, topic_title
from trainer.bank.drill import Drill

MOST_TICKED = 200

Ticks = Mapping[str, str | None]
"""Drills that are ticked, each with the unknown to ask for (None: every one in turn)."""


@dataclass(frozen=True, slots=True)
class Row:
    """One drill in the list. ``finds`` are (symbol, name); ``count`` is as typed; ``words`` are what a search reads."""

    id: str
    title: str
    level: str
    unconfirmed: bool
    finds: tuple[tuple[str, str], ...]
    ticked: bool
    find: str
    count: str
    words: str
    shown: bool


@dataclass(frozen=True, slots=True)
class Topic:
    """The drills of one topic that are not ticked; open where words were searched for."""

    title: str
    rows: tuple[Row, ...]
    open: bool

    @property
    def shown(self) -> bool:
        """Whether the search leaves anything of it."""
        return any(row.shown for row in self.rows)


@dataclass(frozen=True, slots=True)
class Picking:
    """The list as it was left: what is ticked, the rest by topic, the words searched for, whether it was begun just now."""

    ticked: tuple[Row, ...]
    topics: tuple[Topic, ...]
    words: str
    begun: bool

    @property
    def first(self) -> str:
        """The first drill that the words found: where one goes on."""
        found = (row.id for topic in self.topics for row in topic.rows if row.shown)
        return next(found, "") if self.words else ""


def picking() -> bool:
    """Whether the press was one that only changes the list: a search, or something to begin with."""
    return beginning() or request.form.get("do") == "search"


def beginning() -> bool:
    """Whether the press was the one that takes something to begin with."""
    return request.form.get("do") == "begin"


def ticked() -> list[tuple[str, str | None, str]]:
    """The drills that are ticked, each with the unknown to ask for and how many, as typed."""
    drills = dict.fromkeys(request.form.getlist("drill")[:MOST_TICKED])
    return [
        (d, request.form.get(f"find-{d}", "")[:40] or None, request.form.get(f"count-{d}", "1")[:4])
        for d in drills
    ]


def picked(bank: Bank, scored: bool = False, more: Ticks | None = None) -> Picking:
    """The list to tick from, as it was left; ``scored``: only what may be in an examination.

    ``more`` is ticked as well (a copy of a set, or what the list begins with).
    """
    chosen = {d: find for d, find, _count in ticked()} | dict(more or {})
    said = request.form.get("q", "")[:80].strip()
    words, topics = said.lower().split(), []
    rows: dict[str, Row] = {}
    for topic, drills in bank.topics(scored).items():
        made = {drill.id: _row(drill, chosen, words) for drill in drills}
        rows |= made
        topics.append(
            Topic(topic_title(topic), tuple(row for row in made.values() if not row.ticked), bool(words))
        )
    return Picking(tuple(rows[d] for d in chosen if d in rows), tuple(topics), said, beginning())


def _row(drill: Drill, chosen: Ticks, words: list[str]) -> Row:
    text = " ".join(dict.fromkeys(_searched(drill))).lower()
    return Row(
        drill.id, drill.title, drill.level, drill.unconfirmed,
        tuple((symbol, drill.quantities[symbol].name) for symbol in drill.finds), drill.id in chosen,
        chosen.get(drill.id) or "", request.form.get(f"count-{drill.id}", "1")[:4],
        text, all(word in text for word in words),
    )  # fmt: skip


def _searched(drill: Drill) -> Iterator[str]:
    yield from (drill.title, drill.id, topic_title(drill.topic))
    yield from (drill.quantities[symbol].name for symbol in drill.finds)
    yield from (source.document for source in drill.sources)
