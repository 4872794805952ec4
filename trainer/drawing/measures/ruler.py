"""The ruler: a steel rule of the time ahead, one mark a week, with everything that runs out in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.strip import day_text
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import cut

WIDE = 300.0
EDGE, TOP = 58.0, 34.0
ROW = 20.0
"""Leaders stand at least this far apart."""


@dataclass(frozen=True, slots=True)
class Due:
    """Something that runs out: who and what in a few words, and its last day."""

    name: str
    until: date


def ruler(
    items: Sequence[Due], today: date, *, days: int = 90, fid: str = "ruler", words: Words = READER
) -> str:
    """The next ``days`` days downwards, with a leader for each item that runs out in them or has run out."""
    last = today + timedelta(days=days)
    shown = sorted((item for item in items if item.until <= last), key=lambda item: (item.until, item.name))
    pitch = 330.0 / days
    rows = _rows([max(0, (item.until - today).days) * pitch + TOP for item in shown])
    high = max(TOP + days * pitch, rows[-1] if rows else 0.0) + 26
    plate = Plate(fid, WIDE, high)
    plate.rect(8, TOP - 20, EDGE - 8, days * pitch + 38, "edge solid")
    for week in range(0, days + 1, 7):
        plate.line(EDGE - 8, TOP + week * pitch, EDGE, TOP + week * pitch, "fine")
    _months(plate, today, days, pitch, words)
    plate.line(2, TOP, WIDE - 4, TOP, "today")
    plate.write(WIDE - 4, TOP - 6, words.ruler_today.format(date=day_text(today, words)), "size", "end")
    for item, row in zip(shown, rows, strict=True):
        y = TOP + max(0, (item.until - today).days) * pitch
        points = f"{n(EDGE)},{n(y)} {n(EDGE + 20)},{n(row)} {n(EDGE + 30)},{n(row)}"
        plate.raw(f'<polyline class="leader" points="{points}"/>')
        plate.write(
            EDGE + 35, row + 4.5, cut(_text(item, today, words), 13, WIDE - EDGE - 38), "size", "start"
        )
    title = words.ruler_title.format(start=day_text(today, words), end=day_text(last, words))
    return plate.finish(title, "; ".join(_text(item, today, words) for item in shown) or words.ruler_none)


def _text(item: Due, today: date, words: Words) -> str:
    if item.until < today:
        return words.ruler_over.format(name=item.name)
    return words.ruler_item.format(name=item.name, date=day_text(item.until, words))


def _rows(wanted: Sequence[float]) -> list[float]:
    """Where the words stand: as near to their marks as the row height allows, in the same order."""
    rows: list[float] = []
    for y in wanted:
        least = rows[-1] + ROW if rows else TOP + 14
        rows.append(max(y, least))
    return rows


def _months(plate: Plate, today: date, days: int, pitch: float, words: Words) -> None:
    """A long mark and its name at the first of each month."""
    for day in range(days + 1):
        on = today + timedelta(days=day)
        if on.day == 1:
            y = TOP + day * pitch
            plate.line(EDGE - 17, y, EDGE, y, "edge")
            plate.write(EDGE - 21, y + 4.5, words.months[on.month - 1], "size", "end")
