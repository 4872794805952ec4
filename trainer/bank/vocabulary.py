"""The words of the glossary found in plain text: which, and where."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from typing import Final, NamedTuple

from trainer.bank.models import Term

MOST: Final = 1024  # texts whose words are remembered


class Found(NamedTuple):
    """A term as it stands in a text, from ``start`` up to ``end``."""

    start: int
    end: int
    term: Term


class Vocabulary:
    """All terms with their other spellings. A longer one goes before a shorter one inside it.

    What was found in a text is remembered: the texts of a bank are few and stand on many pages.
    """

    def __init__(self, terms: Iterable[Term]) -> None:
        self._terms = {spelling.casefold(): term for term in terms for spelling in (term.term, *term.also)}
        longest = sorted(self._terms, key=len, reverse=True)
        words = "|".join(re.escape(spelling) for spelling in longest)
        # a plural is the same word; letters, digits and hyphens around it make it another one
        self._pattern = (
            re.compile(rf"(?<![\w-])({words})(?:s|es)?(?![\w-])", re.IGNORECASE) if words else None
        )

        self._found = lru_cache(maxsize=MOST)(self._search)

    def find(self, text: str) -> tuple[Found, ...]:
        """Return every term of the text in its order."""
        return self._found(text)

    def _search(self, text: str) -> tuple[Found, ...]:
        return tuple(
            Found(found.start(), found.end(), self._terms[found[1].casefold()])
            for found in (self._pattern.finditer(text) if self._pattern else ())
        )
