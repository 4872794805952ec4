"""Drills to tick: what was ticked in a form, and the list to tick from, searched by words."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from flask import request

from trainer.bank import Bank, topic_title
from trainer.bank.drill import Drill

MOST_TICKED = 200


@dataclass(frozen=True, slots=True)
class Row:
    """One drill in the list. ``finds`` are (symbol, name); ``count`` is text as it was typed."""

    id: str
    title: str
    level: str
    unconfirmed: bool
    finds: tuple[tuple[str, str], ...]
    ticked: bool
    find: str
    count: str
    shown: bool


@dataclass(frozen=True, slots=True)
class Topic:
    """The drills of one topic; open where something in it is ticked or was searched for."""

    title: str
    rows: tuple[Row, ...]
    open: bool

    @property
    def shown(self) -> bool:
        """Whether the search leaves anything of it."""
        return any(row.shown for row in self.rows)


def searching() -> bool:
    """Whether the press was the one that searches the list, and sets nothing."""
    return request.form.get("do") == "search"


def ticked() -> list[tuple[str, str | None, str]]:
    """The drills that are ticked, each with the unknown to ask for and how many, as typed."""
    drills = dict.fromkeys(request.form.getlist("drill")[:MOST_TICKED])
    return [
        (d, request.form.get(f"find-{d}", "")[:40] or None, request.form.get(f"count-{d}", "1")[:4])
        for d in drills
    ]


def topics(bank: Bank, scored: bool = False, before: dict[str, str | None] | None = None) -> list[Topic]:
    """The list to tick from, as it was left; ``scored``: only what may be in an examination.

    ``before`` holds drills and finds that are ticked to begin with (a copy of a set).
    """
    chosen = {d: find for d, find, _count in ticked()} | (before or {})
    words = request.form.get("q", "").lower().split()
    out = []
    for topic, drills in bank.topics(scored).items():
        rows = tuple(_row(d, chosen, words) for d in drills)
        opened = bool(words) or any(row.ticked for row in rows)
        out.append(Topic(topic_title(topic), rows, opened))
    return out


def _row(drill: Drill, chosen: dict[str, str | None], words: list[str]) -> Row:
    ticked = drill.id in chosen
    text = " ".join(_searched(drill)).lower()
    return Row(
        drill.id, drill.title, drill.level, drill.unconfirmed,
        tuple((symbol, drill.quantities[symbol].name) for symbol in drill.finds), ticked,
        chosen.get(drill.id) or "", request.form.get(f"count-{drill.id}", "1")[:4],
        ticked or all(word in text for word in words),
    )  # fmt: skip


def _searched(drill: Drill) -> Iterator[str]:
    yield from (drill.title, drill.id, drill.topic)
    yield from (drill.quantities[symbol].name for symbol in drill.finds)
    yield from (source.document for source in drill.sources)
