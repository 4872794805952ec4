"""A specimen as a file of the house brings it. Such files are never part of a bank: what is in one is a secret."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StringConstraints, field_validator

from trainer.bank.drill import Frozen

MOST_CODE = 20
MOST_TITLE = 80
MOST_KNOWN = 12
MOST_KIND = 80
FARTHEST = 10_000
"""mm from an edge of the piece, and in length."""
Millimetres = Annotated[float, Field(ge=0, le=FARTHEST)]


def _words(most: int) -> StringConstraints:
    return StringConstraints(min_length=1, max_length=most, strip_whitespace=True)


class KnownThere(Frozen):
    """One known discontinuity: what it is, where it begins and how long it is, in mm; ``must``: never to be missed."""

    kind: Annotated[str, _words(MOST_KIND)]
    x: Millimetres
    y: Millimetres
    length: Millimetres
    must: bool = False

    @field_validator("kind")
    @classmethod
    def _plain(cls, kind: str) -> str:
        if not kind.isprintable() or ";" in kind:
            raise ValueError("write the kind in plain words, without a semicolon")
        return kind


class SpecimenPage(Frozen):
    """A specimen: the code stamped on it, what the candidate may be told, and what is known to be in it."""

    code: Annotated[str, _words(MOST_CODE)]
    title: Annotated[str, _words(MOST_TITLE)]
    known: Annotated[tuple[KnownThere, ...], Field(min_length=1, max_length=MOST_KNOWN)]
