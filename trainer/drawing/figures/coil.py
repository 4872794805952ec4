"""A part in a coil: side view with the coil in section, end view, the coil alone, the bar alone, the tube."""

from __future__ import annotations

import math
from dataclasses import dataclass

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _

_HIGHEST_BORE = 120.0
"""px: with a line at the foot the sheet stays so low that beside the longest lists, on a phone, its words are read."""
_LENGTH = Role("length", N_("part length along the coil axis"), "length")
_DIAMETER = Role("diameter", N_("part diameter across the axis"), "length")
_TURNS = Role("turns", N_("turns of the coil"), "count")
_CURRENT = Role("current", N_("coil current"))
_BORE = Role("bore", N_("coil bore"), "length")
_WALL = Role("wall", N_("wall thickness of the part"), "length")
_INSIDE = Role("inside", N_("bore of the part"), "length")
_RATIO = Role("ratio", N_("length over diameter"), "share")
_PIECE = Role("piece", N_("length of each pole piece"), "length")


@dataclass(frozen=True, slots=True)
class _Bar:
    """The drawn bar: ends, centre height, half thickness, units per px, and whether its lengths are given."""

    x0: float
    x1: float
    y: float
    half: float
    scale: float
    piece: float


def _lengths(sheet: Sheet) -> tuple[float, float]:
    """Length and diameter to draw: as given, else from the ratio, else six times as long as thick."""
    ratio = min(max(sheet.value("ratio", 6), 0.2), 60)
    d = sheet.value("diameter", sheet.value("effective", math.nan))
    length = sheet.value("length")
    if math.isnan(d):
        d = 1.0 if math.isnan(length) else length / ratio
    return (d * ratio if math.isnan(length) else length), d


def _coil(sheet: Sheet, cx: float, top: float, bottom: float) -> tuple[float, float]:
    """The far half of each turn and the cut turns over and under the bore; the centre of the last upper turn."""
    count = sheet.count("turns", 4, 12)[0]
    r = min(8.8, 84 / count)
    step = 2 * r + 2
    xs = [cx + (k - (count - 1) / 2) * step for k in range(count)]
    for x in xs:
        sheet.pen.rect(x - r, top - r, 2 * r, bottom - top + 2 * r, "wire-far")
    for x in xs:
        layout.out_of_page(sheet.pen, x, top - r, r)
        layout.into_page(sheet.pen, x, bottom + r, r)
    return xs[-1] + r, top - r


def _lead(sheet: Sheet, x: float, y: float) -> None:
    """The lead from the last turn, with current and turns written at it."""
    end = min(x + 62, 330)
    sheet.pen.line(x, y, end, y, "cable")
    sheet.pen.tip(x + 30, y, 0, "live-tip")
    sheet.put("current", Spot(end - 4, y - 9, "start"), Spot(end, y - 9, "end"))
    sheet.put("turns", Spot(x - 30, y - 14, "end"), Spot(24, y - 9, "start"))


def _part(sheet: Sheet, bar: _Bar) -> None:
    """The part with its centre line; its bore in thin lines, pole pieces hatched, field arrows along it."""
    pen = sheet.pen
    pen.rect(bar.x0, bar.y - bar.half, bar.x1 - bar.x0, 2 * bar.half, "edge solid")
    for x in (bar.x0 - bar.piece, bar.x1) if bar.piece else ():
        pen.rect(x, bar.y - bar.half, bar.piece, 2 * bar.half, "edge hatched")
    hole = sheet.value("inside", sheet.value("diameter", 0) - 2 * sheet.value("wall", math.inf))
    if 0 < hole * bar.scale < 2 * bar.half:
        for side in (-1, 1):
            level = bar.y + side * hole * bar.scale / 2
            pen.line(bar.x0, level, bar.x1, level, "ghost")
    elif bar.half > 12:
        for off in (-0.55, 0.55):
            layout.along(pen, bar.x0 + 10, bar.x1 - 10, bar.y + off * bar.half)
    pen.line(bar.x0 - bar.piece - 12, bar.y, bar.x1 + bar.piece + 12, bar.y, "axis")


