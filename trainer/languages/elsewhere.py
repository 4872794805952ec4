"""Sentences in files that are neither Python nor pages: forms of the PDF writer, the page that verifies by itself.

Such a file cannot look anything up while the program runs. What it says is found by these patterns, for the
catalogues as for the file itself, and goes into it as a table: English -> what the reader reads.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterable

from trainer.languages import _, pgettext
from trainer.languages.catalogue import SAID_OF

FILES = ("*.typ", "verify_page*.js", "verify_page*.html")
_QUOTED = r'"((?:[^"\\]|\\.)+)"'
_SAID = {
    ".typ": re.compile(rf'said\({_QUOTED}(?:, about: "([^"]+)")?'),
    ".js": re.compile(rf'(?:(?:\bN?_|unreadable|altered)\(|Fault\("[^"]*",)\s*{_QUOTED}()'),
}
_BETWEEN_TAGS = re.compile(r">\s*([^<>{]*[^<>{\s])\s*<")


def texts(ending: str, source: str) -> set[str]:
    """Every sentence of a file with this ending, behind its context where it has one."""
    if ending == ".html":
        return {" ".join(text.split()) for text in _BETWEEN_TAGS.findall(source)}
    found = _SAID[ending].findall(source)
    return {(f"{context}{SAID_OF}" if context else "") + json.loads(f'"{text}"') for text, context in found}


def words(wanted: Iterable[str]) -> dict[str, str]:
    """What each sentence says in the reader's language."""
    return {text: _looked_up(*text.rpartition(SAID_OF)) for text in sorted(wanted)}


def _looked_up(context: str, _sign: str, text: str) -> str:
    return pgettext(context, text) if context else _(text)
