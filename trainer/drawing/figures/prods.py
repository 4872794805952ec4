"""Prods on a plate in section, and prod placements along a weld seen from above."""

from __future__ import annotations

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _prod(pen: Pen, x: float, y: float, way: int) -> None:
    """One prod with its handle and cable, tip on the surface at (x, y)."""
    tip = [(x, y), (x - 6, y - 18), (x - 6, y - 50), (x + 6, y - 50), (x + 6, y - 18)]
    pen.poly(tip, "edge wire-solid", close=True)
    pen.rect(x - 10, y - 90, 20, 42, "edge solid")
    high = y - 90
    pen.poly(
        layout.bent((x, high), (x, high - 14), (x + 8 * way, high - 18), (x + 24 * way, high - 20)), "cable"
    )
    pen.line(x, y - 98, x, y + 6, "axis")


def _plate(pen: Pen, x0: float, x1: float, y: float, thick: float) -> None:
    """A plate in section, both ends broken off."""
    left, right = layout.torn(x0, y, y + thick), layout.torn(x1, y, y + thick)
    pen.poly([*left, *right[::-1]], "edge hatched", close=True)


def prods_on_plate(sheet: Sheet) -> None:
    """Two prods on a plate, the current running through it from one to the other."""
    pen, spacing = sheet.pen, sheet.value("spacing")
    scale = 172 / max(spacing, 1e-12)
    thick = sheet.kept(sheet.value("thickness", spacing / 7) * scale, 6, 110)
    top, cx = 134.0, 140.0
    a, b = cx - 86, cx + 86
    pen.height = top + thick + 26
    sheet.squares(scale, a, top)
    _plate(pen, 14, 266, top, thick)
    if sheet.word("weld") == "seam":
        w = min(thick * 0.6, 26)
        cap = layout.bent((cx - w, top), (cx - w / 3, top - 6), (cx + w / 3, top - 6), (cx + w, top))
        for look in ("solid", "edge hatched-back"):
            pen.poly([*cap, (cx + 4, top + thick), (cx - 4, top + thick)], look, close=True)
    for deep in (0.3, 0.55, 0.8):
        y = top + thick * deep
        pen.poly(layout.bent((a, top), (a + 14, y + 4), (b - 14, y + 4), (b, top)), "flow")
    pen.tip(cx + 34, top + thick * 0.6, 0, size=min(9, thick))
    _prod(pen, a, top, -1)
    _prod(pen, b, top, 1)
    sheet.put("current", Spot(b + 30, top - 106, "start"), Spot(cx, top - 100))
    sheet.put("rate", Spot(cx, top - 66), Spot(cx, top - 84))
    sheet.dim_h("spacing", a, b, top - 28)
    sheet.dim_v("thickness", 282, top, top + thick, (266, 266), side="right")
    sheet.say(_("The current runs through the plate from one prod to the other."))


def prod_placements(sheet: Sheet) -> None:
    """A weld from above and the places the prods take along it, each overlapping the last."""
    pen, weld = sheet.pen, sheet.value("weld")
    spacing = max(sheet.value("spacing"), 1e-9)
    overlap = min(sheet.value("overlap", 0), spacing * 0.9)
    step = spacing - overlap
    need = sheet.pieces("placements", (weld - spacing) / step + 1)
    drawn = min(need, 2 if sheet.unknown("placements") else 10)
    scale, x0, y = 336 / max(weld, spacing), 22.0, 64.0
    pen.height = y + 48 + 20 * min(drawn, 2) + 46
    sheet.squares(scale, x0, y)
    pen.rect(x0, y - 9, weld * scale, 18, "edge hatched-back")
    pen.line(x0 - 12, y, x0 + weld * scale + 12, y, "axis")
    for k in range(drawn):
        a = x0 + min(k * step, max(weld - spacing, 0)) * scale
        b = a + spacing * scale
        level = y + 44 + 22 * (k % 2)
        for x in (a, b):
            pen.circle(x, y + (14 if k % 2 else -14), 3.4, "wire")
            pen.line(x, y + 12, x, level + 4, "ext")
        if k == 0:
            sheet.dim_h("spacing", a, b, level)
        else:
            pen.line(a, level, b, level, "dim")
            pen.label(str(k + 1), Spot((a + b) / 2, level - 4), look="say", optional=True)
    if drawn > 1 and overlap * scale > 1:
        a = x0 + step * scale
        sheet.dim_h("overlap", a, a + overlap * scale, y - 28, (y - 9, y - 9))
    sheet.numbered(N_("Drawn are the placements %(numbers)s."), drawn)
    if drawn < need:
        layout.dots(pen, min(x0 + (drawn * step + overlap) * scale + 22, 350), y + 30)
        sheet.say(_("Only the first placements are drawn."))
    sheet.dim_h("weld", x0, x0 + weld * scale, pen.height - 14, (y + 9, y + 9))


KINDS = (
    Kind(
        "prods-on-plate",
        N_("Prods on a plate"),
        N_("Section through the plate."),
        (
            Role("spacing", N_("prod spacing"), "length", True),
            Role("thickness", N_("section thickness"), "length"),
            Role("current", N_("current")),
            Role("rate", N_("current per spacing")),
        ),
        prods_on_plate,
        {"weld": ("seam", "none")},
    ),
    Kind(
        "prod-placements",
        N_("Prod placements along a weld"),
        N_("View from above."),
        (
            Role("weld", N_("weld length"), "length", True),
            Role("spacing", N_("prod spacing"), "length", True),
            Role("overlap", N_("overlap"), "length"),
            Role("placements", N_("placements in one direction"), "count"),
        ),
        prod_placements,
        {},
    ),
)
