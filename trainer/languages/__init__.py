"""The language of what is read: sentences are written in English and looked up in the reader's catalogue.

A sentence of the program stands in the code as ``_("The unit is missing.")``; text on a page needs no mark
(`web.page_words`). What either says in another language stands in ``trainer/languages/<tag>/*.po``, the standard
text form of gettext, and what content says in ``question_bank/languages``. What is missing there stays English.

A word that means two things, or would have to agree with what it is said of, is looked up in a context, a noun:
``pgettext("sitting", "open")`` in the code, ``{% trans "sitting" %}open{% endtrans %}`` on a page.

The language is a property of the reader, so it travels with the context and not through every signature. What is
*kept*, signed or read by programs (notes of the chain, records, tables for others) is always English: write it
outside ``reading_in`` or inside ``reading_in("en")``.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from gettext import NullTranslations

from trainer.languages.catalogue import catalogue, content_catalogue
from trainer.languages.numerals import has_comma, reading_with, with_commas

LANGUAGES = {"en": "English", "es": "Español"}
"""The languages of the pages, each as its own readers write it; the first is what everything is written in."""
WRITTEN_IN = "en"

_reader: ContextVar[tuple[str, NullTranslations]] = ContextVar(
    "reader", default=(WRITTEN_IN, NullTranslations())
)


def language() -> str:
    """The tag of the reader's language (BCP 47), such as "es"."""
    return _reader.get()[0]


def read_in(tag: str) -> None:
    """From here on the reader's language is this one; one that is not known is English."""
    tag = tag if tag in LANGUAGES else WRITTEN_IN
    _reader.set((tag, NullTranslations() if tag == WRITTEN_IN else catalogue(tag)))


@contextmanager
def reading_in(tag: str) -> Iterator[None]:
    """What is said inside is said in this language, its numbers with a point."""
    before = _reader.get()
    read_in(tag)
    try:
        with reading_with("point"):
            yield
    finally:
        _reader.set(before)


def _(text: str, /, **values: object) -> str:
    """This sentence in the reader's language, its ``%(name)s`` filled in.

    A percent sign is written twice where values are filled in, once where none are.
    """
    said = _reader.get()[1].gettext(text) if text else ""  # the empty text is the catalogue's own heading
    return said % values if values else said


def pgettext(context: str, text: str, /, **values: object) -> str:
    """This sentence as it is said of ``context``, its ``%(name)s`` filled in."""
    said = _reader.get()[1].pgettext(context, text)
    return said % values if values else said


def ngettext(one: str, many: str, n: int, /, **values: object) -> str:
    """This sentence for ``n`` things in the reader's language; ``%(n)s`` is their number."""
    return plural(one, many, n) % {"n": n, **values}


def content(text: str, /) -> str:
    """A text of the question bank in the reader's language."""
    tag = language()
    if tag == WRITTEN_IN or not text:  # the empty text is the catalogue's own heading
        return text
    said = content_catalogue(tag).gettext(text)
    return with_commas(said) if has_comma() else said


def plural(one: str, many: str, n: int, /) -> str:
    """The form of a sentence that goes with ``n``, nothing filled in yet."""
    return _reader.get()[1].ngettext(one, many, n)


def N_(text: str) -> str:  # noqa: N802  # its name in every gettext
    """Mark a sentence of a table for the catalogue; it is looked up with ``_`` where it is shown."""
    return text


def NP_(context: str, text: str) -> str:  # noqa: N802  # as N_
    """Mark a sentence of a table for the catalogue, to be looked up with ``pgettext`` and this context."""
    return text
