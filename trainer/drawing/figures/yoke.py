"""Yokes: the lift test with its bar, and the pull of one pole face."""

from __future__ import annotations

import math

from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _yoke(pen: Pen, cx: float, y: float) -> None:
    """A yoke with two legs standing at y, 60 either side of cx."""
    shape = [(-70, 0), (-70, -46), (-44, -72), (44, -72), (70, -46), (70, 0), (50, 0), (50, -40), (36, -52)]
    shape += [(-36, -52), (-50, -40), (-50, 0)]
    pen.poly([(cx + dx, y + dy) for dx, dy in shape], "edge solid", close=True)
    for k in range(7):
        pen.line(cx - 27 + 9 * k, y - 75, cx - 27 + 9 * k, y - 49, "cable")


def yoke_on_bar(sheet: Sheet) -> None:
    """A yoke lifting its test bar, the bar to scale in side and end view, the weight pulling down."""
    pen = sheet.pen
    length = sheet.value("length", 10.0)
    high, wide = sheet.value("height", length / 10), sheet.value("width", length / 6)
    scale = min(196 / max(length, 1e-12), 70 / max(high, 1e-12), 86 / max(wide, 1e-12))
    bar, thick = sheet.kept(length * scale, 4), sheet.kept(high * scale, 3)
    cx, top = 136.0, 104.0
    foot = top + thick
    pen.height = foot + 90
    if sheet.has("length"):
        sheet.squares(scale, cx - bar / 2, foot)
    _yoke(pen, cx, top)
    pen.rect(cx - bar / 2, top, bar, thick, "edge hatched")
    pen.line(cx, foot + 4, cx, foot + 40, "edge")
    pen.tip(cx, foot + 44, 90, "hatched-mark")
    sheet.put("mass", Spot(cx + 10, foot + 22, "start"))
    sheet.put("force", Spot(cx + 10, foot + 42, "start"), Spot(cx - 10, foot + 42, "end"))
    sheet.dim_h("length", cx - bar / 2, cx + bar / 2, foot + 76, (foot, foot))
    ex, w = 312.0, sheet.kept(wide * scale, 3)
    if sheet.has("width") or sheet.has("height"):
        pen.rect(ex - w / 2, top, w, thick, "edge hatched")
        sheet.dim_h("width", ex - w / 2, ex + w / 2, foot + 32, (foot, foot))
        sheet.dim_v("height", ex - w / 2 - 16, top, foot, (ex - w / 2, ex - w / 2))
    sheet.put("density", Spot(ex, top - 20), Spot(ex, 24))
    sheet.say(_("The yoke hangs over the bar and lifts it."))


def pole_face(sheet: Sheet) -> None:
    """A pole face over the part with the flux crossing the gap; the face beside it, square and to its own scale."""
    pen = sheet.pen
    pen.height = 214
    pen.poly([(70, 20), (70, 88), (150, 88), (150, 20)], "edge")
    pen.poly([(70, 20), (103, 20), (107, 14), (113, 26), (117, 20), (150, 20)], "fine")
    pen.rect(40, 112, 140, 36, "edge hatched")
    for k in range(5):
        x = 80 + 15 * k
        pen.line(x, 88, x, 112, "flux")
        pen.tip(x, 112, 90, "flux-tip", 8)
    pen.line(110, 148, 110, 176, "edge")
    pen.tip(110, 182, 90, "hatched-mark")
    side = min(max(math.sqrt(max(sheet.value("area", 6.0), 0)) * 20, 12), 110)
    pen.rect(275 - side / 2, 88 - side / 2, side, side, "edge hatched-back")
    sheet.put("flux", Spot(158, 66, "start"), Spot(110, 56))
    sheet.put("force", Spot(122, 174, "start"), Spot(122, 198, "start"))
    sheet.put("area", Spot(275, 88 + side / 2 + 20), Spot(275, 24))
    sheet.say(_("The face of the pole is drawn beside it as a square."))


KINDS = (
    Kind(
        "yoke-on-bar",
        N_("Lift test of a yoke"),
        N_("Side view, and the bar from its end."),
        (
            Role("length", N_("bar length"), "length"),
            Role("width", N_("bar width"), "length"),
            Role("height", N_("bar height"), "length"),
            Role("mass", N_("mass of the bar")),
            Role("force", N_("weight of the bar")),
            Role("density", N_("density of the bar")),
        ),
        yoke_on_bar,
        {},
    ),
    Kind(
        "pole-face",
        N_("Pull of a pole face"),
        N_("Side view of one pole."),
        (
            Role("area", N_("area of the pole face, in cm2")),
            Role("flux", N_("flux density at the face")),
            Role("force", N_("pull")),
        ),
        pole_face,
        {},
    ),
)
