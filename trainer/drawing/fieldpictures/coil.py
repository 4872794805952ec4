"""A coil, and a part in it: contours of the empty coil's field, and what the part's own shape leaves of it."""

from __future__ import annotations

import math
from dataclasses import dataclass

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
    window_of,
)
from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Role, Sheet
from trainer.drawing.register import Spot
from trainer.drawing.text import number, quantity
from trainer.fields import ellipsoid
from trainer.fields.contour import Point, contours, grid
from trainer.fields.loop import Coil
from trainer.fields.window import Window
from trainer.fields.wire import MU0
from trainer.languages import N_, _

_WIDER = 2.3  # times the part's diameter
_MOST_LOOPS = 6
_CELLS = 24


@dataclass(frozen=True, slots=True)
class _Laid:
    """Coil and part in metres; ``off`` is how far the part's axis lies from the coil's."""

    coil: Coil
    length: float
    diameter: float
    off: float

    @property
    def has_part(self) -> bool:
        return self.length > 0 and self.diameter > 0

    @property
    def ratio(self) -> float:
        return self.length / self.diameter

    def applied(self, z: float) -> float:
        """The field of the empty coil along the part's axis."""
        return self.coil.along(self.off, z)

    def left(self, z: float, permeability: float) -> float:
        """What the shape of the part leaves of it, each place by the factor of the whole."""
        return ellipsoid.inside(self.applied(z), self.ratio, permeability)

    def reach(self, field: float) -> float:
        """How far from its middle the empty coil makes this field on its axis, 0 where it does not."""
        low, high = 0.0, 40 * (self.coil.radius + self.coil.length)
        if self.coil.on_axis(low) <= field:
            return 0.0
        for _step in range(50):
            middle = (low + high) / 2
            low, high = (middle, high) if self.coil.on_axis(middle) > field else (low, middle)
        return low


def _laid(sheet: Sheet) -> _Laid:
    diameter = metres(sheet, "effective", metres(sheet, "diameter", 0.0))
    across = metres(sheet, "diameter", diameter)
    radius = metres(sheet, "radius", metres(sheet, "bore", _usual_bore(sheet, across)) / 2)
    radius = max(radius, across / 2 + CABLE / 2)
    turns = max(1, round(sheet.value("turns", 1)))
    total = sheet.value("ampere-turns", turns * sheet.value("current"))
    loops = min(turns, _MOST_LOOPS)
    coil = Coil(loops, total / loops, radius, metres(sheet, "wound", CABLE * (turns - 1)))
    off = radius - across / 2 if sheet.word("position") == "wall" else 0.0
    return _Laid(coil, metres(sheet, "length", 0.0), diameter, max(off - CABLE / 2, 0.0))


def _usual_bore(sheet: Sheet, across: float) -> float:
    """The bore where the exercise has none: close round a part that fills it, else so much wider."""
    return across + CABLE if sheet.word("position") == "filled" else _WIDER * across


def _window(sheet: Sheet) -> Window:
    window = window_of(sheet)
    assert window is not None
    return window


def facts(sheet: Sheet) -> tuple[Fact, ...]:
    """What the computed field says beside the rule."""
    it, window = _laid(sheet), _window(sheet)
    found = [Fact(_("Empty coil, in its middle"), field_says(it.coil.on_axis(0.0)))]
    if not sheet.has("bore") and not sheet.has("radius"):
        found.insert(
            0,
            Fact(
                _("Coil bore, not given"),
                _("taken as %(length)s", length=length_says(sheet, 2 * it.coil.radius)),
            ),
        )
    if sheet.has("distance"):
        found.append(
            Fact(
                _("Empty coil, at the distance given"), field_says(it.coil.on_axis(metres(sheet, "distance")))
            )
        )
    reach = it.reach(window.low)
    far = (
        _("to %(length)s each side of its middle", length=length_says(sheet, reach))
        if reach
        else _("nowhere on the axis")
    )
    found.append(
        Fact(_("Empty coil, %(field)s kA/m and more on the axis", field=number(window.low / 1000, 2)), far)
    )
    return (*found, *(_part_facts(it, window) if it.has_part else ()))


def _part_facts(it: _Laid, window: Window) -> tuple[Fact, ...]:
    factor = ellipsoid.demagnetizing_factor(it.ratio)
    soft, hard = (it.left(0.0, p) for p in reversed(STEELS))
    flux = sorted(MU0 * p * it.left(0.0, p) for p in STEELS)
    most = 1 + (it.applied(0.0) / window.low - 1) / factor
    enough = (
        _("up to a relative permeability of %(number)s", number=number(most, 2))
        if most > 1
        else _("for no steel")
    )
    low, high = (number(p) for p in STEELS)
    return (
        Fact(
            _("Shape, length over diameter %(ratio)s", ratio=number(it.ratio, 3)),
            _(
                "the part's own poles work against the field with %(factor)s of its magnetization; "
                "it gathers at most %(times)s times the flux of the empty coil",
                factor=number(factor, 3),
                times=number(1 / factor, 3),
            ),
        ),
        Fact(
            _("Along the part at mid-length, permeability %(high)s to %(low)s", high=high, low=low),
            fields_say(soft, hard),
        ),
        Fact(
            _("Flux density in the part there"),
            _("%(low)s to %(high)s", low=number(flux[0], 2), high=quantity(flux[1], "T", 2)),
        ),
        Fact(_("The lower end of the window is reached"), enough),
    )


