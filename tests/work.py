"""Count the work of a call instead of timing it: the same on a busy machine and on a quiet one."""

from __future__ import annotations

import sys
import tracemalloc
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from types import FrameType
from typing import Any

from sqlalchemy import event

from trainer.store import Database


def calls_in(act: Callable[[], Any]) -> int:
    """How many functions, ours and built in, were called while ``act`` ran. It may raise; that is let through."""
    count = 0

    def seen(_frame: FrameType, event: str, _argument: Any) -> None:
        nonlocal count
        count += event in {"call", "c_call"}

    before = sys.getprofile()
    sys.setprofile(seen)
    try:
        act()
    finally:
        sys.setprofile(before)
    return count


def bytes_in(act: Callable[[], Any]) -> int:
    """The most memory that ``act`` held at once, in bytes. It may raise; that is let through."""
    tracemalloc.start()
    try:
        act()
        return tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()


@contextmanager
def statements(database: Database) -> Iterator[list[str]]:
    """The statements that a store is asked while this lasts, in their order."""
    found: list[str] = []

    def note(_connection: Any, _cursor: Any, statement: str, *_rest: Any) -> None:
        found.append(" ".join(statement.split()))

    engines = (database.engine, database.looker)
    for engine in engines:
        event.listen(engine, "before_cursor_execute", note)
    try:
        yield found
    finally:
        for engine in engines:
            event.remove(engine, "before_cursor_execute", note)


def statements_in(store: Database, act: Callable[[], Any]) -> list[str]:
    """The statements that a store was asked while ``act`` ran, in their order."""
    with statements(store) as found:
        act()
    return found
