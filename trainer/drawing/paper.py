"""Plain colours for drawings that leave the pages: one table from class to presentation attributes.

On a page the style sheet colours a drawing by its classes. A PDF has no style sheet, and the pages' own policy
forbids inline style, so a drawing made for paper carries colours as attributes and its own hatch patterns.
"""

from __future__ import annotations

from typing import Final

from trainer.drawing.text import coordinate

INK, SOFT, DRAW, FINE, LIVE, ORDER = "#10243a", "#34485c", "#143f6e", "#3d6690", "#b5360b", "#0b6656"
WIRE, FAR, SHEET, GRID = "#e9b79d", "#f6e3d8", "#ffffff", "#d9e5ed"
FACES: Final = "Roboto Condensed, Liberation Sans Narrow, Arial Narrow, DejaVu Sans Condensed, sans-serif"


def _stroke(colour: str, width: float, dashes: str = "") -> dict[str, str]:
    look = {"stroke": colour, "stroke-width": coordinate(width)}
    return look | {"stroke-dasharray": dashes} if dashes else look


LOOKS: Final[dict[str, dict[str, str]]] = {
    "grid": {"fill": "none", **_stroke(GRID, 1)},
    "edge": {"fill": "none", **_stroke(DRAW, 2), "stroke-linejoin": "round"},
    "fine": {"fill": "none", **_stroke(FINE, 1)},
    "ext": {"fill": "none", **_stroke(FINE, 1)},
    "axis": {"fill": "none", **_stroke(FINE, 1, "15 3 1.5 3")},
    "strong": _stroke(DRAW, 2),
    "ghost": {"fill": "none", **_stroke(FINE, 1, "12 3 1.5 3 1.5 3")},
    "dim": {"fill": "none", **_stroke(FINE, 1)},
    "weight": _stroke(DRAW, 2),
    "leader": {"fill": "none", **_stroke(FINE, 1)},
    "balloon": {"fill": SHEET, **_stroke(FINE, 1)},
    "solid": {"fill": SHEET},
    "hatched": {"fill": "url(#{fid}-hatch)", **_stroke(DRAW, 2)},
    "hatched-mark": {"fill": DRAW},
    "hatched-back": {"fill": "url(#{fid}-hatch-back)"},
    "hatched-ok": {"fill": "url(#{fid}-hatch-order)"},
    "hatch-fine": {"fill": "url(#{fid}-hatch-close)", "stroke": "none"},
    "overlap": {"fill": "url(#{fid}-hatch-close)", "stroke": "none"},
    "hatch-live": {"fill": "url(#{fid}-hatch-live)", "stroke": "none"},
    "wire": {"fill": WIRE, **_stroke(LIVE, 2)},
    "wire-far": {"fill": FAR, **_stroke(WIRE, 1)},
    "wire-solid": {"fill": WIRE, "stroke": DRAW},
    "wire-mark": {"fill": LIVE, "stroke": "none"},
    "wire-cross": {"fill": "none", **_stroke(LIVE, 1.5)},
    "cable": {"fill": "none", **_stroke(LIVE, 4), "stroke-linecap": "round", "stroke-linejoin": "round"},
    "thin": {"stroke-width": "2.5"},
    "flow": {"fill": "none", **_stroke(LIVE, 1)},
    "live-tip": {"fill": LIVE},
    "flux": {"fill": "none", **_stroke(ORDER, 1.25)},
    "flux-tip": {"fill": ORDER},
    "contour": {"fill": "none", **_stroke(ORDER, 2)},
    "broad": {"stroke-width": "4"},
    "reach": {"fill": "none", **_stroke(LIVE, 4)},
    "ghosted": _stroke(FINE, 1.5),
    "reach-end": _stroke(LIVE, 2),
    "ray": {"fill": "none", **_stroke(FINE, 1)},
    "trace": {"fill": "none", **_stroke(LIVE, 2), "stroke-linejoin": "round"},
    "band": {"fill": "url(#{fid}-hatch-order)", **_stroke(ORDER, 1.5)},
    "limit": _stroke(ORDER, 2),
    "particles": {"fill": "url(#{fid}-dots)", "stroke": "none"},
    "edge-live": _stroke(LIVE, 1),
    "arrowhead": {"fill": FINE},
    "arrowhead-live": {"fill": LIVE},
    "size": {"font-weight": "600"},
    "say": {"fill": SOFT},
    "tick": {"fill": SOFT, "font-size": "12"},
    "mid": {"text-anchor": "middle"},
    "end": {"text-anchor": "end"},
}
_TEXT: Final = {
    "font-family": FACES,
    "font-size": "13",
    "fill": INK,
    "stroke": SHEET,
    "stroke-width": "4",
    "stroke-linejoin": "round",
    "paint-order": "stroke",
}


def attributes(classes: str, fid: str, text: bool = False) -> str:
    """Presentation attributes for these classes, later classes winning; with a leading space."""
    looks: dict[str, str] = dict(_TEXT) if text else {}
    names = classes.split()
    for name in names:
        looks |= LOOKS.get(name, {})
    if "live" in names:
        looks |= {"fill": LIVE, "font-weight": "700", "font-size": "14"} if text else {"stroke": LIVE}
    return "".join(f' {key}="{value.replace("{fid}", fid)}"' for key, value in looks.items())


def patterns(fid: str) -> str:
    """The hatchings that the page keeps once per page, here once per drawing, ids prefixed."""
    hatch = (
        ("hatch", 7, 45, FINE, 1.0, ""),
        ("hatch-back", 5, -45, FINE, 1.0, ""),
        ("hatch-close", 3.5, -45, FINE, 1.0, ""),
        ("hatch-live", 6, 45, WIRE, 1.4, ""),
        ("hatch-order", 5, 45, ORDER, 1.6, '<path fill="#dcefe9" d="M0 0H5V5H0Z"/>'),
    )
    lines = [
        f'<pattern id="{fid}-{name}" patternUnits="userSpaceOnUse" width="{pitch}" height="{pitch}" '
        f'patternTransform="rotate({turn})">{ground}'
        f'<path fill="none" stroke="{ink}" stroke-width="{thick}" d="M{pitch / 2} 0V{pitch}"/></pattern>'
        for name, pitch, turn, ink, thick, ground in hatch
    ]
    dots = "".join(f'<circle fill="{LIVE}" cx="{x}" cy="{y}" r="0.9"/>' for x, y in ((1.2, 1.4), (3.8, 3.7)))
    lines.append(
        f'<pattern id="{fid}-dots" patternUnits="userSpaceOnUse" width="5" height="5">{dots}</pattern>'
    )
    return "<defs>" + "".join(lines) + "</defs>"