def paint(sheet: Sheet) -> None:
    """Side view with contours of the empty coil, and below it the field along the part."""
    it, window = _laid(sheet), _window(sheet)
    lines = _contours(it.coil, (window.low, window.high))
    points = [point for line in (*lines[window.low], *lines[window.high]) for point in line]
    wide = max([point[0] for point in points] + [it.length / 2, 0.6 * it.coil.radius + it.coil.length / 2])
    tall = max([point[1] for point in points] + [1.15 * it.coil.radius])
    scale = min(172 / wide, 104 / tall)
    cx, cy = 190.0, 24 + tall * scale
    sheet.pen.height = cy + tall * scale + 214
    sheet.squares(scale * metre(sheet), cx, cy)
    _section(sheet, it, cx, cy, scale)
    for level, look in ((window.low, "contour"), (window.high, "flux")):
        _mirrored(sheet, lines[level], cx, cy, scale, look)
        _name_contour(sheet, lines[level], level, cx, cy, scale)
    _graph(sheet, it, window, wide, sheet.pen.height - 46)


def _contours(coil: Coil, levels: tuple[float, float]) -> dict[float, list[list[Point]]]:
    """The contours of the empty coil in one quarter, points (along, outward); the lower level first."""
    total = coil.turns * coil.current
    far = coil.radius + coil.length / 2 + (total * coil.radius**2 / (2 * levels[0])) ** (1 / 3)
    steps = [far * k / _CELLS for k in range(_CELLS + 1)]
    values = grid(lambda z, r: _evened(math.hypot(*coil.field(r, z))), steps, steps)
    lines = {level: contours(values, steps, steps, _evened(level)) for level in levels}
    return {level: [line for line in found if not _between_turns(line)] for level, found in lines.items()}


def _between_turns(line: list[Point]) -> bool:
    """True for a contour round a gap between two turns: a cable is thicker than the loop it is reckoned as."""
    return max(z for z, _ in line) - min(z for z, _ in line) < CABLE


def _evened(field: float) -> float:
    """A measure that grows with the field and evenly from place to place, at a wire (1/r) and far off (1/r³) alike."""
    return -1 / math.sqrt(max(field, 1e-9))


def _mirrored(sheet: Sheet, lines: list[list[Point]], cx: float, cy: float, scale: float, look: str) -> None:
    for line in lines:
        for side in (1, -1):
            for way in (1, -1):
                sheet.pen.poly([(cx + side * z * scale, cy + way * r * scale) for z, r in line], look)


def _name_contour(
    sheet: Sheet, lines: list[list[Point]], level: float, cx: float, cy: float, scale: float
) -> None:
    """Write the field at the contour, by a pointing line from its right upper side."""
    if lines:
        z, r = max((point for line in lines for point in line), key=lambda point: point[0] + point[1])
        x, y = cx + z * scale, cy - r * scale
        says = quantity(level / 1000, "kA/m", 2)
        sheet.pen.label(says, Spot(min(x + 14, 320), y - 8, "start"), look="say", lead=(x, y))


def _section(sheet: Sheet, it: _Laid, cx: float, cy: float, scale: float) -> None:
    """The coil cut along its axis, and the part in it."""
    pen, r = sheet.pen, sheet.kept(0.45 * CABLE * scale, 4, 9)
    bore, places = (it.coil.radius - 0.45 * CABLE) * scale + r, it.coil.places()
    side_by_side = 2.2 * r * (len(places) - 1)
    apart = max(it.coil.length * scale, side_by_side) / max(it.coil.length, 1e-12)
    pen.line(cx - 172, cy, cx + 172, cy, "axis")
    for place in places:
        layout.out_of_page(pen, cx + place * apart, cy - bore, r)
        layout.into_page(pen, cx + place * apart, cy + bore, r)
    if it.has_part:
        half = sheet.kept(it.diameter * scale / 2, 1.5)
        y = cy + it.off * scale
        pen.rect(cx - it.length * scale / 2, y - half, it.length * scale, 2 * half, "edge solid")


def _graph(sheet: Sheet, it: _Laid, window: Window, wide: float, base: float) -> None:
    unit = metre(sheet)
    end = (it.length / 2 if it.has_part else wide) / unit
    most = it.applied(0.0) / 1000
    graph = Graph(sheet, 46, base, 320, 116, -end, end, even_top(most, window))
    graph.band(window)
    graph.axes(_("Field, kA/m"), _("along the axis, %(unit)s", unit=sheet.unit))
    graph.curve(lambda z: it.applied(z * unit) / 1000, "fine", _("empty coil"), 0.86)
    if it.has_part:
        graph.steels(
            lambda z, p: it.left(z * unit, p) / 1000, N_("part, µr = %(permeability)s"), (0.24, 0.62)
        )


KIND = FieldKind(
    "coil",
    N_("Field of the coil"),
    N_("Side view, the coil in section, and the field along the part."),
    (
        Role("length", N_("part length along the coil axis"), "length"),
        Role("diameter", N_("part diameter"), "length"),
        Role("effective", N_("effective diameter"), "length"),
        Role("bore", N_("coil bore"), "length"),
        Role("radius", N_("coil radius"), "length"),
        Role("wound", N_("length of the winding"), "length"),
        Role("distance", N_("distance from the middle of the coil"), "length"),
        Role("turns", N_("turns"), "count"),
        Role("current", N_("current"), "current"),
        Role("ampere-turns", N_("ampere-turns"), "current"),
    ),
    paint,
    {"window": WINDOW_WORDS, "position": ("middle", "wall", "filled")},
    N_(
        "Each turn is a circular loop in air, 20 mm from the next; the part is an ellipsoid of the same length and "
        "diameter, its permeability the same everywhere and between 100 and 500 (from memory). Real steel saturates, "
        "square ends gather poles of their own, and the field falls off over a long part, so this shows the size and "
        "the way of the field, not its value at an edge."
    ),
    facts,
)
