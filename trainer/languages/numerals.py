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
# In a sentence a point also stands in the numbers of documents and clauses: 29 CFR 1910.147, 8.1.5, T-753.2.
_IN_A_SENTENCE = re.compile(
    r"\b(?:CFR|AC|clause|section|table|apartado|cláusula|párrafo|sección|tabla)\s+\S+"
    r"|(?<![\w.,-])(?P<whole>[0-9]+)\.(?P<part>[0-9]+)(?!(?!e-?[0-9])\w|\(|[.-]\w)",
    re.IGNORECASE,
)


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


def has_comma() -> bool:
    """Whether the reader's decimal sign is a comma."""
    return _COMMA.get()


def between() -> str:
    """What stands between numbers in a row: a comma that is no decimal sign, else a semicolon."""
    return ";" if _COMMA.get() else ","


def as_read(text: str) -> str:
    """A written number, or a few of them, with the reader's decimal sign: 4.5 kA or 4,5 kA.

    Only for numbers and their units: the point of a clause or of an edition is none.
    """
    return _POINT.sub(",", text) if _COMMA.get() else text


def with_commas(text: str) -> str:
    """A sentence with its decimals behind a comma; the numbers of documents and clauses in it keep their points."""
    return _IN_A_SENTENCE.sub(_told, text)


def _told(found: re.Match[str]) -> str:
    return f"{found['whole']},{found['part']}" if found["whole"] else found[0]


def grouped(number: int) -> str:
    """A count as it is read, in groups of three: 1,204, or 1 204 where a comma is the decimal sign."""
    return f"{number:,}".replace(",", "\N{NO-BREAK SPACE}") if _COMMA.get() else f"{number:,}"
