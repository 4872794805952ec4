"""The dial: a panel meter drawn for one answer, needle where the answer is, band where it is accepted."""

from __future__ import annotations

import math

from trainer.drawing.measures.numerals import limits, multiplier, numeral, times_ten, with_unit
from trainer.drawing.measures.plate import Plate, arc, polar, wedge
from trainer.drawing.measures.scale import Scale, choose
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import coordinate as n
from trainer.drawing.text import cut, folded, quantity, width

WIDE, HIGH = 360.0, 262.0
X, Y, RADIUS = 180.0, 226.0, 168.0
SWEEP = 50.0
"""Half of the sweep in degrees: the scale runs from 90 + 50 to 90 - 50."""

_STOP = SWEEP + 1.5
_THIN = 0.6
"""Half of the least width of the band in degrees: a single accepted number is still seen."""

_MINOR = 5


def dial(
    answer: float,
    low: float,
    high: float,
    unit: str,
    name: str,
    *,
    fid: str = "dial",
    answered: str = "",
    accepted: str = "",
    words: Words = READER,
) -> str:
    """The meter for an answer judged against low to high, all in ``unit``; empty where none can be drawn.

    A negative or endless answer, or limits that are not above zero, get no dial, only words. ``answered`` and
    ``accepted`` are texts for the two windows where the caller has them as the trainee wrote them.
    """
    if not all(map(math.isfinite, (answer, low, high))) or answer < 0 or not 0 <= low <= high or high < 1e-12:
        return ""
    if answer > 1e15 or high > 1e15:
        return ""
    scale = choose(answer, low, high)
    plate = Plate(fid, WIDE, HIGH, cls="figure dial")
    first, last = limits(low, high)
    shown = first if low == high else words.span.format(low=first, high=last)
    _face(plate, scale, unit, words.close_up.format(name=name) if scale.close_up else name)
    _band(plate, scale, low, high)
    _ticks(plate, scale)
    _needle(plate, scale.share(answer))
    _windows(plate, answered or quantity(answer, unit, 6), accepted or with_unit(shown, unit), words)
    return plate.finish(words.dial_title.format(name=name), _says(scale, answer, low, high, unit, words))


def _angle(scale: Scale, value: float) -> float:
    return 90 + SWEEP - 2 * SWEEP * scale.share(value)


def _face(plate: Plate, scale: Scale, unit: str, name: str) -> None:
    plate.rect(1.5, 1.5, WIDE - 3, HIGH - 3, "case")
    plate.rect(9, 9, WIDE - 18, HIGH - 18, "face")
    plate.path(wedge(X, Y, RADIUS - 22, RADIUS - 13, 90 - SWEEP, 90 + SWEEP), "mirror")
    plate.path(arc(X, Y, RADIUS, 90 + SWEEP, 90 - SWEEP), "scale")
    for angle in (90 + SWEEP + 2.5, 90 - SWEEP - 2.5):
        plate.circle(*polar(X, Y, RADIUS - 40, angle), 2.6, "stop")
    if unit not in ("", "1"):
        plate.write(X, 126, cut(unit, 26, 170), "unit")
    if power := multiplier(scale.end):
        plate.write(X, 150, times_ten(power), "say")
    plate.write(22, 167, cut(name, 13, 150), "say", "start")


def _band(plate: Plate, scale: Scale, low: float, high: float) -> None:
    first, last = (max(90 - SWEEP, min(90 + SWEEP, _angle(scale, value))) for value in (high, low))
    if last - first < 2 * _THIN:
        middle = (first + last) / 2
        first, last = middle - _THIN, middle + _THIN
    plate.path(wedge(X, Y, RADIUS, RADIUS + 15, first, last), "band")
    for angle in (last, first):
        plate.line(*polar(X, Y, RADIUS - 4, angle), *polar(X, Y, RADIUS + 19, angle), "limit")


def _ticks(plate: Plate, scale: Scale) -> None:
    power = 10.0 ** multiplier(scale.end)
    for index in range(scale.steps * _MINOR + 1):
        value = scale.start + index * scale.step / _MINOR
        large, angle = index % _MINOR == 0, _angle(scale, value)
        outer = polar(X, Y, RADIUS + (15 if large else 8), angle)
        plate.line(*polar(X, Y, RADIUS, angle), *outer, "scale-tick big" if large else "scale-tick")
        if large:
            x, y = polar(X, Y, RADIUS + 30, angle)
            plate.write(x, y + 4.5, numeral(value / power, scale.step / power), "scale-num")
    if scale.close_up:
        x, y = polar(X, Y, RADIUS, 90 + SWEEP)
        plate.path(f"M{n(x - 1)} {n(y + 4)}l-5 5l8 1l-6 6", "fine")


def _needle(plate: Plate, share: float) -> None:
    """The needle in its place. The inner group swings up to it from near zero, unless motion is not wanted."""
    off = not 0 <= share <= 1
    turn = (_STOP if share > 1 else -_STOP) if off else 2 * SWEEP * share - SWEEP
    tenths = max(0, min(10, round((turn + SWEEP) / 10)))
    stop = " on-stop" if off else ""
    plate.raw(
        f'<g class="needle" transform="rotate({n(turn)} {n(X)} {n(Y)})"><g class="swing from-{tenths}{stop}">'
        f'<path d="M{n(X)} {n(Y - RADIUS - 6)}L{n(X + 2.6)} {n(Y - 30)}H{n(X - 2.6)}Z"/></g></g>'
    )


def _windows(plate: Plate, answered: str, accepted: str, words: Words) -> None:
    plate.path(f"M9 176H{n(WIDE - 9)}V{n(HIGH - 9)}H9Z", "cover")
    plate.line(9, 176, WIDE - 9, 176, "case-line")
    plate.circle(X, 192, 6, "screw")
    plate.line(X - 4, 195, X + 4, 189, "screw-slot")
    for middle, legend, text in ((92.0, words.your_answer, answered), (268.0, words.accepted, accepted)):
        plate.rect(middle - 70, 200, 140, 44, "window")
        plate.write(middle, 191, cut(legend, 12.5, 130), "legend")
        _reading(plate, middle, text)


def _reading(plate: Plate, middle: float, text: str) -> None:
    """The words of one window: as large as they fit, on two lines where they are long."""
    for look, size in (("reading", 22.0), ("reading narrow", 17.0)):
        if width(text, size) <= 132:
            plate.write(middle, 229, text, look)
            return
    rows = folded(text, 13, 132)[:2]
    for row, y in zip(rows, (219.0, 236.0) if len(rows) == 2 else (227.0,), strict=True):
        plate.write(middle, y, row, "reading least")


def _says(scale: Scale, answer: float, low: float, high: float, unit: str, words: Words) -> str:
    accepted = words.dial_accepted_one if low == high else words.dial_accepted
    first, last = limits(low, high)
    if not 0 <= scale.share(answer) <= 1:
        stands = words.dial_stop
    else:
        stands = (
            words.dial_below if answer < low else words.dial_above if answer > high else words.dial_inside
        )
    end = with_unit(numeral(scale.end, scale.step), unit)
    said = (
        words.dial_scale.format(start=numeral(scale.start, scale.step), end=end),
        accepted.format(low=with_unit(first, unit) if low == high else first, high=with_unit(last, unit)),
        stands.format(answer=quantity(answer, unit, 6)),
    )
    return " ".join(said)
