"""Answers as plain rows, and the table of people by items that most figures are made from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Reply:
    """One person's answer to one item; ``chosen`` is the option or the slip, "" for neither."""

    person: int
    item: str
    right: bool
    chosen: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """People by items: ``rows[i][j]`` is 1 where person i was right at item j."""

    people: tuple[int, ...]
    items: tuple[str, ...]
    rows: tuple[tuple[int, ...], ...]

    @property
    def totals(self) -> tuple[int, ...]:
        """The number of right answers of each person."""
        return tuple(sum(row) for row in self.rows)

    def column(self, place: int) -> tuple[int, ...]:
        """Everybody's answers to one item."""
        return tuple(row[place] for row in self.rows)


def first_replies(replies: Iterable[Reply]) -> list[Reply]:
    """The first answer of each person to each item: later ones tell of practice, not of the item."""
    seen: dict[tuple[int, str], Reply] = {}
    for reply in replies:
        seen.setdefault((reply.person, reply.item), reply)
    return list(seen.values())


def table_of(replies: Iterable[Reply]) -> Table:
    """The table of those who met every item; who met only some would be counted wrong for the rest."""
    firsts = first_replies(replies)
    items = tuple(dict.fromkeys(reply.item for reply in firsts))
    by_person: dict[int, dict[str, int]] = {}
    for reply in firsts:
        by_person.setdefault(reply.person, {})[reply.item] = int(reply.right)
    whole = {person: held for person, held in by_person.items() if len(held) == len(items)}
    return Table(tuple(whole), items, tuple(tuple(held[one] for one in items) for held in whole.values()))
