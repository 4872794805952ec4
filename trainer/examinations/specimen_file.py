"""A file of specimens: the house's own YAML, with every faulty specimen named by its line.

    specimens:
      - code: P4
        title: Butt weld, 300 mm
        known:
          - {kind: toe crack, x: 120, y: 45, length: 8, must: true}

Places and lengths are in mm, as in a map that is typed (`examinations/specimen.py`).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from trainer.bank.reader import read_model
from trainer.bank.specimen import KnownThere, SpecimenPage
from trainer.bank.yamltext import Located, Place, read_yaml
from trainer.errors import Fault, FaultyFiles
from trainer.examinations.specimen import Known
from trainer.languages import _

MOST_BYTES = 200_000
MOST_SPECIMENS = 200
LIST = "specimens"
EXAMPLE = """specimens:
  - code: P4
    title: Butt weld, 300 mm
    known:
      - {kind: toe crack, x: 120, y: 45, length: 8, must: true}
      - {kind: seam, x: 33, y: 77, length: 21.5}
  - code: P5
    title: Brake pin
    known:
      - {kind: grinding cracks, x: 40, y: 0, length: 12}
"""


@dataclass(frozen=True, slots=True)
class Piece:
    """One specimen of a file: the line on which it begins, its code, what it is, and its map."""

    line: int
    code: str
    title: str
    known: tuple[Known, ...]


def read(data: bytes) -> tuple[tuple[Piece, ...], tuple[Fault, ...]]:
    """The specimens of a file that can be read, and the faults of all the others; nothing is raised."""
    try:
        located = read_yaml(data, LIST, MOST_BYTES)
    except FaultyFiles as unreadable:
        return (), unreadable.faults
    top = located.data
    if not isinstance(top, dict) or set(top) != {LIST} or not isinstance(top[LIST], list) or not top[LIST]:
        says = _("the file must have one key, %(key)s, with a list of them below it", key=LIST)
        return (), (located.fault((), says),)
    if len(top[LIST]) > MOST_SPECIMENS:
        says = _(
            "a file holds at most %(most)s specimens, this one has %(count)s; send it in parts",
            most=MOST_SPECIMENS,
            count=len(top[LIST]),
        )
        return (), (located.fault((LIST,), says),)
    pieces: list[Piece] = []
    faults: list[Fault] = []
    for one in _apart(located, top[LIST]):
        try:
            found = read_model(SpecimenPage, one)
        except FaultyFiles as faulty:
            faults += faulty.faults
        else:
            known = tuple(_known(part) for part in found.known)
            pieces.append(Piece(one.mark(())[0], found.code, found.title, known))
    return tuple(pieces), tuple(faults)


def _apart(located: Located, items: list[Any]) -> list[Located]:
    """Each specimen of the list as if it were a file of its own, its places those of the whole file."""
    marks: list[dict[Place, tuple[int, int]]] = [{} for _ in items]
    for place, mark in located.marks.items():
        if len(place) > 1 and isinstance(place[1], int):
            marks[place[1]][place[2:]] = mark
    return [Located(LIST, item, own) for item, own in zip(items, marks, strict=True)]


def _known(there: KnownThere) -> Known:
    """The same as a typed map keeps it: plain decimals without zeros that say nothing."""
    x, y, length = (
        format(Decimal(repr(one + 0.0)).normalize(), "f") for one in (there.x, there.y, there.length)
    )
    return Known(there.kind, x, y, length, there.must)
