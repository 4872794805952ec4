"""Find the words on a page that no catalogue can reach: pages are read in a language that only puts marks round them."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from dataclasses import asdict
from gettext import NullTranslations
from html.parser import HTMLParser

import yaml
from sqlalchemy import JSON, String, select
from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.formulas.units import signs
from trainer.records import certificate
from trainer.services.qualifying import schemes
from trainer.settings import bank_folder
from trainer.store.models import DraftRevision, Export, Model
from trainer.web.page_words import SPOKEN

TAG = "xx"
OPEN, SHUT = "\u27e6", "\u27e7"
SHOWN = {*SPOKEN, "label", "value"}
VOID = {"area", "base", "br", "col", "embed", "hr", "img", "input", "link", "meta", "source", "track", "wbr"}
UNREAD = {"script", "style", "math", "code", "kbd", "pre", "textarea"}
VALUE = re.compile(r"(%\(\w+\)[sd]|\{\w+\})")
SENTENCE = re.compile(r"\s*[^.?!]+[.?!]*|[.?!]+")
KEY = re.compile(r"[a-z_]+")
# An address of our own, where a script puts a value, the number of a thing, an edition, a key.
PLACE = re.compile(
    r"^/[\w/-]*$|\{\w+\}|\b[a-z]+(?:-[a-z]+)*-\d+\b|\b[0-9a-f]{8}\b|\bdid:key:\w+|\burn:uuid:[\w-]+"
)
WORD = re.compile(r"[A-Za-zÀ-ÿ]{2,}")
# Names that are the same in every language: what the program and its roles of documents are called.
NAMES = {"MT", "trainer", "English", "Español", "pdf", "PDF", "CSV", "XLSX", "JSON", "YAML", "SHA", "UTC", "xAPI", "QTI", "III", "II", "Jaeger", "kB", "marks", "lap"}  # fmt: skip


class Marks(NullTranslations):
    """A language in which every sentence is itself between marks; what is filled in stands outside of them."""

    def gettext(self, message: str) -> str:
        """The sentence between marks."""
        return OPEN + VALUE.sub(rf"{SHUT}\1{OPEN}", message) + SHUT

    def pgettext(self, context: str, message: str) -> str:
        """The same in every context."""
        return self.gettext(message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """The form that English has for ``n``, between marks."""
        return self.gettext(msgid1 if n == 1 else msgid2)


class SentenceMarks(Marks):
    """The same for content, each sentence by itself: a page may show the last one as its heading."""

    def gettext(self, message: str) -> str:
        """Each sentence of the text between marks."""
        return "".join(super(SentenceMarks, self).gettext(one) for one in SENTENCE.findall(message))


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


def unmarked(page: str, names: re.Pattern[str]) -> Iterator[str]:
    """Yield what of a page stands outside of all marks and is no name, unit, number or what somebody typed."""
    known, depth = _known(), 0
    for text in texts_of(page):
        outside, depth = _outside(text, depth)
        left = names.sub(" ", PLACE.sub("", outside))
        if any(word.casefold() not in known for word in WORD.findall(left)):
            yield " ".join(outside.split())


def any_of(kept: Iterable[str], names: Iterable[str]) -> re.Pattern[str]:
    """A pattern that finds what is ``kept`` and all ``names``; longer ones go before what is inside them.

    Of what is kept a single word in small letters is left out: it is a key, and what a page shows for it is
    translated.
    """
    typed = {one for text in kept for one in map(str.strip, text.splitlines()) if not KEY.fullmatch(one)}
    wanted = sorted((one for one in {*typed, *names} if WORD.search(one)), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(re.escape(one) for one in wanted)})(?!\w)")


def data_of(session: Session) -> set[str]:
    """Every text that somebody has typed or that is kept as it was written: names, reasons, notes."""
    found: set[str] = set()
    for table in Model.metadata.sorted_tables:
        for column in table.columns:
            if isinstance(column.type, (String, JSON)) and "content" not in column.name:
                found |= _strings(list(session.scalars(select(column))))
    for text in session.scalars(select(DraftRevision.text)):
        found |= {part for one in _strings(yaml.safe_load(text)) for part in SENTENCE.findall(one)}
    for body in session.scalars(select(Export.body)):  # a record is shown as it was signed, in English
        found |= _strings(json.loads(body)) | _strings(certificate.shown(body.encode()))
    return found


def names_of(bank: Bank) -> set[str]:
    """What stays as it is in every language: documents with edition and clause, signs of quantities, schemes."""
    found = {
        text or ""
        for term in bank.terms
        for one in term.sources
        for text in (one.document, one.edition, one.clause)
    }
    found |= set().union(*(_strings(asdict(one)) for one in schemes.known(bank_folder()).values()))
    for practical in (entry.practical for entry in bank.practicals.values()):
        found |= {text or "" for one in practical.sources for text in (one.document, one.edition, one.clause)}
    for drill in (entry.drill for entry in bank.drills.values()):
        found |= {text or "" for one in drill.sources for text in (one.document, one.edition, one.clause)}
        found |= {*drill.quantities, *(one.shown or "" for one in drill.quantities.values())}
    for job in (entry.job for entry in bank.jobs.values()):
        found |= {*job.given, *(part.answer for part in job.parts)}
    for question in (entry.question for entry in bank.questions.values()):
        fact = getattr(question, "fact", None)
        found |= {fact.document, fact.edition, fact.clause} if fact else set()
    return found


def _strings(value: object) -> set[str]:
    """Every text in plain data, however deep."""
    if isinstance(value, str):
        return {value}
    if isinstance(value, dict):
        return set().union(*(_strings(one) for pair in value.items() for one in pair))
    return set().union(*(_strings(one) for one in value)) if isinstance(value, (list, tuple)) else set()


def _outside(text: str, depth: int) -> tuple[str, int]:
    kept = []
    for sign in text:
        depth += (sign == OPEN) - (sign == SHUT)
        kept.append(sign if depth == 0 and sign != SHUT else " ")
    return "".join(kept), depth


def _known() -> set[str]:
    shown = {word.casefold() for sign in signs() for word in WORD.findall(sign)}
    return shown | {name.casefold() for name in NAMES}