def _sizes(sheet: Sheet, bar: _Bar, floor: float) -> None:
    """Length below, pole pieces beside it, diameter at the right end, wall by a pointing line."""
    edge = bar.y + bar.half
    sheet.dim_h("length", bar.x0, bar.x1, floor, (edge, edge))
    if bar.piece:
        sheet.dim_h("piece", bar.x1, bar.x1 + bar.piece, floor - 27, (edge, edge))
    x = bar.x1 + bar.piece
    sheet.dim_v("diameter", x + 18, bar.y - bar.half, bar.y + bar.half, (x, x), side="right")
    sheet.point("inside", bar.x0 + 22, bar.y + bar.half * 0.3, bar.x0 - 2, bar.y - bar.half - 22)
    sheet.point("wall", bar.x0 + 22, bar.y + bar.half * 0.9, bar.x0 - 2, bar.y + bar.half + 22)
    if not sheet.has("length"):
        sheet.put("ratio", Spot((bar.x0 + bar.x1) / 2, floor - 8))


def part_in_coil(sheet: Sheet) -> None:
    """Side view, the coil in section; the part at the wall, in the middle, or filling the bore."""
    length, d = _lengths(sheet)
    usual = d * (1.15 if _filled(sheet) else 4.4)
    bore = max(sheet.value("bore", 2 * sheet.value("radius", usual / 2)), d)
    scale = min(236 / max(length, 1e-12), _HIGHEST_BORE / bore)
    top, cx = 48.0, 164.0
    bottom = top + bore * scale
    half = sheet.kept(d * scale / 2, 1.5)
    y = bottom - half if sheet.word("position") == "wall" else (top + bottom) / 2
    bar = _Bar(cx - length * scale / 2, cx + length * scale / 2, y, half, scale, 0)
    sheet.pen.height = bottom + 62
    if sheet.has("length") and sheet.has("diameter"):
        sheet.squares(scale, bar.x0, bottom)
    end, lead_y = _coil(sheet, cx, top, bottom)
    if sheet.word("position") == "wall":
        sheet.pen.line(cx - 90, (top + bottom) / 2, cx + 90, (top + bottom) / 2, "axis")
    _part(sheet, bar)
    _lead(sheet, end, lead_y)
    _sizes(sheet, bar, bottom + 48)
    left = min(bar.x0, cx - 95) - 14
    first = 2 * cx - end
    along = min(first, bar.x0)  # where the part lies on the bore, the line begins beside the part
    lower = first if sheet.word("position") == "middle" else along
    sheet.dim_v("bore", left, top, bottom, (along if _filled(sheet) else first, lower))
    sheet.dim_v("radius", left, (top + bottom) / 2, bottom, (first, lower))
    sheet.say(_where(sheet))


def _filled(sheet: Sheet) -> bool:
    return sheet.word("position") == "filled"


def _where(sheet: Sheet) -> str:
    places = {
        "wall": _("The part lies against the inside wall of the coil."),
        "middle": _("The part stands in the middle of the coil."),
        "filled": _("The part fills the coil."),
    }
    return places[sheet.word("position")]


def round_bar(sheet: Sheet) -> None:
    """The bar alone, with pole pieces or a bore where the exercise has them."""
    length, d = _lengths(sheet)
    piece = sheet.value("piece", 0.0)
    scale = min(240 / max(length + 2 * piece, 1e-12), 150 / max(d, 1e-12))
    half = sheet.kept(d * scale / 2, 1.5)
    y, cx = 38 + half, 152.0
    bar = _Bar(cx - length * scale / 2, cx + length * scale / 2, y, half, scale, piece * scale)
    floor = y + half + (64 if piece else 40)
    sheet.pen.height = floor + 18
    if sheet.has("length") and sheet.has("diameter"):
        sheet.squares(scale, bar.x0, y + half)
    _part(sheet, bar)
    _sizes(sheet, bar, floor)


def coil_alone(sheet: Sheet) -> None:
    """A coil in section with nothing in it: turns, current, the field along its middle."""
    top, bottom, cx = 48.0, 166.0, 160.0
    sheet.pen.height = bottom + 40
    end, y = _coil(sheet, cx, top, bottom)
    for k in (-1, 0, 1):
        layout.along(sheet.pen, cx - 120, cx + 120, (top + bottom) / 2 + 26 * k)
    _lead(sheet, end, y)
    exact = sheet.count("turns", 4, 12)[1]
    sheet.say(_("The field runs along the middle."))
    if not exact:
        sheet.say(_("The turns are drawn only in part."))


