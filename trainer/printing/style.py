"""Drawings that stand alone: the figures of the pages with their look written into them, on white paper.

On a page a figure carries classes only and the style sheets colour it. A PDF writer has no style sheets, so the same
rules, read from the same files, go into each drawing with the values of white paper in place of the names.
"""

from __future__ import annotations

import re

_DRAWING = re.compile(r"/\* -+ drawing\..*?(?=/\* -+ exercise \*/)", re.DOTALL)
_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_RULE = re.compile(r"([^{}]+)\{([^{}]*)\}")
_TOKEN = re.compile(r"--([\w-]+):\s*([^;]+);")
_NAMED = re.compile(r"var\(--([\w-]+)\)")
_SVG = '<svg xmlns="http://www.w3.org/2000/svg" '
_WIDTH = re.compile(r" (?:Narrow|Condensed)(?=\")")
_LETTERING = ".figure text{font-stretch:condensed;stroke:none}"
"""The PDF writer knows a narrow face by its family and its width; its halo of a sign would eat the sign before."""
_DEFS = re.compile(r"<defs>.*</defs>", re.DOTALL)


class FigureStyle:
    """The look of the drawings, from the house's style sheet, its tokens and the piece with arrowheads and hatches."""

    def __init__(self, house_css: str, tokens_css: str, defs: str) -> None:
        """Read the three files; ValueError where one does not hold what is looked for."""
        drawing, found = _DRAWING.search(house_css), _DEFS.search(defs)
        if drawing is None or found is None:
            raise ValueError("the style sheet has no part on drawings, or the piece has no defs")
        values = dict(_TOKEN.findall(_COMMENT.sub("", tokens_css).partition("@media")[0]))
        values["face-draw"] = _WIDTH.sub("", values["face-draw"])
        rules = _COMMENT.sub("", drawing[0]).partition("@media")[0]
        style = "".join(
            f"{selector.strip()}{{{_NAMED.sub(lambda name: values[name[1]], body)}}}"
            for selector, body in _RULE.findall(rules)
            if ":not" not in selector  # more than the reader of a drawing knows; such rules only refine
        )
        self._inside = f"<style>{style}{_LETTERING}</style>{found[0]}"

    def alone(self, svg: str) -> str:
        """Return a figure as a drawing that needs nothing around it; an empty text stays empty."""
        if not svg:
            return ""
        head, _, rest = svg.partition(">")
        named = head.replace("<svg ", _SVG, 1)
        return f"{named}>{self._inside}{rest}"
