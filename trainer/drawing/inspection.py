"""A finished drawing looked at as a reader sees it: what stands where, read back from its SVG."""

from __future__ import annotations

import re
from collections.abc import Iterator
from html import unescape

from trainer.drawing.figures.sheet import Figure
from trainer.drawing.register import Box, Spot
from trainer.drawing.text import width

_TEXT = re.compile(r'<text class="([^"]*)" x="([^"]*)" y="([^"]*)"( transform="[^"]*")?>([^<]*)</text>')
_PLACES = re.compile(r' (x|y|x1|x2|y1|y2|cx|cy)="(-?[\d.]+)"')
_SIZES = {"tick": 12.0, "live": 14.0}
_EDGE = 1.0  # units that a line may lie over the edge of the sheet


def lettering(figure: Figure) -> list[tuple[str, Box]]:
    """Return every text of a figure with the box that it takes."""
    found = []
    for classes, x, y, turned, text in _TEXT.findall(figure.svg):
        names = classes.split()
        size = next((_SIZES[name] for name in names if name in _SIZES), 13.0)
        anchor = next((name for name in names if name in ("mid", "end")), "start")
        plain = unescape(text)
        found.append((plain, Spot(float(x), float(y), anchor, bool(turned)).box(width(plain, size), size)))
    return found


def misfits(figure: Figure) -> Iterator[str]:
    """Say what does not fit: words on words, words or lines off the sheet, a place that is no number."""
    sheet = Box(-_EDGE, -_EDGE, figure.width + _EDGE, figure.height + _EDGE)
    words = lettering(figure)
    for i, (text, box) in enumerate(words):
        if not box.inside(sheet):
            yield f"'{text}' does not fit on the sheet of the figure"
        for other, that in words[i + 1 :]:
            if box.overlaps(that):
                yield f"'{text}' lies on '{other}' in the figure"
    if re.search(r'="[^"]*\b(?:nan|inf)\b', figure.svg):
        yield "a size in the figure is no number"
    for name, place in _PLACES.findall(figure.svg):
        most = figure.width if "x" in name else figure.height
        if not -_EDGE <= float(place) <= most + _EDGE:
            yield f"a line of the figure leaves its sheet at {name} = {place}"
