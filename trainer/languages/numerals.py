"""The decimal sign of what is read: numbers are written with a point and get the reader's sign where they are shown.

Like the language, the sign is a property of the reader and travels with the context. What is *kept* (numbers of an
exercise, notes of the chain, exports, what is signed) has a point for everybody.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar

_COMMA: ContextVar[bool] = ContextVar("comma", default=False)
_POINT = re.compile(r"(?<=[0-9])\.(?=[0-9])")


def read_with(sign: str) -> None:
    """From here on the reader's decimal sign is this one, "point" or "comma"."""
    _COMMA.set(sign == "comma")


@contextmanager
def reading_with(sign: str) -> Iterator[None]:
    """What is said inside has its decimals behind this sign."""
    before = _COMMA.get()
    read_with(sign)
    try:
        yield
    finally:
        _COMMA.set(before)


def between() -> str:
    """What stands between numbers in a row: a comma that is no decimal sign, else a semicolon."""
    return ";" if _COMMA.get() else ","


def as_read(text: str) -> str:
    """A written number, or a few of them, with the reader's decimal sign: 4.5 kA or 4,5 kA.

    Only for numbers and their units: the point of a clause or of an edition is none.
    """
    return _POINT.sub(",", text) if _COMMA.get() else text


def grouped(number: int) -> str:
    """A count as it is read, in groups of three: 1,204, or 1 204 where a comma is the decimal sign."""
    return f"{number:,}".replace(",", "\N{NO-BREAK SPACE}") if _COMMA.get() else f"{number:,}"
