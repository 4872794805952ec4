"""The chain: the way to all proven, as a chain of dimensions over a bar."""

from __future__ import annotations

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import cut, width

WIDE, HIGH = 380.0, 128.0
LEFT, RIGHT = 14.0, 366.0
TOP, BAR = 68.0, 30.0


def chain(proven: int, steady: int, rest: int, *, fid: str = "way", words: Words = READER) -> str:
    """A bar of all skills: proven hatched, steady plain, the rest ghost. Empty if there is no skill at all."""
    total = proven + steady + rest
    if total <= 0 or min(proven, steady, rest) < 0:
        return ""
    plate = Plate(fid, WIDE, HIGH)
    unit = (RIGHT - LEFT) / total
    a, b = LEFT + proven * unit, LEFT + (proven + steady) * unit
    for start, end, look in ((LEFT, a, "edge hatched-ok"), (a, b, "edge solid"), (b, RIGHT, "ghost")):
        if end > start:
            plate.rect(start, TOP, end - start, BAR, look)
    if total <= 60:
        for index in range(1, total):
            x = LEFT + index * unit
            plate.line(x, TOP + BAR - 7, x, TOP + BAR, "fine")
    plate.line(LEFT - 10, TOP + BAR / 2, RIGHT + 10, TOP + BAR / 2, "axis")
    _links(plate, (LEFT, a, b, RIGHT), (proven, steady, rest), words)
    plate.dim_h(LEFT, RIGHT, TOP + BAR + 22, "", (TOP + BAR, TOP + BAR))
    plate.write((LEFT + RIGHT) / 2, TOP + BAR + 17, words.chain_total.format(total=total), "size")
    desc = words.chain_desc.format(total=total, proven=proven, steady=steady, rest=rest)
    return plate.finish(words.chain_title, desc)


def _links(plate: Plate, ends: tuple[float, ...], counts: tuple[int, ...], words: Words) -> None:
    """One dimension for each link; its words move up a row where the link is too short for them."""
    for start, end, count, template in zip(ends[:-1], ends[1:], counts, _templates(words), strict=True):
        if count == 0:
            continue
        plate.line(start, TOP - 3, start, TOP - 23, "ext")
        plate.line(end, TOP - 3, end, TOP - 23, "ext")
        plate.line(start, TOP - 18, end, TOP - 18, "dim" if end - start >= 24 else "fine")
        text = cut(template.format(count=count), 13, RIGHT - LEFT)
        half = width(text, 13) / 2
        x = max(LEFT + half, min(RIGHT - half, (start + end) / 2))
        rows = (23.0, 40.0, 57.0) if 2 * half <= end - start else (40.0, 57.0)
        y = next((TOP - row for row in rows if plate.free(x, TOP - row, text, "size")), TOP - rows[-1])
        plate.write(x, y, text, "size")


def _templates(words: Words) -> tuple[str, str, str]:
    return words.chain_proven, words.chain_steady, words.chain_rest
