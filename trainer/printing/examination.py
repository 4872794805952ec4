"""Examinations on paper: numbered papers to be written on, and apart from them the keys with a marking grid."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime

from trainer.printing import setting
from trainer.printing.handout import Given


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a question."""

    letter: str
    text: str


@dataclass(frozen=True, slots=True)
class Item:
    """One item: a question with options, or a drill without. ``answer`` is its key: a letter, or a value.

    ``drawing`` is an SVG that stands alone, or empty; ``accepted``, a sentence, and ``steps`` are a drill's.
    """

    ask: str
    situation: str
    drawing: str
    scale: str
    given: tuple[Given, ...]
    options: tuple[Option, ...]
    unknown: str
    answer: str
    accepted: str = ""
    steps: tuple[str, ...] = ()

    def without_key(self) -> dict[str, object]:
        """Return what may stand on the candidate's paper; the file holds no more than it shows."""
        return {
            name: value for name, value in asdict(self).items() if name not in {"answer", "accepted", "steps"}
        }


@dataclass(frozen=True, slots=True)
class Paper:
    """One numbered paper."""

    number: int
    items: tuple[Item, ...]


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands over every paper: title, house, the examination's number, and the rules in a sentence or two."""

    title: str
    house: str
    of: str
    rules: str


def papers(heading: Heading, wanted: Sequence[Paper], made: datetime) -> bytes:
    """Draw the papers, each on pages of its own, without any key. Raises Refused as ``setting.pdf`` does."""
    shown = [{"number": one.number, "items": [item.without_key() for item in one.items]} for one in wanted]
    return setting.pdf("examination.typ", {**asdict(heading), "papers": shown}, made)


def keys(heading: Heading, wanted: Sequence[Paper], made: datetime) -> bytes:
    """Draw the marking grid, then the key of every paper. Raises Refused as ``setting.pdf`` does."""
    shown = {**asdict(heading), "papers": [asdict(one) for one in wanted]}
    return setting.pdf("examination_keys.typ", shown, made)
