"""Lamps: two distances from one lamp, and a place beside the point under a lamp."""

from __future__ import annotations

import math

from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Kind, Role, Sheet
from trainer.drawing.register import Spot
from trainer.languages import N_, _


def lamp_distance(sheet: Sheet) -> None:
    """A lamp and the same light on two screens at two distances."""
    pen = sheet.pen
    near = max(sheet.value("distance", 1.0), 1e-12)
    far = sheet.value("other", math.nan)
    e1, e2 = sheet.value("reading", math.nan), sheet.value("there", math.nan)
    if math.isnan(far):
        far = near * math.sqrt(e1 / e2) if e1 > 0 and e2 > 0 else near * 1.6
    scale = 252 / max(near, far)
    x0, y, spread = 62.0, 112.0, math.tan(math.radians(15))
    pen.height = 262
    if sheet.has("distance"):
        sheet.squares(scale, x0, y)
    body = [(-46, -12), (-24, -12), (-4, -24), (0, -24), (0, 24), (-4, 24), (-24, 12), (-46, 12)]
    pen.poly([(x0 + dx, y + dy) for dx, dy in body], "edge solid", close=True)
    end = 268.0
    for way in (-1, 1):
        pen.line(x0, y, x0 + end, y + way * end * spread, "ray")
    pen.line(x0 - 54, y, x0 + end, y, "axis")
    drawn = (near,) if not sheet.has("other") and not sheet.has("there") else (near, far)
    for distance in drawn:
        x, half = x0 + distance * scale, max(distance * scale * spread, 3)
        pen.line(x, y - half, x, y + half, "edge")
        pen.rect(x, y - half, 6, 2 * half, "hatched")
    a, b = x0 + near * scale, x0 + far * scale
    sheet.put("reading", Spot(a - 2, y - (a - x0) * spread - 14, "end"), Spot(a - 10, 20, "end"))
    sheet.put(
        "there", Spot(b, y - (b - x0) * spread - 12, "end"), Spot(b - 14, y - (b - x0) * spread - 30, "end")
    )
    sheet.dim_h("distance", x0, a, 214, (y + 24, y + (a - x0) * spread))
    sheet.dim_h("other", x0, b, 242, (y + 24, y + (b - x0) * spread))
    sheet.say(_("The same light spreads over a larger screen farther away."))


def lamp_offset(sheet: Sheet) -> None:
    """A lamp over a table and a place on it to the side; height, way sideways, slant way and angle are true."""
    pen = sheet.pen
    angle = min(max(sheet.value("angle", 35.0), 0.0), 85.0)
    slant = sheet.value("distance", math.nan)
    if sheet.has("height"):
        height = sheet.value("height")
        aside = sheet.value("aside", height * math.tan(math.radians(angle)))
    else:
        slant = 1.0 if math.isnan(slant) else slant
        height, aside = slant * math.cos(math.radians(angle)), slant * math.sin(math.radians(angle))
    scale = min(150 / max(height, 1e-12), 196 / max(aside, 1e-12))
    x, top = 96.0, 36.0
    floor, at = top + sheet.kept(height * scale, 4), x + aside * scale
    pen.height = floor + 68
    if sheet.has("height") or sheet.has("distance"):
        sheet.squares(scale, x, floor)
    pen.poly([(x - 18, top - 14), (x + 18, top - 14), (x + 10, top), (x - 10, top)], "edge solid", close=True)
    pen.line(24, floor, 340, floor, "edge")
    pen.line(x, top, x, floor, "axis")
    pen.line(x, top, at, floor, "trace")
    pen.circle(at, floor, 3.4, "wire-mark")
    lean = math.degrees(math.atan2(aside, max(height, 1e-12)))
    if lean > 4:
        pen.poly(layout.arc_points(x, top, min(44, (floor - top) * 0.7), 270, 270 + lean), "fine")
    sheet.put("angle", Spot(x + 8, top + 62, "start"), Spot(x - 10, top + 62, "end"))
    sheet.dim_v("height", x - 40, top, floor, (x - 10, None))
    sheet.dim_h("aside", x, at, floor + 44, (floor, floor))
    sheet.put("distance", Spot((x + at) / 2 + 14, (top + floor) / 2 - 6, "start"))
    sheet.put("under", Spot(x - 6, floor + 20, "end"), Spot(x - 6, floor + 38, "end"))
    sheet.put("there", Spot(at + 8, floor - 12, "start"), Spot(at, floor + 20))
    sheet.put("intensity", Spot(x + 30, 24, "start"))
    sheet.say(_("The lamp hangs straight over the left point."))


KINDS = (
    Kind(
        "lamp-distance",
        N_("Lamp and distance"),
        N_("Side view."),
        (
            Role("distance", N_("distance of the reading"), "length"),
            Role("other", N_("other distance"), "length"),
            Role("reading", N_("reading")),
            Role("there", N_("reading at the other distance")),
        ),
        lamp_distance,
        {},
    ),
    Kind(
        "lamp-offset",
        N_("Lamp over a table"),
        N_("Side view."),
        (
            Role("height", N_("height of the lamp"), "length"),
            Role("aside", N_("way to the side"), "length"),
            Role("distance", N_("way from the lamp"), "length"),
            Role("angle", N_("angle from straight down"), "angle"),
            Role("under", N_("under the lamp")),
            Role("there", N_("at the place")),
            Role("intensity", N_("intensity of the lamp")),
        ),
        lamp_offset,
        {},
    ),
)
