"""The rule of practice as a picture: eight strokes lift the pen over the line, two flags on later days prove it."""

from __future__ import annotations

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import coordinate as n
from trainer.languages.numerals import as_read

WIDE, HIGH = 360.0, 118.0
_TOP, _BASE = 20.0, 70.0
_FIRST, _STEP = 14.0, 15.0
_FLAGS = (196.0, 292.0)


def rule(
    line: float, least: int, keep: float, gaps: tuple[int, int], *, fid: str = "rule", words: Words = READER
) -> str:
    """Draw ``least`` right answers in a row with their moving average (``keep`` of the old stays), then the proofs.

    ``line``: the average at which a skill is steady. ``gaps``: days before each of the two proofs.
    """
    plate = Plate(fid, WIDE, HIGH, cls="figure rule")
    plate.rect(0, _TOP, WIDE, _BASE - _TOP, "chart")
    plate.path(f"M0 {n(_BASE)}H{n(WIDE)}V{n(_TOP)}", "rule-week")
    plate.line(0, _y(line), WIDE, _y(line), "limit-line")
    plate.write(2, _y(line) - 4, as_read(f"{line:.2f}"), "tick", "start")
    points, value = [(0.0, _y(0.0))], 0.0
    for answer in range(least):
        x = _FIRST + _STEP * answer
        points += [(x, _y(value)), (x, _y(value := keep * value + 1 - keep))]
        _right(plate, x)
    for x in _FLAGS:
        points += [(x, _y(value)), (x, _y(value := keep * value + 1 - keep))]
        _right(plate, x)
        plate.path(f"M{n(x)} {n(_y(line))}V3l12 4.2l-12 4.2", "pennant")
    plate.poly([*points, (WIDE, _y(value))], "pen")
    _lengths(plate, _FIRST + _STEP * (least - 1), gaps, words)
    says = words.rule_desc.format(least=least, line=as_read(f"{line:.2f}"), first=gaps[0], second=gaps[1])
    return plate.finish(words.rule_title, says)


def _y(value: float) -> float:
    return _BASE - value * (_BASE - _TOP)


def _right(plate: Plate, x: float) -> None:
    plate.line(x, _BASE + 4, x, _BASE + 13, "tick-right")


def _lengths(plate: Plate, steady: float, gaps: tuple[int, int], words: Words) -> None:
    """The three states as a chain of dimensions, and over the last two the days that must pass."""
    ends = (0.0, steady, _FLAGS[1], WIDE)
    for start, end, text in zip(ends[:-1], ends[1:], (words.begun, words.steady, words.proven), strict=True):
        plate.line(end, _BASE + 18, end, _BASE + 34, "ext")
        plate.line(start, _BASE + 30, end, _BASE + 30, "dim")
        plate.write((start + end) / 2, _BASE + 44, text, "size")
    for start, end, days in ((steady, _FLAGS[0], gaps[0]), (_FLAGS[0], _FLAGS[1], gaps[1])):
        text = words.days_later.format(days=days) if days > 1 else words.day_later
        plate.write((start + end) / 2, _BASE + 13, text, "tick")
