"""The seal of a record: whole, broken, or whole and empty where the issuer is not known."""

from __future__ import annotations

from typing import Literal

from trainer.drawing.measures.plate import Plate, arc, polar
from trainer.drawing.measures.words import READER, Words

SIZE, MIDDLE = 176.0, 88.0
OUTER, INNER = 80.0, 62.0

State = Literal["whole", "broken", "empty"]


def seal(state: State, *, fid: str = "seal", words: Words = READER) -> str:
    """The seal as a drawing; its title says in words what it shows."""
    plate = Plate(fid, SIZE, SIZE, cls="figure seal")
    if state == "broken":
        for turn, x, y, start in ((-4.0, MIDDLE - 5, MIDDLE, 112.0), (7.0, MIDDLE + 6, MIDDLE + 2, -68.0)):
            plate.turned(turn, MIDDLE, MIDDLE, _half(x, y, start))
        crack = [(58, 2), (70, 40), (60, 52), (96, 92), (84, 104), (112, 138), (118, 174)]
        plate.poly([(float(x), float(y)) for x, y in crack], "crack")
        return plate.brief(words.seal_broken)
    _ring(plate)
    if state == "whole":
        plate.rect(46, 80, 66, 16, "bar")
        plate.line(104, 62, 104, 114, "limit")
        plate.line(40, 104, 138, 104, "fine")
        return plate.brief(words.seal_whole)
    plate.rect(50, 66, 76, 44, "ghost")
    plate.write(MIDDLE, 97, "?", "unit")
    return plate.brief(words.seal_empty)


def _ring(plate: Plate) -> None:
    plate.circle(MIDDLE, MIDDLE, OUTER, "edge")
    plate.circle(MIDDLE, MIDDLE, INNER, "fine")
    _teeth(plate, MIDDLE, MIDDLE, range(0, 360, 6))


def _teeth(plate: Plate, x: float, y: float, angles: range) -> None:
    for angle in angles:
        plate.line(*polar(x, y, INNER + 4, angle), *polar(x, y, OUTER - 4, angle), "fine")


def _half(x: float, y: float, start: float) -> str:
    """One half of the broken ring, made by a pen of its own so that it can be turned as a whole."""
    half = Plate("half", SIZE, SIZE)
    half.path(arc(x, y, OUTER, start, start + 180), "edge")
    half.path(arc(x, y, INNER, start, start + 180), "fine")
    _teeth(half, x, y, range(int(start) - int(start) % 6 + 6, int(start) + 180, 6))
    return half.body()
