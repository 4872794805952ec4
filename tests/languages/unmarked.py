"""Find the words on a page that no catalogue can reach: pages are read in a language that only puts marks round them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from gettext import NullTranslations
from html.parser import HTMLParser

from sqlalchemy import String, Text, select
from sqlalchemy.orm import Session

from trainer.formulas.units import signs
from trainer.store.models import Model
from trainer.web.page_words import SPOKEN

TAG = "xx"
OPEN, SHUT = "\u27e6", "\u27e7"
SHOWN = {*SPOKEN, "label", "value"}
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
UNREAD = {"script", "style", "math", "code", "kbd", "pre", "textarea"}
VALUE = re.compile(r"(%\(\w+\)[sd]|\{\w+\})")
WORD = re.compile(r"[A-Za-zÀ-ÿ]{2,}")
# Names that are the same in every language: what the program and its roles of documents are called.
NAMES = {"MT", "trainer", "English", "Español", "pdf", "PDF", "CSV", "XLSX", "JSON", "YAML", "SHA", "UTC", "xAPI", "QTI", "III", "II", "Level"}  # fmt: skip


class Marks(NullTranslations):
    """A language in which every sentence is itself between marks; what is filled in stands outside of them."""

    def gettext(self, message: str) -> str:
        """The sentence between marks."""
        return OPEN + VALUE.sub(rf"{SHUT}\1{OPEN}", message) + SHUT

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The form that English has for ``n``, between marks."""
        return self.gettext(msgid1 if n == 1 else msgid2)


class _Reading(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._inside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        shown = dict(attrs)
        for name, value in shown.items():
            typed = name == "value" and (tag != "input" or shown.get("type") not in {"submit", "button"})
            if value and not typed and name in SHOWN:
                self.texts.append(value)
        if tag not in VOID:
            self._inside.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.handle_starttag(tag, attrs)
        if tag not in VOID:
            self._inside.pop()

    def handle_endtag(self, tag: str) -> None:
        while self._inside and self._inside.pop() != tag:
            pass

    def handle_data(self, data: str) -> None:
        if not UNREAD & set(self._inside):
            self.texts.append(data)


def texts_of(page: str) -> list[str]:
    """Everything on a page that is read or spoken, marks and all; text between two marks stays in one piece."""
    reading = _Reading()
    reading.feed(page)
    return reading.texts


def unmarked(page: str, data: Iterable[str] = ()) -> Iterator[str]:
    """Yield what of a page stands outside of all marks and is no ``data``, name, unit or number."""
    known = {one.casefold() for text in data for one in WORD.findall(text)} | _known()
    depth = 0
    for text in texts_of(page):
        outside, depth = _outside(text, depth)
        if any(word.casefold() not in known for word in WORD.findall(outside)):
            yield " ".join(outside.split())


def data_of(session: Session) -> set[str]:
    """Every text that somebody has typed or that is kept as it was written: names, reasons, notes."""
    found: set[str] = set()
    for table in Model.metadata.sorted_tables:
        for column in table.columns:
            if isinstance(column.type, (String, Text)) and "content" not in column.name:
                found |= {one for one in session.scalars(select(column).distinct()) if isinstance(one, str)}
    return found


def _outside(text: str, depth: int) -> tuple[str, int]:
    kept = []
    for sign in text:
        depth += (sign == OPEN) - (sign == SHUT)
        kept.append(sign if depth == 0 and sign != SHUT else " ")
    return "".join(kept), depth


def _known() -> set[str]:
    shown = {word.casefold() for sign in signs() for word in WORD.findall(sign)}
    return shown | {name.casefold() for name in NAMES}
