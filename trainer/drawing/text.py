"""Writing on a drawing: numbers as the house writes them, safe text, and how wide a word will be.

A drawing is made where no browser can be asked for the width of a text. The table holds the advance widths of
a condensed sans (DejaVu Sans Condensed, the widest face of the drawing stack; measured from its own metrics,
rounded to 0.02 em), so that a label that fits by this estimate fits with every face that a page may use.
"""

from __future__ import annotations

import math
import re
from functools import lru_cache
from typing import Final

from trainer.formulas.writing import NARROW, grouped
from trainer.languages.numerals import as_read

OMEGA: Final = "\u03a9"

_BY_WIDTH: Final = {
    0.18: NARROW,
    0.24: "'ijl",
    0.26: "IJ",
    0.28: " ,.·\u00a0",
    0.30: "/:;\\|",
    0.32: "-f",
    0.36: "!()[]rt²³",
    0.42: '"',
    0.44: "*_`°–",
    0.46: "s",
    0.48: "?z",
    0.50: "Lc",
    0.52: "Fk",
    0.54: "PTYvxyπ",
    0.56: "Eaeoéäöß",
    0.58: "$0123456789KSbdghnpqu{}√µü",
    0.62: "ABCRVXZ",
    0.66: "U",
    0.68: "HN" + OMEGA,
    0.70: "&DGOQ",
    0.74: "w",
    0.76: "#+<=>^~×−≤≥",
    0.78: "M",
    0.86: "%",
    0.88: "Wm½¼",
    0.90: "@…",
}
_EM: Final = {sign: width for width, signs in _BY_WIDTH.items() for sign in signs}
_OTHER_EM: Final = 0.9
_NAMES: Final = {"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;"}
_UNSAFE: Final = re.compile("[&<>\"'\x00-\x1f\x7f\ud800-\udfff\ufffe\uffff]")


@lru_cache(maxsize=8192)
def width(text: str, size: float) -> float:
    """Estimated width of one line of text in the units of ``size`` (font size); never too small on purpose."""
    return size * sum([_EM.get(sign, _OTHER_EM) for sign in text])


def safe(text: str) -> str:
    """Text ready to stand in XML: the five signs escaped, control characters left out."""
    return _UNSAFE.sub(lambda found: _NAMES.get(found[0], ""), text)


def cut(text: str, size: float, room: float) -> str:
    """The text, or its beginning and an ellipsis where it is wider than ``room``."""
    if width(text, size) <= room:
        return text
    kept = text
    while kept and width(kept + "…", size) > room:
        kept = kept[:-1]
    return kept.rstrip() + "…"


def folded(text: str, size: float, room: float) -> list[str]:
    """The text in lines not wider than ``room``, folded at spaces; a single word that is too wide is cut."""
    lines: list[str] = []
    for word in text.split(" "):
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and width(longer, size) <= room:
            lines[-1] = longer
        else:
            lines.append(word)
    return [cut(line, size, room) for line in lines]


@lru_cache(maxsize=8192)
def coordinate(value: float) -> str:
    """A number inside SVG: two decimals at most, no trailing zeros, the same on every machine."""
    short = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if short in ("-0", "") else short


def number(value: float, digits: int = 4) -> str:
    """A number for a person: ``digits`` significant figures, groups of three from five digits, true minus."""
    if not math.isfinite(value):
        return "?"
    if value == 0:
        return "0"
    decimals = max(0, digits - 1 - math.floor(math.log10(abs(value))))
    plain = f"{value:.{min(decimals, 12)}f}"
    return as_read(grouped(plain.rstrip("0").rstrip(".") if "." in plain else plain))


def quantity(value: float, unit: str, digits: int = 4) -> str:
    """Number, narrow space, unit; no unit for a pure number (unit ``1`` or empty)."""
    return number(value, digits) if unit in ("", "1") else f"{number(value, digits)}{NARROW}{unit}"
