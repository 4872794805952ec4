"""A cable wrap moved along a long part: how far each position reaches along the bar, and in air."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

from trainer.drawing.fieldpictures.graph import Graph, even_top
from trainer.drawing.fieldpictures.picture import (
    CABLE,
    STEELS,
    WINDOW_WORDS,
    Fact,
    FieldKind,
    field_says,
    fields_say,
    length_says,
    metre,
    metres,
)
from trainer.drawing.figures.sheet import Role, Sheet
from trainer.drawing.register import Spot
from trainer.drawing.text import number, quantity
from trainer.fields import bar
from trainer.fields.loop import Coil
from trainer.fields.window import WINDOWS
from trainer.formulas.units import unit
from trainer.languages import N_, _

HIGH_FILL = 35_000.0
"""Ampere-turns times (L/D + 2) by ASME V, Article 7, T-753.2(a), for stored exercises of drills that do not say it."""
_LOOPS = 4
_MOST_DRAWN = 12
_MOST_CORNERS = 40


@dataclass(frozen=True, slots=True)
class _Moved:
    """The part and the places of the wrap in metres."""

    length: float
    radius: float
    reach: float
    ampere_turns: float
    middles: tuple[float, ...]

    def shots(self, x: float, permeability: float) -> float:
        """The field that the best placed of the shots makes at x from the left end."""
        near = min(abs(x - middle) for middle in self.middles)
        return bar.along(self.ampere_turns, self.radius, permeability, near)

    def in_air(self, x: float) -> float:
        """The field along the surface without steel, of the best placed shot."""
        coil = Coil(_LOOPS, self.ampere_turns / _LOOPS, self.radius + CABLE / 2, CABLE * (_LOOPS - 1))
        near = min(abs(x - middle) for middle in self.middles)
        return coil.along(self.radius, near)

    def holds_to(self, field: float, permeability: float) -> float:
        """How far from the wrap the field along the bar is still this one; 0 where it never is."""
        length = bar.decay_length(self.radius, permeability)
        start = self.ampere_turns / (2 * length)
        return length * math.log(start / field) if start > field else 0.0


def _moved(sheet: Sheet) -> _Moved:
    length, reach = metres(sheet, "length"), metres(sheet, "reach")
    diameter = metres(sheet, "diameter")
    overlap = min(max(sheet.value("overlap", 0.1), 0.0), 0.9)
    count = min(sheet.pieces("positions", (length - reach) / (reach * (1 - overlap)) + 1), 200)
    step = (length - reach) / (count - 1) if count > 1 else 0.0
    middles = tuple(reach / 2 + k * step for k in range(count)) if count > 1 else (length / 2,)
    total = sheet.value("ampere-turns", _constant(sheet) / (reach / diameter + 2))
    return _Moved(length, diameter / 2, reach, total, middles)


def _constant(sheet: Sheet) -> float:
    return sheet.value("constant", HIGH_FILL)


def facts(sheet: Sheet) -> tuple[Fact, ...]:
    """What one position does at its own ends, with steel and without."""
    it, window = _moved(sheet), WINDOWS[sheet.word("window")]
    ends = [bar.along(it.ampere_turns, it.radius, p, it.reach / 2) for p in STEELS]
    alone = _Moved(it.length, it.radius, it.reach, it.ampere_turns, (0.0,))
    low, high = (number(p) for p in STEELS)
    thick = length_says(sheet, 2 * it.radius)
    says, rule = N_("%(turns)s for a part %(thick)s thick"), {}
    if not sheet.has("ampere-turns"):
        says = N_("%(turns)s for a part %(thick)s thick, by %(constant)s/(L/D + 2) with one section as L")
        rule = {"constant": number(_constant(sheet))}
    return (
        Fact(
            _("Ampere-turns of one shot"),
            _(says, turns=quantity(it.ampere_turns, unit("A-turn").sign, 4), thick=thick, **rule),
        ),
        Fact(
            _(
                "Along the bar at the end of one section, permeability %(low)s to %(high)s",
                low=low,
                high=high,
            ),
            fields_say(*ends),
        ),
        Fact(_("In air at the same place"), field_says(alone.in_air(it.reach / 2))),
        *(_held(sheet, it.holds_to(window.low, p), p) for p in STEELS),
    )


def _held(sheet: Sheet, far: float, permeability: float) -> Fact:
    says = (
        _("to %(length)s from the wrap", length=length_says(sheet, far))
        if far
        else _("nowhere along the bar")
    )
    return Fact(
        _("Lower end of the window, permeability %(permeability)s", permeability=number(permeability)), says
    )


def paint(sheet: Sheet) -> None:
    """The part with its positions, and below it the field that the best shot makes at each place."""
    it, unit = _moved(sheet), metre(sheet)
    x0, wide = 46.0, 320.0
    scale = wide / it.length
    half = sheet.kept(it.radius * scale, 2, 26)
    y = 30 + half
    sheet.pen.height = y + half + 200
    sheet.squares(scale * unit, x0, y - half)
    sheet.pen.rect(x0, y - half, wide, 2 * half, "edge solid")
    sheet.pen.line(x0 - 10, y, x0 + wide + 8, y, "axis")
    for k, middle in enumerate(it.middles[:_MOST_DRAWN]):
        _position(sheet, k, x0 + middle * scale, y, half, it.reach * scale / 2)
    _graph(sheet, it, x0, wide, y + half + 154)


def _position(sheet: Sheet, k: int, x: float, y: float, half: float, reach: float) -> None:
    """A wrap, its number, and the bracket of its section under the part."""
    pen, level = sheet.pen, y + half + 9 + 6 * (k % 2)
    for off in (-3, 3):
        pen.line(x + off - 1.5, y + half + 3, x + off + 1.5, y - half - 3, "cable thin")
    pen.line(x - reach, level, x + reach, level, "reach ghosted")
    for end in (x - reach, x + reach):
        pen.line(end, level - 4, end, level + 4, "fine")
    pen.label(str(k + 1), Spot(x, y - half - 9), look="say", optional=True)


def _graph(sheet: Sheet, it: _Moved, x0: float, wide: float, base: float) -> None:
    unit, window = metre(sheet), WINDOWS[sheet.word("window")]
    most = it.shots(it.middles[0], STEELS[0]) / 1000
    graph = Graph(sheet, x0, base, wide, 100, 0.0, it.length / unit, even_top(most, window))
    graph.band(window)
    graph.axes(_("Field, kA/m"), _("along the part, %(unit)s", unit=sheet.unit))
    between = [(a + b) / 2 for a, b in pairwise(it.middles)]
    turns = [place / unit for place in (*it.middles, *between)][:_MOST_CORNERS]
    graph.curve(lambda x: it.in_air(x * unit) / 1000, "fine", _("in air"), 0.55, turns)
    graph.steels(
        lambda x, p: it.shots(x * unit, p) / 1000, N_("steel, µr = %(permeability)s"), (0.15, 0.8), turns
    )


KIND = FieldKind(
    "wrap",
    N_("How far one section reaches"),
    N_("Side view of the part with the wraps, and the field along it."),
    (
        Role("length", N_("part length"), "length", True),
        Role("reach", N_("length examined in one position"), "length", True),
        Role("diameter", N_("part diameter"), "length", True),
        Role("overlap", N_("overlap as a share"), "share"),
        Role("positions", N_("positions"), "count"),
        Role("ampere-turns", N_("ampere-turns of one shot"), "current"),
        Role("constant", N_("constant of the high-fill rule: ampere-turns times (L/D + 2)"), "current"),
    ),
    paint,
    {"window": WINDOW_WORDS},
    N_(
        "Steel: the bar carries the flux of a short wrap along itself and loses it sideways into the air, so the field "
        "falls off evenly from the wrap; permeability between 100 and 500, the same everywhere (from memory), the bar "
        "without ends. In air: four loops close to the surface. Drawn is at each place the shot that is placed best. "
        "The model gives the size of the reach; that the field does reach so far is shown with a field indicator."
    ),
    facts,
)
