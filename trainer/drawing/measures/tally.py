"""Counting: tally strokes for slips, the run of one person's last answers, everyone's stand in a set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import cut, width

MOST_STROKES = 30
"""More are not drawn: the number beside the tally says the rest."""


def tally(count: int, *, fid: str = "tally", words: Words = READER) -> str:
    """Strokes in fives, at most thirty; empty for none."""
    if count <= 0:
        return ""
    fives, rest = divmod(min(count, MOST_STROKES), 5)
    plate = Plate(fid, max(8.0, fives * 40.0 + rest * 8.0 + 4.0), 28, cls="tally")
    for five in range(fives):
        _strokes(plate, 4 + 40 * five, 4)
        plate.path(f"M{1 + 40 * five} 20L{32 + 40 * five} 7", "stroke")
    _strokes(plate, 4 + 40 * fives, rest)
    return plate.brief(words.once if count == 1 else words.times.format(count=count))


def _strokes(plate: Plate, x: int, count: int) -> None:
    for index in range(count):
        plate.path(f"M{x + 8 * index} 3.5c.6 7 -.6 14 0 21", "stroke")


def run(answers: Sequence[bool], *, fid: str = "run", words: Words = READER) -> str:
    """The last eight answers of one person: a stroke above the line is right, a ring below it wrong."""
    shown = list(answers)[-8:]
    plate = Plate(fid, 112, 26, cls="run")
    plate.line(0, 13, 112, 13, "base")
    for index, right in enumerate(shown):
        x = 8.0 + 12 * index
        if right:
            plate.line(x, 2.5, x, 13, "tick-right")
        else:
            plate.circle(x, 18.5, 3.4, "tick-wrong")
    marks = ", ".join(words.mark_right if right else words.mark_wrong for right in shown)
    return plate.brief(words.run_desc.format(answers=len(shown), marks=marks) if shown else words.run_none)


@dataclass(frozen=True, slots=True)
class Stop:
    """One place on the way through a set, and who is there: bench numbers or initials, three signs at most."""

    name: str
    people: tuple[str, ...] = ()


WIDE, RADIUS = 380.0, 11.5
MOST_HIGH = 10
"""A pile higher than this ends in a number."""


def stand(stops: Sequence[Stop], *, names: bool = True, fid: str = "stand", words: Words = READER) -> str:
    """Everyone on one scale of stops, piled up; without names only the heads are shown. Empty without stops."""
    if not stops:
        return ""
    most = min(MOST_HIGH, max(1, *(len(stop.people) for stop in stops)))
    pitch, step = 2 * RADIUS + 3, 344.0 / max(1, len(stops) - 1)
    base = most * pitch + 20
    plate = Plate(fid, WIDE, base + 26)
    plate.line(8, base, 372, base, "edge")
    for index, stop in enumerate(stops):
        x = 18 + index * step
        plate.line(x, base, x, base + 7, "edge")
        name = cut(stop.name, 13, max(10.0, step - 3))
        half = width(name, 13) / 2
        plate.write(max(3 + half, min(WIDE - 3 - half, x)), base + 21, name, "size")
        _pile(plate, x, base - 5 - RADIUS, pitch, stop.people, names)
    said = "; ".join(f"{stop.name}: {len(stop.people)}" for stop in stops)
    return plate.finish(words.stand_title, words.stand_desc.format(stops=said))


def _pile(plate: Plate, x: float, foot: float, pitch: float, people: tuple[str, ...], names: bool) -> None:
    for level, person in enumerate(people[:MOST_HIGH]):
        y = foot - level * pitch
        plate.circle(x, y, RADIUS, "balloon" if names else "bench")
        if names:
            plate.write(x, y + 4.6, cut(person, 13, 21), "tag")
    if len(people) > MOST_HIGH:
        plate.write(x, foot - (MOST_HIGH - 1) * pitch - RADIUS - 3, f"+{len(people) - MOST_HIGH}", "tick")
