"""The bath: settling tube with its tip enlarged, and the tank."""

from __future__ import annotations

import math

from trainer.drawing.figures.layout import bent, spread
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def _whole_tube(pen: Pen, cx: float) -> None:
    """The whole tube, its tip in a circle."""
    down = bent((cx - 36, 118), (cx - 36, 164), (cx - 8, 182), (cx - 8, 202))
    foot = bent((cx - 8, 230), (cx - 3, 235), (cx + 3, 235), (cx + 8, 230))
    up = bent((cx + 8, 202), (cx + 8, 182), (cx + 36, 164), (cx + 36, 118))
    pen.poly([(cx - 36, 28), *down, *foot, *up, (cx + 36, 28)], "edge solid")
    pen.line(cx - 40, 28, cx + 40, 28, "edge")
    pen.poly(bent((cx - 36, 42), (cx - 18, 47), (cx + 18, 47), (cx + 36, 42)), "fine")
    pen.line(cx, 14, cx, 248, "axis")
    pen.circle(cx, 220, 23, "fine")


def settling_tube(sheet: Sheet) -> None:
    """The tip of the tube enlarged: particles below, dirt above them, the target as a line."""
    pen = sheet.pen
    layer, dirt = sheet.value("layer", math.nan), max(sheet.value("dirt", 0.0), 0.0)
    net = sheet.value("particles", math.nan)
    layer = (0.2 if math.isnan(net) else net + dirt) if math.isnan(layer) else layer
    layer = max(layer, 1e-12)
    net = max(layer - dirt, 0.0)
    target = sheet.value("target", math.nan)
    top = max(layer, target if target > 0 else 0) * 1.2
    pen.height = 262
    _whole_tube(pen, 66)
    x, foot, wide, scale = 158.0, 232.0, 44.0, 190 / top
    pen.line(88, 208, x - 6, foot - 180, "fine")
    y_net, y_all = foot - net * scale, foot - layer * scale
    pen.rect(x, y_net, wide, max(foot - y_net, 0.5), "particles")
    if dirt > 0:
        pen.rect(x, y_all, wide, max(y_net - y_all, 0.5), "hatched")
    pen.line(x, y_all, x + wide, y_all, "edge")
    pen.poly([(x, 30), (x, foot), (x + wide, foot), (x + wide, 30)], "edge")
    if target > 0:
        pen.line(x - 10, foot - target * scale, x + wide + 4, foot - target * scale, "limit")
    _layers(sheet, x + wide, (foot, y_net, y_all, foot - target * scale if target > 0 else foot))
    pen.label(_("tip, enlarged"), Spot(x + wide / 2, 20), look="say")
    sheet.scale_says = _("layers to scale")
    sheet.say(
        _("Particles lie at the bottom, dirt above them.") if dirt > 0 else _("Particles lie at the bottom.")
    )


def _layers(sheet: Sheet, x: float, levels: tuple[float, float, float, float]) -> None:
    """The numbers of the layers at the right, each pointing at its own."""
    foot, net, whole, target = levels
    rows = [
        ("particles", (foot + net) / 2),
        ("dirt", (net + whole) / 2),
        ("layer", whole),
        ("target", target),
    ]
    rows = [row for row in rows if sheet.has(row[0])]
    places = spread([row[1] for row in rows], 19, 26, foot) if rows else []
    for (role, level), place in zip(rows, places, strict=True):
        sheet.pen.line(x - (12 if role in ("particles", "dirt") else 0), level, x + 16, place, "fine")
        sheet.put(role, Spot(x + 20, place + 4.5, "start"))


def tank(sheet: Sheet) -> None:
    """The tank with its bath, what is added from above, and what the tube showed."""
    pen = sheet.pen
    pen.height = 206
    volume, add = max(sheet.value("volume", 1.0), 1e-12), max(sheet.value("vehicle", 0.0), 0.0)
    x, foot, wide = 62.0, 176.0, 176.0
    share = 1.0 if sheet.unknown("vehicle") else min(volume / (volume + add), 1.0)
    level = foot - 92 * share
    pen.rect(x, level, wide, foot - level, "particles")
    if share < 1:
        pen.rect(x, foot - 92, wide, level - foot + 92, "hatch-fine")
    pen.line(x, level, x + wide, level, "fine")
    pen.poly([(x, 60), (x, foot), (x + wide, foot), (x + wide, 60)], "edge")
    pen.line(x + wide / 2, 26, x + wide / 2, 72, "flow")
    pen.tip(x + wide / 2, 80, 90)
    sheet.put("volume", Spot(x + wide / 2, foot - 30))
    sheet.put("mass", Spot(x + wide / 2 + 12, 36, "start"))
    sheet.put("vehicle", Spot(x + wide / 2 + 12, 36, "start"), Spot(x + wide / 2 + 12, 54, "start"))
    for k, role in enumerate(("concentrate", "measured", "target")):
        sheet.put(role, Spot(x + wide + 14, 92 + 20 * k, "start"), Spot(12, 22 + 18 * k, "start"))
    sheet.scale_says = _("volumes in proportion") if share < 1 else _("not to scale")
    sheet.say(_("What is added comes from above."))


KINDS = (
    Kind(
        "settling-tube",
        N_("Settling tube"),
        N_("Side view, the tip enlarged."),
        (
            Role("layer", N_("whole layer")),
            Role("dirt", N_("dirt")),
            Role("particles", N_("particles")),
            Role("target", N_("target")),
        ),
        settling_tube,
        {},
    ),
    Kind(
        "bath-tank",
        N_("Bath in the tank"),
        N_("Side view."),
        (
            Role("volume", N_("bath")),
            Role("mass", N_("concentrate to add")),
            Role("vehicle", N_("vehicle to add")),
            Role("concentrate", N_("concentrate per volume")),
            Role("measured", N_("measured layer")),
            Role("target", N_("target layer")),
        ),
        tank,
        {},
    ),
)