def coil_fill(sheet: Sheet) -> None:
    """End view: the bore of the coil and the part in it, areas to be compared."""
    d = sheet.value("diameter")
    bore = max(sheet.value("bore"), d)
    scale = 186 / bore
    r, big = sheet.kept(d * scale / 2, 1.5), bore * scale / 2
    cx, cy = 150.0, 28 + big
    y = cy + big - r if sheet.word("position") == "wall" else cy
    sheet.pen.height = cy + big + 54
    sheet.squares(scale, cx, cy)
    layout.ring(sheet.pen, cx, cy, big + 9, big)
    sheet.pen.circle(cx, cy, big + 9, "wire-cross")
    sheet.pen.circle(cx, y, r, "edge hatched-back")
    layout.cross(sheet.pen, cx, cy, big + 9, big + 9)
    sheet.dim_h("bore", cx - big, cx + big, cy + big + 40, (cy, cy))
    x, top = layout.polar(cx, y, r, 40)
    sheet.point("diameter", x, top, cx + big + 24, cy - 40)
    sheet.put("ratio", Spot(cx + big + 24, cy + 8, "start"))
    sheet.put("eta", Spot(cx + big + 24, cy + 28, "start"))


def tube_section(sheet: Sheet) -> None:
    """End view of a tube in section and beside it the solid round of the same area."""
    outer = sheet.value("outside")
    inner = min(sheet.value("inside", outer - 2 * sheet.value("wall", outer / 8)), outer * 0.999)
    equal = sheet.value("effective", math.sqrt(max(outer**2 - max(inner, 0) ** 2, 0)))
    scale = 144 / outer
    big, r, small = 72.0, sheet.kept(inner * scale / 2, 1), sheet.kept(equal * scale / 2, 2, 74)
    cx, cy, ex = 100.0, 110.0, 284.0
    sheet.pen.height = cy + big + 56
    sheet.squares(scale, cx, cy)
    layout.ring(sheet.pen, cx, cy, big, r)
    sheet.pen.circle(ex, cy, small, "edge hatched")
    layout.cross(sheet.pen, cx, cy, big, big)
    layout.cross(sheet.pen, ex, cy, small, small)
    sheet.dim_h("outside", cx - big, cx + big, cy + big + 36, (cy, cy))
    sheet.dim_h("effective", ex - small, ex + small, cy + big + 36, (cy, cy))
    sheet.point("inside", *layout.polar(cx, cy, r, 62), cx + 62, 18)
    sheet.point("wall", *layout.polar(cx, cy, (big + r) / 2, 118), cx - 62, 18)
    sheet.pen.label(_("same area"), Spot(ex, cy - small - 16), look="say")
    sheet.say(_("Beside the section of the tube stands a solid round of the same area."))


_POSITION = {"position": ("wall", "middle", "filled")}
KINDS = (
    Kind(
        "part-in-coil",
        N_("Part in a coil"),
        N_("Side view, the coil in section."),
        (
            _LENGTH,
            _DIAMETER,
            Role("effective", N_("effective diameter"), "length"),
            _BORE,
            Role("radius", N_("coil radius"), "length"),
            _WALL,
            _INSIDE,
            _TURNS,
            _CURRENT,
            _RATIO,
        ),
        part_in_coil,
        _POSITION,
    ),
    Kind(
        "round-bar",
        N_("Part to be magnetized lengthwise"),
        N_("Side view."),
        (_LENGTH, _DIAMETER, _PIECE, _INSIDE, _WALL, _RATIO),
        round_bar,
        {},
    ),
    Kind("coil", N_("Coil"), N_("Side view in section."), (_TURNS, _CURRENT), coil_alone, {}),
    Kind(
        "coil-fill",
        N_("How full the coil is"),
        N_("End view along the coil axis."),
        (
            Role("bore", N_("coil bore"), "length", True),
            Role("diameter", N_("part diameter"), "length", True),
            Role("ratio", N_("bore area over part area"), "share"),
            Role("eta", N_("part area over bore area"), "share"),
        ),
        coil_fill,
        _POSITION,
    ),
    Kind(
        "tube-section",
        N_("Tube and its effective diameter"),
        N_("End view in section."),
        (
            Role("outside", N_("outside diameter"), "length", True),
            _INSIDE,
            _WALL,
            Role("effective", N_("effective diameter"), "length"),
        ),
        tube_section,
        {},
    ),
)
