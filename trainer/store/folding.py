"""Text as a search compares it: without case and accents, in Python and in both kinds of store.

SQLite folds only A to Z by itself, so each connection is given the function of this module. PostgreSQL takes accents
apart itself where its texts are UTF-8.
"""

from __future__ import annotations

import sqlite3
import unicodedata
from typing import Any

from sqlalchemy import ColumnElement, String, and_, func
from sqlalchemy.ext.compiler import compiles
from sqlalchemy.sql.functions import GenericFunction

NAME = "folded"


def fold(text: str) -> str:
    """Small letters without their accents: ``Érika`` is ``erika``."""
    if text.isascii():  # a tenth of the time, and most texts
        return text.lower()
    apart = unicodedata.normalize("NFKD", text.casefold())
    return "".join(mark for mark in apart if not unicodedata.combining(mark))


def teach(raw: sqlite3.Connection) -> None:
    """Let one SQLite connection fold."""
    raw.create_function(NAME, 1, lambda text: None if text is None else fold(str(text)), deterministic=True)


def holding(words: str, *columns: Any) -> ColumnElement[bool]:
    """That each of these words stands in one of the columns, as a condition of a question to the store."""
    text: Any = columns[0]
    for column in columns[1:]:
        text = text + " " + column
    return and_(True, *(_Folded(text).contains(fold(word), autoescape=True) for word in words.split()))


class _Folded(GenericFunction[str]):
    """A text of the store, folded there."""

    name = NAME
    type = String()
    inherit_cache = True


@compiles(_Folded, "postgresql")
def _on_a_server(element: _Folded, compiler: Any, **more: Any) -> str:
    apart = func.normalize(*element.clauses, _Form())
    plain = func.regexp_replace(apart, "[\u0300-\u036f]", "", "g")
    return str(compiler.process(func.lower(plain), **more))  # last, since it may know A to Z only


class _Form(ColumnElement[str]):
    """The keyword by which SQL names a normal form; it is no text."""

    inherit_cache = True


@compiles(_Form)
def _form(_element: _Form, _compiler: Any, **_more: Any) -> str:
    return "NFKD"
