"""Read one field of a written entry as what it should be, or say what is wrong and what to write.

Reading stops at the first thing wrong in an entry: a sentence about one mistake helps more than ten
about its consequences.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from fractions import Fraction

from trainer.languages import _
from trainer.qualification.entries import ROLES, Level, Signature
from trainer.qualification.reading.notation import Branch, Leaf, Listing, Node

LONGEST_TEXT = 4000
_DECIMAL = re.compile(r"[0-9]{1,9}(\.[0-9]{1,9})?", re.ASCII)
_WHOLE = re.compile(r"[0-9]{1,6}", re.ASCII)
_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", re.ASCII)
_CLOCK = re.compile(r"([01][0-9]|2[0-3]):([0-5][0-9])", re.ASCII)
_METHOD = re.compile(r"[A-Z][A-Z0-9]{1,7}", re.ASCII)
_LEVELS = {"1": Level.I, "I": Level.I, "2": Level.II, "II": Level.II}


class Amiss(Exception):
    """Something written is wrong: where, and the words for it."""

    def __init__(self, line: int, column: int, says: str) -> None:
        super().__init__(says)
        self.line, self.column, self.says = line, column, says


def quoted(text: str) -> str:
    """Show written text in a sentence: shortened, on one line, with nothing unprintable."""
    shown = "".join(c if c.isprintable() else "?" for c in text[:60])
    return f"'{shown}{'...' if len(text) > 60 else ''}'"


def listed(words: Iterable[str]) -> str:
    """Join words for a sentence: a, b or c."""
    all_words = list(words)
    if len(all_words) == 1:
        return all_words[0]
    return _("%(first)s or %(last)s", first=", ".join(all_words[:-1]), last=all_words[-1])


class Fields:
    """The fields of one mapping, read by name."""

    def __init__(self, node: Node, what: str) -> None:
        if not isinstance(node, Branch):
            raise Amiss(
                node.line, node.column, _("%(what)s must be a mapping such as {name: value}", what=what)
            )
        self.node, self.what = node, what

    def amiss(self, name: str, says: str) -> Amiss:
        """Make the complaint about a field, at its place (or the mapping's, if it is not there)."""
        line, column = self.node.places.get(name, (self.node.line, self.node.column))
        return Amiss(line, column, says)

    def only(self, known: Iterable[str], of_what: str = "") -> None:
        """Refuse the first field whose name is not known."""
        names = sorted(known)
        for name in self.node.pairs:
            if name not in names:
                says = _(
                    "%(name)s is not known here; %(what)s takes %(names)s",
                    name=quoted(name),
                    what=of_what or self.what,
                    names=listed(names),
                )
                raise self.amiss(name, says)

    def has(self, name: str) -> bool:
        """Say whether something was written under this name."""
        node = self.node.pairs.get(name)
        return node is not None and not (isinstance(node, Leaf) and node.empty)

    def get(self, name: str) -> Node:
        """Return what was written under a name that must be there."""
        if not self.has(name):
            raise self.amiss(
                name, _("%(name)s is missing from %(what)s; add it", name=quoted(name), what=self.what)
            )
        return self.node.pairs[name]

    def leaf(self, name: str, expected: str) -> Leaf:
        """Return a single value that must be there."""
        node = self.get(name)
        if not isinstance(node, Leaf):
            raise self.amiss(
                name,
                _(
                    "%(name)s must be %(expected)s, not a list or a mapping",
                    name=quoted(name),
                    expected=expected,
                ),
            )
        return node

    def text(self, name: str) -> str:
        """Read a text that must be there."""
        text = self.leaf(name, _("one text")).text.strip()
        if not text or len(text) > LONGEST_TEXT:
            raise self.amiss(
                name,
                _(
                    "%(name)s must hold between 1 and %(longest_text)s characters",
                    name=quoted(name),
                    longest_text=LONGEST_TEXT,
                ),
            )
        return text

    def choice(self, name: str, words: Iterable[str], default: str | None = None) -> str:
        """Read one of some words; without a default it must be there."""
        if default is not None and not self.has(name):
            return default
        text, options = self.text(name), list(words)
        if text not in options:
            raise self.amiss(
                name,
                _(
                    "%(name)s %(text)s is not known; write %(options)s",
                    name=name,
                    text=quoted(text),
                    options=listed(options),
                ),
            )
        return text

    def flag(self, name: str) -> bool | None:
        """Read ``true`` or ``false``; none if not written."""
        if not self.has(name):
            return None
        leaf = self.leaf(name, _("true or false"))
        if not leaf.plain or leaf.text not in ("true", "false"):
            raise self.amiss(
                name,
                _(
                    "%(name)s %(text)s is no boolean; write true or false unquoted",
                    name=name,
                    text=quoted(leaf.text),
                ),
            )
        return leaf.text == "true"

    def decimal(self, name: str) -> Fraction:
        """Read a plain decimal exactly as written: digits, perhaps a point and digits; no sign, no exponent."""
        text = self.leaf(name, _("a plain decimal")).text
        if not _DECIMAL.fullmatch(text):
            raise self.amiss(
                name,
                _(
                    "%(name)s %(text)s is not a plain decimal; write for example 7.25",
                    name=name,
                    text=quoted(text),
                ),
            )
        return Fraction(text)

    def whole(self, name: str, least: int = 0) -> int:
        """Read a whole count."""
        text = self.leaf(name, _("a whole number")).text
        if not _WHOLE.fullmatch(text) or int(text) < least:
            raise self.amiss(
                name,
                _(
                    "%(name)s %(text)s is not a whole number from %(least)s on; write for example 12",
                    name=name,
                    text=quoted(text),
                    least=least,
                ),
            )
        return int(text)

    def day(self, name: str) -> date:
        """Read a day of the calendar."""
        text = self.leaf(name, _("a day")).text
        day = day_of(text)
        if day is None:
            raise self.amiss(
                name,
                _(
                    "%(name)s %(text)s is not a day of the calendar; write year-month-day such as 2025-02-28",
                    name=name,
                    text=quoted(text),
                ),
            )
        return day

    def clock(self, name: str) -> int:
        """Read a time of day as minutes after midnight."""
        text = self.leaf(name, _("a time")).text
        found = _CLOCK.fullmatch(text)
        if not found:
            raise self.amiss(
                name,
                _(
                    '%(name)s %(text)s is not a time of day; write for example "07:30"',
                    name=name,
                    text=quoted(text),
                ),
            )
        return int(found[1]) * 60 + int(found[2])

    def level(self, name: str) -> Level:
        """Read Level I or II, written either way."""
        text = self.leaf(name, _("a level")).text
        if text not in _LEVELS:
            raise self.amiss(
                name,
                _("%(name)s %(text)s is not known; write I or II (or 1 or 2)", name=name, text=quoted(text)),
            )
        return _LEVELS[text]

    def method(self, name: str) -> str:
        """Read one method's letters."""
        return self._letters(name, self.text(name))

    def methods(self, name: str, least: int) -> tuple[str, ...]:
        """Read a list of different methods."""
        node = self.get(name)
        if not isinstance(node, Listing):
            raise self.amiss(name, _("%(name)s must be a list such as [MT, PT]", name=name))
        texts = [item.text if isinstance(item, Leaf) else "" for item in node.nodes]
        found = tuple(self._letters(name, text) for text in texts)
        if len(found) < least or len(set(found)) != len(found):
            raise self.amiss(
                name,
                _(
                    "%(name)s must name %(least)s or more different methods, such as [MT, PT]",
                    name=name,
                    least=least,
                ),
            )
        return found

    def _letters(self, name: str, text: str) -> str:
        if not _METHOD.fullmatch(text):
            raise self.amiss(
                name,
                _(
                    "%(name)s %(text)s is no method; write capital letters such as MT",
                    name=name,
                    text=quoted(text),
                ),
            )
        return text

    def names(self, name: str) -> tuple[str, ...]:
        """Read one text or a list of texts; empty if not written."""
        if not self.has(name):
            return ()
        node = self.get(name)
        nodes = node.nodes if isinstance(node, Listing) else [node]
        if not all(isinstance(item, Leaf) and item.text.strip() for item in nodes):
            raise self.amiss(name, _("%(name)s must be a list of texts such as [e1, e2]", name=name))
        return tuple(item.text.strip() for item in nodes if isinstance(item, Leaf))

    def signature(self, name: str) -> Signature:
        """Read ``{person, role}``."""
        inner = Fields(self.get(name), name)
        inner.only(("person", "role"))
        return Signature(inner.text("person"), inner.choice("role", ROLES))


def level_of(text: str) -> Level | None:
    """Read a level that stands by itself, such as a command's option; none if it is not one."""
    return _LEVELS.get(text.strip())


def day_of(text: str) -> date | None:
    """Read a day written as year-month-day; none if it is not a day of the calendar."""
    if not _DAY.fullmatch(text.strip()):
        return None
    try:
        return date.fromisoformat(text.strip())
    except ValueError:
        return None
