"""Sizes and scores: an indication, a chain of indications, two scales side by side, bars of marks, a band."""

from __future__ import annotations

import math

from trainer.drawing.figures.plot import upward
from trainer.drawing.figures.sheet import Kind, Role, Sheet, square
from trainer.drawing.register import Spot
from trainer.drawing.text import number
from trainer.languages import N_, _
from trainer.languages.numerals import between


def indication_shape(sheet: Sheet) -> None:
    """One indication on graph paper, length and width true."""
    pen = sheet.pen
    length, width = sheet.value("length"), max(sheet.value("width", 0), 0)
    scale = min(270 / max(length, 1e-12), 130 / max(width, 1e-12))
    half, w = sheet.kept(length * scale / 2, 2), sheet.kept(width * scale / 2, 1)
    cx, y = 156.0, 32 + w
    pen.height = y + w + 66
    sheet.squares(scale, cx - half, y - w)
    pen.ellipse(cx, y, half, w, "particles edge-live")
    pen.ellipse(cx, y, half, w, "trace")
    sheet.dim_h("length", cx - half, cx + half, y + w + 34, (y, y))
    sheet.dim_v("width", cx + half + 16, y - w, y + w, (cx, cx), side="right")
    sheet.put("ratio", Spot(cx, y + w + 56))


def indication_chain(sheet: Sheet) -> None:
    """Two indications on one line and the gap between their edges."""
    pen = sheet.pen
    d1, d2 = max(sheet.value("first", 1.0), 0), max(sheet.value("second", 1.0), 0)
    apart = sheet.value("apart", sheet.value("next", 10.0) - sheet.value("here", 0.0))
    apart = abs(apart) or d1 + d2
    whole = d1 / 2 + apart + d2 / 2
    scale = min(250 / max(whole, 1e-12), 76 / max(d1, d2, 1e-12))
    r1, r2 = sheet.kept(d1 * scale / 2, 2), sheet.kept(d2 * scale / 2, 2)
    a, y = 52 + r1, 32 + max(r1, r2)
    b = a + apart * scale
    foot = y + max(r1, r2)
    pen.height = foot + 102
    sheet.squares(scale, a, y)
    for x, r in ((a, r1), (b, r2)):
        pen.circle(x, y, r, "particles")
        pen.circle(x, y, r, "trace")
    pen.line(a - r1 - 14, y, b + r2 + 14, y, "axis")
    sheet.dim_h("first", a - r1, a + r1, foot + 26, (y, y))
    sheet.dim_h("second", b - r2, b + r2, foot + 26, (y, y))
    sheet.dim_h("gap", a + r1, b - r2, foot + 54, (y, y))
    sheet.dim_h("apart", a, b, foot + 82, (y, y))
    sheet.put("here", Spot(a, y - r1 - 10), Spot(12, 18, "start"))
    sheet.put("next", Spot(b, y - r2 - 10), Spot(368, 18, "end"))


def scale_pair(sheet: Sheet) -> None:
    """Two scales along one line, the same amount on both; the scale of the asked number has no figures."""
    pen = sheet.pen
    x0, x1, y = 34.0, 340.0, 80.0
    at = x0 + (x1 - x0) * 0.78
    pen.height = 168
    pen.line(x0, y, x1 + 8, y, "edge")
    pen.line(at, y - 34, at, y + 34, "cable thin")
    sheet.put("upper", Spot(at, y - 40), Spot(at, y - 40, "end"))
    sheet.put("lower", Spot(at, y + 52), Spot(at, y + 52, "end"))
    for role, way in (("upper", -1), ("lower", 1)):
        value = abs(sheet.value(role, 0))
        known = value > 0 and sheet.word("zero") == "common" and not sheet.unknown(role)
        _figured(sheet, role, value, way) if known else _blank(sheet, way)
    sheet.say(_("The same amount on two scales, one above the line and one below."))


def _figured(sheet: Sheet, role: str, value: float, way: int) -> None:
    """A scale from zero with figures on its large ticks, true to the line at 78 parts in a hundred."""
    pen, x0, y, long = sheet.pen, 34.0, 80.0, 306.0
    px = long * 0.78 / value
    step = square(px / 4)
    told = []
    for k in range(int(long / (px * step)) + 1 if step else 0):
        x = x0 + k * step * px
        for j in range(5 if x + step * px <= x0 + long else 1):
            at = x + j * step * px / 5
            pen.line(at, y, at, y + way * (6 if j else 11), "fine")
        pen.label(number(k * step), Spot(x, y + (24 if way > 0 else -15)), look="tick", optional=True)
        told.append(number(k * step))
    says = (
        N_("The upper scale has the figures %(figures)s."),
        N_("The lower scale has the figures %(figures)s."),
    )
    row = f"{between()} ".join(told)
    sheet.say(_(says[way > 0], figures=row))


def _blank(sheet: Sheet, way: int) -> None:
    """Ticks without figures, the same for every number."""
    for k in range(33):
        x = 34.0 + 306.0 * k / 32
        sheet.pen.line(x, 80, x, 80 + way * (11 if k % 8 == 0 else 6), "fine")


