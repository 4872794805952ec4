"""Coils that are wound: cable wrapped round a long part in sections, a winding window, a long solenoid."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _wrap(sheet: Sheet, cx: float, y: float, half: float, room: float) -> None:
    """A wrap of cable in the middle of the first position."""
    count = sheet.count("turns", 4, 8)[0]
    step = min(7.5, max(room / (count + 1), 4.6))
    for j in range(count):
        x = cx + (j - (count - 1) / 2) * step
        sheet.pen.line(x - 2, y + half, x + 2, y - half, "cable")
    left, right = cx - (count - 1) / 2 * step - 2, cx + (count - 1) / 2 * step + 2
    sheet.pen.line(left, y + half, left, y + half + 14, "cable")
    sheet.pen.line(right, y - half, right, y - half - 14, "cable")
    sheet.put("turns", Spot(right + 8, y - half - 10, "start"))
    sheet.put("current", Spot(right + 66, y - half - 10, "start"), Spot(right + 8, y - half - 28, "start"))


def wrap_sections(sheet: Sheet) -> None:
    """A long part, the positions a cable wrap takes along it, neighbours overlapping."""
    length, reach = sheet.value("length"), max(sheet.value("reach", 18.0), 1e-9)
    overlap = min(max(sheet.value("overlap", 0.1), 0), 0.9)
    need = sheet.pieces("positions", (length - reach) / (reach * (1 - overlap)) + 1)
    scale, x0, y = 336 / max(length, 1e-12), 22.0, 66.0
    half = sheet.kept(sheet.value("diameter", length / 22) * scale / 2, 2, 24)
    sheet.pen.height = y + half + 122
    sheet.squares(scale, x0, y - half)
    sheet.pen.rect(x0, y - half, 336, 2 * half, "edge solid")
    sheet.pen.line(x0 - 12, y, x0 + 348, y, "axis")
    drawn, exact = (
        (1 if need == 1 else 2, False) if sheet.unknown("positions") else (min(need, 12), need <= 12)
    )
    step = max(length - reach, 0) / (need - 1) if need > 1 and exact else reach * (1 - overlap)
    zone = min(reach, length) * scale
    for k in range(drawn):
        a = x0 + min(k * step * scale, 336 - zone)
        sheet.pen.line(a, y + half + 3, a, y + half + 34 + 21 * (k % 2), "ext")
        sheet.pen.line(a + zone, y + half + 3, a + zone, y + half + 34 + 21 * (k % 2), "ext")
        _position(sheet, k, a, a + zone, y + half + 28 + 21 * (k % 2))
        if k:
            shared = zone - step * scale
            sheet.pen.rect(a, y - half, max(shared, 0), 2 * half, "hatch-fine")
    sheet.numbered(N_("Drawn are the positions %(numbers)s."), drawn)
    if not exact and drawn > 1:
        layout.dots(sheet.pen, min(x0 + drawn * step * scale + 24, 346), y)
        sheet.say(_("Only the first positions are drawn."))
    _wrap(sheet, x0 + zone / 2, y, half + 3.5, zone)
    sheet.dim_h("length", x0, x0 + 336, y + half + 100, (y + half, y + half))
    sheet.point("diameter", 340, y - half, 300, 18)


def _position(sheet: Sheet, k: int, a: float, b: float, y: float) -> None:
    """The dimension of one position: the reach written at the first, its number at the others."""
    if k == 0 and sheet.has("reach"):
        sheet.dim_h("reach", a, b, y)
        return
    sheet.pen.line(a, y, b, y, "dim")
    sheet.pen.label(str(k + 1), Spot((a + b) / 2, y - 4), look="say", optional=True)


def winding_window(sheet: Sheet) -> None:
    """The window of a coil cut across, square and to scale, the wires laid in it."""
    window, wire = max(sheet.value("window"), 1e-9), max(sheet.value("wire", 1.0), 1e-9)
    side = 150.0
    px = side / math.sqrt(window)
    r = min(max(math.sqrt(wire / math.pi) * px, 3.2), 40)
    x0, y0 = 70.0, 30.0
    sheet.pen.height = y0 + side + 30
    layout_rows = 2 if sheet.unknown("turns") else max(1, int(side // (2 * r)))
    per_row = max(1, int(side // (2 * r)))
    left = per_row * layout_rows
    if not sheet.unknown("turns") and sheet.has("turns"):
        left = min(left, max(1, round(sheet.value("turns"))))
    for k in range(left):
        row, column = divmod(k, per_row)
        x, y = x0 + r + column * 2 * r, y0 + side - r - row * 2 * r
        sheet.pen.circle(x, y, r - 0.5, "wire-far")
    sheet.pen.rect(x0, y0, side, side, "edge")
    sheet.scale_says = _("window and wire to scale") if r < 40 and r > 3.2 else _("not to scale")
    sheet.point("window", x0 + side, y0 + 20, x0 + side + 26, y0 + 14)
    last = x0 + r + 2 * r * (min(left, per_row) - 1)
    sheet.point("wire", last, y0 + side - r, x0 + side + 26, y0 + side - 20)
    sheet.put("fill", Spot(x0 + side + 26, y0 + 48, "start"))
    sheet.put("turns", Spot(x0 + side + 26, y0 + 74, "start"))
    sheet.put("current", Spot(x0 + side + 26, y0 + 100, "start"))
    sheet.say(_("The wires are drawn as far as they can be seen; insulation and gaps are left out."))


def solenoid(sheet: Sheet) -> None:
    """A long coil in section with even field lines inside."""
    length, d = sheet.value("length"), sheet.value("diameter", math.nan)
    high = 80.0 if math.isnan(d) else sheet.kept(d / length * 270, 14, 130)
    x0, x1, top = 40.0, 310.0, 54.0
    count, exact = sheet.count("turns", 12, 24)
    r = 270 / count / 2 * 0.9 if count > 12 else 9
    bottom = top + high
    sheet.pen.height = bottom + 2 * r + 52
    sheet.squares(270 / max(length, 1e-12), x0, bottom)
    for k in range(count):
        x = x0 + r + (270 - 2 * r) * (k / (count - 1) if count > 1 else 0.5)
        layout.out_of_page(sheet.pen, x, top - r, r)
        layout.into_page(sheet.pen, x, bottom + r, r)
    for share in (0.25, 0.5, 0.75):
        layout.along(sheet.pen, x0 + 8, x1 - 8, top + high * share)
    sheet.pen.line(x0 - 14, (top + bottom) / 2, x1 + 14, (top + bottom) / 2, "axis")
    sheet.pen.line(x + r, top - r, x1 + 30, top - r, "cable")
    sheet.pen.tip(x1 + 20, top - r, 0)
    sheet.put("current", Spot(x1 + 2, top - r - 10, "start"), Spot(x1, top - r - 24, "end"))
    sheet.put("turns", Spot(x0, top - 2 * r - 10, "start"))
    sheet.dim_h("length", x0, x1, bottom + 2 * r + 34, (bottom + 2 * r, bottom + 2 * r))
    sheet.dim_v("diameter", x1 + 20, top, bottom, (x1, x1), side="right")
    sheet.say(
        _("The field inside is even.")
        if exact
        else _("The field inside is even; fewer turns are drawn than there are.")
    )


KINDS = (
    Kind(
        "cable-wrap-sections",
        N_("Cable wrap on a long part, in positions"),
        N_("Side view."),
        (
            Role("length", N_("part length"), "length", True),
            Role("reach", N_("length examined in one position"), "length"),
            Role("overlap", N_("overlap of neighbours"), "share"),
            Role("positions", N_("positions"), "count"),
            Role("diameter", N_("part diameter"), "length"),
            Role("turns", N_("turns of the wrap"), "count"),
            Role("current", N_("current")),
        ),
        wrap_sections,
        {},
    ),
    Kind(
        "winding-window",
        N_("Winding window of a coil"),
        N_("Section across the winding."),
        (
            Role("window", N_("area of the window"), "any", True),
            Role("wire", N_("area of one wire, in the unit of the window")),
            Role("fill", N_("copper area over window area")),
            Role("turns", N_("turns"), "count"),
            Role("current", N_("current")),
        ),
        winding_window,
        {},
    ),
    Kind(
        "solenoid",
        N_("Long coil"),
        N_("Side view in section."),
        (
            Role("length", N_("coil length"), "length", True),
            Role("diameter", N_("coil diameter"), "length"),
            Role("turns", N_("turns"), "count"),
            Role("current", N_("current")),
        ),
        solenoid,
        {},
    ),
)
