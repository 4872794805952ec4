"""The strip: one skill on a roll of chart paper, the pen rising and falling with each answer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import number
from trainer.languages.numerals import as_read

WIDE, HIGH = 360.0, 62.0
SPAN, BACK = 35, 28
"""Days on the strip, and how many of them lie before today."""

TOP, BASE = 12.0, 46.0
DAY = WIDE / SPAN


@dataclass(frozen=True, slots=True)
class Stroke:
    """One answer: its day, whether it was right, and the running value (0 to 1) after it."""

    day: date
    right: bool
    value: float


def strip(
    name: str,
    answers: Sequence[Stroke],
    today: date,
    *,
    proofs: Sequence[date] = (),
    due: bool = False,
    line: float = 0.80,
    fid: str = "strip",
    words: Words = READER,
) -> str:
    """The last 28 days of one skill and the week ahead. ``answers`` in the order they were given, all of them.

    A flag stands on each day of ``proofs`` (right again on a later day); a dashed one at today when it is due.
    """
    plate = Plate(fid, WIDE, HIGH, cls="figure strip")
    plate.rect(0, TOP, WIDE, BASE - TOP, "chart")
    plate.path(f"M0 {n(BASE)}H{n(WIDE)}V{n(TOP)}", "rule-week")
    plate.line(0, _y(line), WIDE, _y(line), "limit-line")
    plate.line(BACK * DAY, 0, BACK * DAY, HIGH, "today")
    _pen(plate, answers, today)
    for day in proofs:
        if 0 <= _column(day, today) <= BACK:
            _flag(plate, _column(day, today) * DAY + 1.6, line, "pennant")
    if due:
        _flag(plate, BACK * DAY, line, "pennant due")
    return plate.finish(name, _says(answers, len(proofs), due, line, words))


def _y(value: float) -> float:
    return BASE - value * (BASE - TOP)


def _column(day: date, today: date) -> int:
    return (day - today).days + BACK


def _pen(plate: Plate, answers: Sequence[Stroke], today: date) -> None:
    """The running value as steps, and under it a stroke or a ring for each answer."""
    shown = [stroke for stroke in answers if 0 <= _column(stroke.day, today) <= BACK]
    before = [stroke for stroke in answers if _column(stroke.day, today) < 0]
    value = before[-1].value if before else 0.0
    points = [(0.0, _y(value))] if before else []
    crowd = Counter(stroke.day for stroke in shown)
    seen: Counter[date] = Counter()
    right, wrong = "", ""  # all marks of a kind in one path: a long strip must not weigh more than the page
    for stroke in shown:
        gap = min(3.1, (DAY - 2.2) / max(1, crowd[stroke.day] - 1))
        x = _column(stroke.day, today) * DAY + 1.6 + seen[stroke.day] * gap
        seen[stroke.day] += 1
        points += [(x, _y(value)), (x, _y(stroke.value))]
        value = stroke.value
        if stroke.right:
            right += f"M{n(x)} {n(BASE + 4)}v9"
        else:
            wrong += f"M{n(x - 2.4)} {n(BASE + 8.5)}a2.4 2.4 0 1 0 4.8 0a2.4 2.4 0 1 0-4.8 0"
    if right:
        plate.path(right, "tick-right")
    if wrong:
        plate.path(wrong, "tick-wrong")
    if points:
        plate.poly([*points, (max(BACK * DAY, points[-1][0]), _y(value))], "pen")


def _flag(plate: Plate, x: float, line: float, c: str) -> None:
    plate.path(f"M{n(x)} {n(_y(line))}V1l12 4.2l-12 4.2", c)


def _says(answers: Sequence[Stroke], proofs: int, due: bool, line: float, words: Words) -> str:
    told = [words.strip_none]
    if answers:
        right = sum(stroke.right for stroke in answers)
        value = number(round(answers[-1].value, 2), 3)
        desc = words.strip_desc.format(
            answers=len(answers), right=right, value=value, line=as_read(f"{line:.2f}")
        )
        told = [desc, words.strip_proofs.format(proofs=proofs)]
    return " ".join([*told, words.strip_due] if due else told)


def strip_axis(today: date, *, fid: str = "strip-axis", words: Words = READER) -> str:
    """The dates over a roll of strips, one a week; drawn once for each column."""
    plate = Plate(fid, WIDE, 16, cls="figure axis-row")
    for column in range(0, SPAN + 1, 7):
        day = today + timedelta(days=column - BACK)
        text = words.today if column == BACK else day_text(day, words)
        anchor = "start" if column == 0 else "end" if column == SPAN else "mid"
        plate.write(column * DAY, 12, text, "size" if column == BACK else "tick", anchor)
    return plate.brief(words.dates)


def day_text(day: date, words: Words = READER) -> str:
    """A day as an axis has it: 25 Nov."""
    return f"{day.day} {words.months[day.month - 1]}"