def score_bar(sheet: Sheet) -> None:
    """Grades as bars against one scale, the pass mark as a line across them."""
    pen = sheet.pen
    of = max(sheet.value("of", 100.0), 1e-9)
    rows = [name for name in ("right", "general", "specific", "practical", "composite") if sheet.has(name)]
    whole = max(of, upward([sheet.value(name) for name in rows]))
    x0, wide, y = 26.0, 218.0, 40.0
    scale = wide / whole
    pen.height = y + 34 * max(len(rows), 1) + 44
    foot = y + 34 * max(len(rows), 1)
    for k, name in enumerate(rows):
        top = y + 34 * k + 6
        pen.rect(x0, top, wide * min(of / whole, 1), 20, "ghost")
        if not sheet.unknown(name) or sheet.has("mark"):
            long = sheet.value(name) * scale if not sheet.unknown(name) else 0
            pen.rect(
                x0, top, max(long, 0), 20, "edge hatched" if name != "composite" else "edge hatched-back"
            )
        sheet.put(name, Spot(x0 + wide + 12, top + 15, "start"))
    mark = sheet.value("mark", math.nan)
    if not math.isnan(mark):
        at = x0 + min(mark / 100, 1.05) * of * scale
        pen.line(at, y - 6, at, foot + 6, "limit")
        sheet.put("mark", Spot(at, y - 12), Spot(at, y - 12, "end"))
    pen.line(x0, y, x0, foot + 4, "edge")
    pen.label("0", Spot(x0, foot + 20), look="tick")
    sheet.put("of", Spot(x0 + of * scale, foot + 20), Spot(x0 + of * scale, foot + 38))
    sheet.put("grade", Spot(x0 + wide / 2, foot + 38), Spot(x0, foot + 38, "start"))
    sheet.scale_says = _("bars to scale")
    sheet.say(_("The dashed frame is the whole."))


def band_line(sheet: Sheet) -> None:
    """A number line from zero with the band between lowest and highest, and a value on it."""
    pen = sheet.pen
    low, high = sheet.value("low", math.nan), sheet.value("high", math.nan)
    value = sheet.value("value", math.nan)
    known = [v for v in (low, high, value) if not math.isnan(v)]
    middle = known[0] if known else 1.0
    low, high = (middle * 0.9 if math.isnan(low) else low), (middle * 1.1 if math.isnan(high) else high)
    x0, wide, y = 26.0, 318.0, 84.0
    scale = wide / (upward([low, high, value]) * 1.12)
    a, b = x0 + low * scale, x0 + high * scale
    pen.height = 150
    pen.rect(min(a, b), y - 22, max(abs(b - a), 1), 22, "band")
    pen.line(x0, y, x0 + wide, y, "edge")
    for x in (a, b):
        pen.line(x, y - 28, x, y + 6, "limit")
    pen.label("0", Spot(x0, y + 18), look="tick")
    sheet.put("low", Spot(a - 4, y + 24, "end"), Spot(a, y + 24))
    sheet.put("high", Spot(b + 4, y + 24, "start"), Spot(b, y + 42, "end"))
    if not math.isnan(value):
        x = x0 + value * scale
        pen.poly([(x, y - 24), (x - 5, y - 38), (x + 5, y - 38)], "live-tip", close=True)
        sheet.put("value", Spot(x, y - 44), Spot(x, y - 44, "end"))
    sheet.put("tolerance", Spot(x0, 20, "start"))
    sheet.scale_says = _("to scale from zero")
    sheet.say(_("The hatched band lies between the lowest and the highest."))


KINDS = (
    Kind(
        "indication-shape",
        N_("Indication"),
        N_("View from above."),
        (
            Role("length", N_("length"), "length", True),
            Role("width", N_("width"), "length", True),
            Role("ratio", N_("length over width")),
        ),
        indication_shape,
        {},
    ),
    Kind(
        "indication-chain",
        N_("Indications in line"),
        N_("View from above."),
        (
            Role("first", N_("size of the first"), "length"),
            Role("second", N_("size of the second"), "length"),
            Role("apart", N_("distance of the middles"), "length"),
            Role("here", N_("place of the first middle"), "length"),
            Role("next", N_("place of the second middle"), "length"),
            Role("gap", N_("edge to edge"), "length"),
        ),
        indication_chain,
        {},
    ),
    Kind(
        "scale-pair",
        N_("One amount in two units"),
        N_("Two scales along a line."),
        (Role("upper", N_("on the upper scale")), Role("lower", N_("on the lower scale"))),
        scale_pair,
        {"zero": ("common", "apart")},
    ),
    Kind(
        "score-bar",
        N_("Grades"),
        N_("Bars from left to right."),
        (
            Role("right", N_("right answers")),
            Role("general", N_("general examination")),
            Role("specific", N_("specific examination")),
            Role("practical", N_("practical examination")),
            Role("composite", N_("composite grade")),
            Role("of", N_("all questions")),
            Role("mark", N_("pass mark in percent")),
            Role("grade", N_("grade")),
        ),
        score_bar,
        {},
    ),
    Kind(
        "band-line",
        N_("Lowest and highest"),
        N_("Number line from zero."),
        (
            Role("low", N_("lowest")),
            Role("high", N_("highest")),
            Role("value", N_("value")),
            Role("tolerance", N_("tolerance")),
        ),
        band_line,
        {},
    ),
)
