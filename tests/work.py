"""Count the work of a call instead of timing it: the same on a busy machine and on a quiet one."""

from __future__ import annotations

import sys
from collections.abc import Callable
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


def statements_in(store: Database, act: Callable[[], Any]) -> list[str]:
    """The statements that a store was asked while ``act`` ran, in their order."""
    found: list[str] = []

    def asked(_connection: object, _cursor: object, statement: str, *_: object) -> None:
        found.append(" ".join(statement.split()))

    event.listen(store.engine, "before_cursor_execute", asked)
    try:
        act()
    finally:
        event.remove(store.engine, "before_cursor_execute", asked)
    return found
