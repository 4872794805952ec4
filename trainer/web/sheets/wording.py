"""Words of the trade in running text, each linked to the glossary where it first stands on a page.

Only plain text goes through here: it is escaped piece by piece, so that markup and formulas stay what they are.
"""

from __future__ import annotations

from functools import lru_cache

from flask import Flask, g
from markupsafe import Markup, escape

from trainer.bank.vocabulary import Vocabulary
from trainer.web.access import anybody, parts
from trainer.web.addresses import address


def install(app: Flask) -> None:
    """Give every template the filters ``worded`` and ``lettered``."""
    app.jinja_env.filters |= {"worded": _worded, "lettered": lettered}


def _worded(text: str) -> Markup:
    return linked(text, parts().words) if anybody() is not None else escape(text)


@lru_cache(maxsize=1024)
def lettered(symbol: str) -> Markup:
    """A quantity's letter; what follows an underscore is its lowered index, as in d_eff."""
    letter, _underscore, index = symbol.partition("_")
    return Markup("<var>{}</var><sub>{}</sub>" if index else "<var>{}</var>").format(letter, index)


def linked(text: str, vocabulary: Vocabulary) -> Markup:
    """Escape a plain text and link the terms that this page has not linked yet."""
    words = vocabulary.find(text)
    if not words:
        return escape(text)
    done: set[str] = g.setdefault("words_linked", set())
    out, at = [], 0
    for found in words:
        if found.term.term in done:
            continue
        done.add(found.term.term)
        href = address("reference.glossary", _anchor=found.term.anchor)
        link = f'<a class="word" href="{escape(href)}">{escape(text[found.start : found.end])}</a>'
        out += [escape(text[at : found.start]), link]
        at = found.end
    return Markup("".join((*out, escape(text[at:]))))
