"""What every field picture has: a kind with its model, facts in words, numbers in SI, and the document's window."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final

from trainer.drawing.figures.sheet import Figure, Kind, Sheet, measured
from trainer.drawing.text import quantity
from trainer.fields.window import WINDOWS, Window
from trainer.languages import _
from trainer.languages.numerals import as_read

WINDOW_WORDS: Final = ("asme", "iso")
STEELS: Final = (100.0, 500.0)
"""Relative permeabilities between which steels under test lie in such fields; from memory, and said to be so."""
CABLE: Final = 0.02
"""Metres across a 4/0 cable with its cover, which is what two turns side by side are apart; from memory."""
GAUSS: Final = 79.5775
"""A/m that one gauss in air amounts to."""


@dataclass(frozen=True, slots=True)
class Fact:
    """One line beside the picture: what, and how much of it, in words."""

    name: str
    says: str


@dataclass(frozen=True, slots=True)
class FieldKind(Kind):
    """A kind of field picture: beside what a figure has, its model with its limits, and what it finds."""

    model: str
    facts: Callable[[Sheet], tuple[Fact, ...]]


@dataclass(frozen=True, slots=True)
class FieldPicture:
    """A finished field picture."""

    figure: Figure
    facts: tuple[Fact, ...]
    model: str


def metre(sheet: Sheet) -> float:
    """How many metres one unit of the drawing is."""
    return measured(sheet.unit)[1]


def metres(sheet: Sheet, name: str, default: float = math.nan) -> float:
    """A length of the exercise in metres; ``default`` where it has none."""
    return sheet.value(name) * metre(sheet) if sheet.has(name) else default


def window_of(sheet: Sheet) -> Window | None:
    """The window that the drill names, None for a kind that has none."""
    return WINDOWS[sheet.word("window")] if "window" in sheet.kind.words else None


def window_fact(sheet: Sheet) -> tuple[Fact, ...]:
    """The window in words, with its document."""
    window = window_of(sheet)
    if window is None:
        return ()
    return (
        Fact(
            _("Wanted along the surface, the hatched band"),
            f"{as_read(_(window.says))} ({_(window.document)})",
        ),
    )


def field_says(field: float) -> str:
    """A field for a person: 2.51 kA/m (31.5 G)."""
    return f"{quantity(field / 1000, 'kA/m', 3)} ({quantity(field / GAUSS, 'G', 3)})"


def fields_say(low: float, high: float) -> str:
    """Two fields as a range, the smaller first."""
    low, high = min(low, high), max(low, high)
    inner = _("%(low)s to %(high)s", low=quantity(low / 1000, "", 3), high=quantity(high / 1000, "kA/m", 3))
    gauss = _("%(low)s to %(high)s", low=quantity(low / GAUSS, "", 3), high=quantity(high / GAUSS, "G", 3))
    return f"{inner} ({gauss})"


def length_says(sheet: Sheet, length: float) -> str:
    """A length in metres in the unit of the drawing."""
    return quantity(length / metre(sheet), sheet.unit, 3)
