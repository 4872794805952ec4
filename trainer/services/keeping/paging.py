"""One page of a long list: what the reader asks for, and what of the list stands on it.

The store counts, searches and cuts; only the rows of the page are fetched.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from trainer.store.folding import fold, holding

ROWS = 40
MOST_WORDS = 80
WHOLE = "all"
T = TypeVar("T")
Made = TypeVar("Made")


@dataclass(frozen=True, slots=True)
class Wish:
    """What a reader asks of a list: which page (None: all in one), with which words.

    ``name`` tells lists of one page apart in its address; ``rest`` is what else stands in that address and stays.
    """

    number: int | None = 1
    words: str = ""
    name: str = ""
    rest: tuple[tuple[str, str], ...] = ()
    rows: int = ROWS


@dataclass(frozen=True, slots=True)
class Page(Generic[T]):
    """Some rows of a list, in its order; ``of`` is how many have the words searched for, ``whole`` how many there are."""

    wish: Wish
    rows: Sequence[T]
    number: int
    of: int
    whole: int

    @property
    def pages(self) -> int:
        """How many pages the list has; one in which nothing stands has one."""
        return _pages(self.of, self.wish)

    @property
    def first(self) -> int:
        """The place of the first row on the page, from 1."""
        return (self.number - 1) * self.wish.rows + 1

    @property
    def last(self) -> int:
        """The place of the last row on the page."""
        return self.first + len(self.rows) - 1

    def showing(self, rows: Sequence[Made]) -> Page[Made]:
        """The same page with what was made of its rows."""
        return Page(self.wish, rows, self.number, self.of, self.whole)

    def at(self, number: int | str, words: str | None = None) -> dict[str, str]:
        """What stands in the address of another page of this list, or of this list searched otherwise."""
        name, said = self.wish.name, self.wish.words if words is None else words
        own = {f"{name}page": "" if number == 1 else str(number), f"{name}words": said}
        return dict(self.wish.rest) | {key: value for key, value in own.items() if value}


def wished(text: str, words: str, name: str = "", rest: Sequence[tuple[str, str]] = ()) -> Wish:
    """What an address asks for, as it was typed: what is no number of a page means the first one."""
    plain = text.strip()
    number = int(plain) if plain.isascii() and plain.isdigit() and len(plain) < 10 else 1
    said = " ".join(words[:MOST_WORDS].split())
    return Wish(None if plain == WHOLE else max(1, number), said, name, tuple(rest))


def page(session: Session, wanted: Select[T], wish: Wish, *columns: Any) -> Page[T]:
    """The page of a question to the store, or the last one there is; its words are searched for in these columns."""
    of = whole = count(session, wanted)
    if wish.words:
        wanted = wanted.where(holding(wish.words, *columns))
        of = count(session, wanted)
    number = _number(of, wish)
    if wish.number is not None:
        wanted = wanted.limit(wish.rows).offset((number - 1) * wish.rows)
    return Page(wish, list(session.scalars(wanted)), number, of, whole)


def count(session: Session, wanted: Select[Any]) -> int:
    """How many rows a question has."""
    return session.scalar(select(func.count()).select_from(wanted.order_by(None).subquery())) or 0


def having(rows: Sequence[T], wish: Wish, name: Callable[[T], str]) -> Sequence[T]:
    """The rows of a list at hand in whose name all words of the wish stand; all of them where it has none."""
    words = fold(wish.words).split()
    return [row for row in rows if all(word in fold(name(row)) for word in words)] if words else rows


def cut(rows: Sequence[T], wish: Wish, whole: int) -> Page[T]:
    """The page of a list that is at hand and was searched already, or its last one."""
    number = _number(len(rows), wish)
    begin = (number - 1) * wish.rows
    shown = rows if wish.number is None else rows[begin : begin + wish.rows]
    return Page(wish, shown, number, len(rows), whole)


def _number(of: int, wish: Wish) -> int:
    return 1 if wish.number is None else min(wish.number, _pages(of, wish))


def _pages(of: int, wish: Wish) -> int:
    return 1 if wish.number is None else max(1, -(-of // wish.rows))
