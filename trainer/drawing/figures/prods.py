"""Prods on a plate in section, and prod placements along a weld seen from above."""

from __future__ import annotations

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.drawing.text import coordinate as n
from trainer.languages import N_, _


def _prod(pen: Pen, x: float, y: float, way: int) -> None:
    """One prod with its handle and cable, tip on the surface at (x, y)."""
    tip = [(x, y), (x - 6, y - 18), (x - 6, y - 50), (x + 6, y - 50), (x + 6, y - 18)]
    pen.poly(tip, "edge wire-solid", close=True)
    pen.rect(x - 10, y - 90, 20, 42, "edge solid")
    bend = f"M{n(x)} {n(y - 90)}c0 -14 {n(8 * way)} -18 {n(24 * way)} -20"
    pen.path(bend, "cable", [(x, y - 90), (x + 24 * way, y - 110)])
    pen.line(x, y - 98, x, y + 6, "axis")


def _plate(pen: Pen, x0: float, x1: float, y: float, thick: float) -> None:
    """A plate in section, both ends broken off."""
    left, right = layout.torn(x0, y, y + thick), layout.torn(x1, y, y + thick)
    d = "M" + "L".join(f"{n(px)} {n(py)}" for px, py in [*left, *right[::-1]]) + "Z"
    pen.path(d, "hatched")
    for edge in (y, y + thick):
        pen.line(x0, edge, x1, edge, "edge")


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
        weld = f"M{n(cx - w)} {n(top)}Q{n(cx)} {n(top - 9)} {n(cx + w)} {n(top)}L{n(cx + 4)} {n(top + thick)}H{n(cx - 4)}Z"
        pen.path(weld, "solid")
        pen.path(weld, "edge hatched-back")
    for deep in (0.3, 0.55, 0.8):
        y = top + thick * deep
        pen.path(f"M{n(a)} {n(top)}C{n(a + 14)} {n(y + 4)} {n(b - 14)} {n(y + 4)} {n(b)} {n(top)}", "flow")
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
            pen.arrows(a, level, b, level)
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
