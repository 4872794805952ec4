"""Hand-outs: numbered sheets of exercises to be worked on paper, each with its own numbers, and the keys behind them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime

from trainer.errors import Refused
from trainer.languages import _
from trainer.printing import setting

MOST_SHEETS = 40
MOST_ITEMS = 400


@dataclass(frozen=True, slots=True)
class Given:
    """One line of the parts list: what it belongs to (empty where the line above says it), name, sign, value."""

    owner: str
    name: str
    symbol: str
    value: str


@dataclass(frozen=True, slots=True)
class Item:
    """One exercise to be worked, with its key; ``accepted`` is a sentence. ``drawing`` stands alone, or is empty."""

    ask: str
    situation: str
    drawing: str
    scale: str
    given: tuple[Given, ...]
    unknown: str
    answer: str
    accepted: str
    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Sheet:
    """The exercises of one person; ``name`` is empty where it is to be written in."""

    number: int
    name: str
    items: tuple[Item, ...]


def pdf(title: str, house: str, of: str, sheets: Sequence[Sheet], made: datetime) -> bytes:
    """Draw the sheets, each on pages of its own, then the keys in the same order; the same data, the same bytes.

    ``of`` tells these sheets from others of the same set, so that key and sheet find each other. Raises Refused
    where there is nothing to print, too much, or a sign that no font here has.
    """
    if not 0 < len(sheets) <= MOST_SHEETS or not 0 < sum(len(one.items) for one in sheets) <= MOST_ITEMS:
        raise Refused(
            _(
                "Print 1 to %(sheets)s sheets with at most %(items)s exercises together.",
                sheets=MOST_SHEETS,
                items=MOST_ITEMS,
            )
        )
    shown = {"title": title, "house": house, "of": of, "sheets": [asdict(one) for one in sheets]}
    return setting.pdf("handout.typ", shown, made)
