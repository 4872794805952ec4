"""The other kinds of content beside drills: cautions, glossary terms, the bank's own page."""

from __future__ import annotations

from trainer.bank.drill import Frozen, Line, Short, Slug, Source, Text


class BankPage(Frozen):
    """bank.yaml: what this bank is."""

    title: Short
    edition: Short
    languages: tuple[Short, ...]
    licence: Short


class Caution(Frozen):
    """A warning shown with every drill that names it."""

    title: Line
    text: Text
    sources: tuple[Source, ...] = ()


class Cautions(Frozen):
    """cautions.yaml: caution id -> caution."""

    cautions: dict[Slug, Caution]


class Term(Frozen):
    """One word of the trade, what it means here, and where to read on; ``also`` are other ways to write it."""

    term: Line
    means: Text
    also: tuple[Line, ...] = ()
    see: tuple[Line, ...] = ()
    sources: tuple[Source, ...] = ()

    @property
    def anchor(self) -> str:
        """Where it stands on the glossary page."""
        return self.term.replace(" ", "-")


class Glossary(Frozen):
    """glossary.yaml: all terms, in any order."""

    terms: tuple[Term, ...]
