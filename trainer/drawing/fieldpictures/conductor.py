"""A conductor in the bore of a sleeve, in its middle or on its side: the field along both surfaces, all round."""

from __future__ import annotations

import math

from trainer.drawing.fieldpictures.graph import Graph, even_top
from trainer.drawing.fieldpictures.picture import (
    STEELS,
    WINDOW_WORDS,
    Fact,
    FieldKind,
    field_says,
    fields_say,
    metre,
    metres,
)
from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Role, Sheet
from trainer.drawing.text import number
from trainer.fields.tube import Offset
from trainer.fields.window import WINDOWS
from trainer.languages import N_, _

_PX = 96.0


def _bar(sheet: Sheet) -> float:
    """The radius of the conductor, m."""
    return metres(sheet, "conductor", metres(sheet, "outside") / 6) / 2


def _placed(sheet: Sheet, permeability: float = 1.0, position: str = "") -> Offset:
    """The conductor in its bore, where the exercise has it or at another ``position``."""
    outer, bar = metres(sheet, "outside") / 2, _bar(sheet)
    wall = metres(sheet, "wall", outer / 4)
    inner = max(outer - wall, 1.02 * bar)
    on_bore = sheet.word("position") == "bore"
    off = inner - bar if (position or sheet.word("position")) == "bore" else 0.0
    across = sheet.value("outside") if not on_bore else sheet.value("conductor") + 2 * sheet.value("wall")
    current = sheet.value("current", sheet.value("rate") * across) * sheet.value("passes", 1.0)
    return Offset(current, off, inner, max(outer, inner * 1.001), permeability)


def facts(sheet: Sheet) -> tuple[Fact, ...]:
    """The field at bore and outside; for one on the bore also at the ends of its arc and opposite."""
    it = _placed(sheet)
    if it.off == 0:
        return (
            Fact(_("Along the bore, all round"), field_says(it.bore(0.0))),
            Fact(_("Along the outside, all round"), field_says(it.outside(0.0))),
        )
    end = min(4 * _bar(sheet) / it.outer, math.pi)  # two diameters of the bar each way, along the outside
    steel = _placed(sheet, STEELS[0])
    return (
        Fact(_("Outside, next to the conductor, as in air"), field_says(it.outside(0.0))),
        Fact(_("Outside, two conductor diameters to each side, as in air"), field_says(it.outside(end))),
        Fact(_("Outside, opposite the conductor, as in air"), field_says(it.outside(math.pi))),
        Fact(
            _(
                "Outside all round, steel of permeability %(permeability)s throughout",
                permeability=number(STEELS[0]),
            ),
            fields_say(steel.outside(0.0), steel.outside(math.pi)),
        ),
    )


def paint(sheet: Sheet) -> None:
    """End view: arcs of both surfaces where the window is reached, and the field all round below."""
    it, window = _placed(sheet), WINDOWS[sheet.word("window")]
    scale = _PX / it.outer
    cx, cy = 190.0, 26 + _PX
    sheet.pen.height = cy + _PX + 212
    sheet.squares(scale * metre(sheet), cx, cy)
    layout.ring(sheet.pen, cx, cy, _PX, it.inner * scale)
    layout.cross(sheet.pen, cx, cy, _PX, _PX)
    for field, radius in ((it.outside, _PX + 7), (it.bore, it.inner * scale - 5)):
        for start, end in _arcs([field(math.radians(a)) >= window.low for a in range(0, 181, 3)]):
            for way in (1, -1):
                points = layout.arc_points(cx, cy, radius, 90 + way * start * 3, 90 + way * end * 3)
                sheet.pen.poly(points, "contour broad")
    layout.into_page(sheet.pen, cx, cy - it.off * scale, sheet.kept(_bar(sheet) * scale, 3))
    if it.off:
        half = math.degrees(min(4 * _bar(sheet) / it.outer, math.pi))
        for way in (1, -1):
            a, b = (layout.polar(cx, cy, r, 90 + way * half) for r in (_PX + 2, _PX + 20))
            sheet.pen.line(*a, *b, "reach-end")
        sheet.say(_("Two short strokes mark the arc of four conductor diameters."))
    sheet.say(
        _("A thick line beside a surface marks where the lower end of the window is reached, as in air.")
    )
    _graph(sheet, it, sheet.pen.height - 46)


def _arcs(reached: list[bool]) -> list[tuple[int, int]]:
    """Runs of places where the window is reached, as first and last."""
    runs: list[tuple[int, int]] = []
    for k, yes in enumerate(reached):
        if yes and runs and runs[-1][1] == k - 1:
            runs[-1] = (runs[-1][0], k)
        elif yes:
            runs.append((k, k))
    return [run for run in runs if run[1] > run[0]]


def _graph(sheet: Sheet, it: Offset, base: float) -> None:
    window, steel = WINDOWS[sheet.word("window")], _placed(sheet, STEELS[0])
    most = max(it.outside(0.0), steel.outside(0.0), it.bore(math.pi)) / 1000
    graph = Graph(sheet, 46, base, 320, 112, -180.0, 180.0, even_top(1.4 * most, window))
    graph.band(window)
    graph.axes(_("Field, kA/m"), _("round the part from the conductor's side, degrees"))
    rows = ((it.outside, "trace", _("outside"), 0.62), (it.bore, "flux", _("bore"), 0.3))
    for field, look, name, at in rows:
        graph.curve(lambda a, f=field: f(math.radians(a)) / 1000, look, name, at)  # type: ignore[misc]
    other = steel if it.off else _placed(sheet, position="bore")
    says = (
        _("outside, steel µr = %(permeability)s", permeability=number(STEELS[0]))
        if it.off
        else _("outside, if it lay on the bore")
    )
    graph.curve(lambda a: other.outside(math.radians(a)) / 1000, "ghost", says, 0.84)


KIND = FieldKind(
    "conductor",
    N_("Field round the bore and outside"),
    N_("End view of the part, and the field along its surfaces all round."),
    (
        Role("outside", N_("outside diameter"), "length", True),
        Role("wall", N_("wall"), "length"),
        Role("conductor", N_("conductor diameter"), "length"),
        Role("current", N_("current"), "current"),
        Role("passes", N_("passes through the bore"), "count"),
        Role("rate", N_("current per length")),
    ),
    paint,
    {"window": WINDOW_WORDS, "position": ("middle", "bore")},
    N_(
        "A long straight conductor in a long sleeve. As in air is the limit of steel that is saturated next to the "
        "conductor; steel of one permeability throughout is the other limit, where the sleeve leads the field round. "
        "The arc that a document allows stays near the first; a field indicator shows where the real part lies."
    ),
    facts,
)
