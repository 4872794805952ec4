"""Words of the trade in running text, each linked to the glossary where it first stands on a page.

Only plain text goes through here: it is escaped piece by piece, so that markup and formulas stay what they are.
"""

from __future__ import annotations

from flask import Flask, g, url_for
from markupsafe import Markup, escape

from trainer.bank.vocabulary import Vocabulary
from trainer.web.access import anybody, parts


def install(app: Flask) -> None:
    """Give every template the filter ``worded``."""
    app.jinja_env.filters["worded"] = _worded


def _worded(text: str) -> Markup:
    return linked(text, parts().words) if anybody() is not None else escape(text)


def linked(text: str, vocabulary: Vocabulary) -> Markup:
    """Escape a plain text and link the terms that this page has not linked yet."""
    done: set[str] = g.setdefault("words_linked", set())
    out, at = Markup(), 0
    for found in vocabulary.find(text):
        if found.term.term in done:
            continue
        done.add(found.term.term)
        href = url_for("reference.glossary", _anchor=found.term.anchor)
        out += escape(text[at : found.start])
        out += Markup('<a class="word" href="{}">{}</a>').format(href, text[found.start : found.end])
        at = found.end
    return out + escape(text[at:])
