"""The private map of a specimen, to scale from its lower left corner. For examiners only."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.scale import full_scale, large_step
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import quantity
from trainer.languages.numerals import as_read

WIDE, CORNER, MOST_HIGH = 380.0, 26.0, 260.0
LEAST_STROKE = 5.0
BALLOON = 9.5
AROUND = ((0, -18), (0, 20), (20, 0), (-20, 0), (17, -17), (-17, -17), (17, 19), (-17, 19))


@dataclass(frozen=True, slots=True)
class Spot:
    """Where something lies: its kind, its middle from the left and from below, its length; all in mm."""

    kind: str
    x: float
    y: float
    length: float


def piece(spots: Sequence[Spot], title: str, *, fid: str = "piece", words: Words = READER) -> str:
    """Each spot a stroke as long as it is, numbered in order. Which way it runs is not known to the map.

    Empty without spots.
    """
    if not spots:
        return ""
    across = full_scale(max(1.0, *(spot.x + spot.length / 2 for spot in spots)))
    up = max(1.0, *(spot.y for spot in spots))
    per_mm = min((WIDE - 2 * CORNER) / across, (MOST_HIGH - 3 * CORNER) / up)
    base = CORNER + 14 + up * per_mm
    plate = Plate(fid, WIDE, base + 30)
    _paper(plate, across, large_step(full_scale(max(across, up))), base, per_mm)
    for number, spot in enumerate(spots, 1):
        _spot(plate, number, CORNER + spot.x * per_mm, base - spot.y * per_mm, spot.length * per_mm)
    said = (
        words.piece_spot.format(
            number=number, kind=spot.kind, x=quantity(spot.x, "mm"), y=quantity(spot.y, "mm"),
            length=quantity(spot.length, "mm"),
        )
        for number, spot in enumerate(spots, 1)
    )  # fmt: skip
    return plate.finish(title, " ".join(said))


def _paper(plate: Plate, across: float, step: float, base: float, per_mm: float) -> None:
    """Squares of one step both ways; their number is bounded, since the step follows from the longer way."""
    right = min(WIDE - 4, CORNER + across * per_mm)
    for index in range(math.floor((base - 10) / (step * per_mm)) + 1):
        y = base - index * step * per_mm
        plate.line(CORNER, y, right, y, "grid")
    for index in range(round(across / step) + 1):
        x = CORNER + index * step * per_mm
        plate.line(x, 10, x, base, "grid")
        text = quantity(index * step, "mm") if index * step >= across else as_read(f"{index * step:g}")
        if plate.free(x, base + 20, text, "tick"):
            plate.write(min(x, WIDE - 24), base + 20, text, "tick")
    plate.path(f"M{CORNER:g} 10V{base:.1f}H{right:.1f}", "edge")


def _spot(plate: Plate, number: int, x: float, y: float, long: float) -> None:
    half = max(LEAST_STROKE, long) / 2
    plate.line(x - half, y, x + half, y, "crack")
    text = str(number)
    for dx, dy in AROUND:
        at_x, at_y = x + dx, max(12.0, y + dy)
        if BALLOON < at_x < WIDE - BALLOON and plate.free(at_x, at_y + 4.6, "000", "tag"):
            break
    plate.circle(at_x, at_y, BALLOON, "balloon")
    plate.write(at_x, at_y + 4.6, text, "tag")
