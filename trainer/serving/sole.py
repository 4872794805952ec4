"""Whether another trainer serves the same instance: each holds a lock in its folder until its process ends."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from trainer.store.backup import DATABASE

FILE = f"{DATABASE}-served"  # no backup takes along what begins with that name


@contextmanager
def sole(instance: Path) -> Iterator[bool]:
    """Hold the lock of an instance while this lasts; False where another trainer has it.

    It is SQLite's own, on an empty file: made of the system's locks, which go with their process however that ends.
    """
    with closing(sqlite3.connect(instance / FILE, timeout=0)) as lock:
        yield _taken(lock)


def _taken(lock: sqlite3.Connection) -> bool:
    try:
        lock.execute("BEGIN EXCLUSIVE")
    except sqlite3.OperationalError as problem:  # a disk without locks tells nothing of others
        return problem.sqlite_errorcode != sqlite3.SQLITE_BUSY
    return True
