"""Leads out and back: how far their field is felt, against one lead alone, and who must keep away."""

from __future__ import annotations

import math

from trainer.drawing.fieldpictures.graph import Graph
from trainer.drawing.fieldpictures.picture import Fact, FieldKind, length_says, metre, metres
from trainer.drawing.figures import layout
from trainer.drawing.figures.sheet import Role, Sheet
from trainer.drawing.register import Spot
from trainer.drawing.text import quantity
from trainer.fields import wire
from trainer.fields.window import INSTRUMENTS, LIMITS, Limit
from trainer.fields.wire import MU0
from trainer.languages import N_, _

_TOP = 2.0  # mT, the highest flux density on the graph


def facts(sheet: Sheet) -> tuple[Fact, ...]:
    """For each boundary how far it lies from one lead alone and from the middle of the pair."""
    current, apart = sheet.value("current"), metres(sheet, "spacing")
    away = length_says(sheet, INSTRUMENTS)
    return (
        Fact(
            _("Leads out and back"), _("%(length)s apart, middle to middle", length=length_says(sheet, apart))
        ),
        *(_limit_fact(sheet, limit, current, apart) for limit in LIMITS),
        Fact(
            _("Instruments"),
            _("magnetizing gear stays %(length)s away (TM 1-1520-265-23, seen, for aircraft)", length=away),
        ),
    )


def _limit_fact(sheet: Sheet, limit: Limit, current: float, apart: float) -> Fact:
    field = limit.flux / MU0
    alone = length_says(sheet, wire.reach(current, field))
    pair = length_says(sheet, wire.pair_reach(current, apart, field))
    return Fact(
        f"{quantity(limit.flux * 1000, 'mT', 2)}, {_(limit.whom)}",
        _(
            "%(alone)s from one lead alone; %(pair)s from the middle of the pair "
            "(%(document)s; unconfirmed, check your copy)",
            alone=alone,
            pair=pair,
            document=_(limit.document),
        ),
    )


def paint(sheet: Sheet) -> None:
    """End view of the leads with the boundary for implants, and below it the field beside them."""
    current, apart = sheet.value("current"), metres(sheet, "spacing")
    field = LIMITS[0].flux / MU0
    alone, pair = wire.reach(current, field), wire.pair_reach(current, apart, field)
    scale = min(150 / alone, 150 / pair, 300 / apart)
    cx, cy = 190.0, 22 + max(alone, pair) * scale
    sheet.pen.height = 2 * cy + 178
    sheet.squares(scale * metre(sheet), cx, cy)
    sheet.pen.circle(cx, cy, alone * scale, "ghost")
    for line in wire.pair_contour(current, apart, field):
        sheet.pen.poly([(cx + x * scale, cy - y * scale) for x, y in line], "contour")
    for side, mark in ((-1, layout.into_page), (1, layout.out_of_page)):
        mark(sheet.pen, cx + side * apart * scale / 2, cy, sheet.kept(0.01 * scale, 4.5, 9))
    top = cy - alone * scale * 0.8
    at = (cx + alone * scale * 0.6, top)
    sheet.pen.label(_("one lead alone"), Spot(min(at[0] + 14, 296), top - 4, "start"), look="say", lead=at)
    _graph(sheet, current, apart, 1.15 * max(alone, pair), sheet.pen.height - 46)
    says = quantity(LIMITS[0].flux * 1000, "mT", 2)
    sheet.say(
        _(
            "The line round the pair and the circle round one lead alone are drawn where %(flux)s are reached.",
            flux=says,
        )
    )


def _graph(sheet: Sheet, current: float, apart: float, end: float, base: float) -> None:
    unit = metre(sheet)
    graph = Graph(sheet, 46, base, 320, 108, 0.0, end / unit, _TOP)
    graph.axes(_("Flux density, mT"), _("from the middle, %(unit)s", unit=sheet.unit))
    for limit in LIMITS:
        y = graph.y(limit.flux * 1000)
        sheet.pen.line(graph.left, y, graph.left + graph.wide, y, "limit")
        says = quantity(limit.flux * 1000, "mT", 2)
        sheet.pen.label(says, Spot(graph.left + graph.wide - 2, y - 4, "end"), look="say")
    graph.curve(
        lambda x: _millitesla(wire.around(current, max(x * unit, 1e-6))), "fine", _("one lead alone"), 0.62
    )
    graph.curve(
        lambda x: _millitesla(wire.out_and_back(current, apart, x * unit, 0.0)) if x * unit > apart / 2 else math.inf,
        "trace", _("pair"), 0.3,
    )  # fmt: skip


def _millitesla(field: float) -> float:
    return MU0 * field * 1000


KIND = FieldKind(
    "leads",
    N_("How far the leads are felt"),
    N_("End view of the leads out and back, and the field beside them."),
    (
        Role("spacing", N_("distance of the leads"), "length", True),
        Role("current", N_("current"), "current", True),
    ),
    paint,
    {},
    N_(
        "Long straight leads side by side, the current as the boundary counts it: peak for implants, rms for the action "
        "level. Coils, spare cable in rings and the part itself reach farther than leads do. Whoever has an implant "
        "stays outside the work place altogether unless a physician and the responsible person have said otherwise; "
        "the boundary of the site and of local law governs."
    ),
    facts,
)
