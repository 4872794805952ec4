"""Write numbers as the house prints them: groups from five digits up, a true minus, a narrow space before a unit.

What is kept with an exercise is ``kept_number``; what is shown has the reader's decimal sign.
"""

from __future__ import annotations

import math

from trainer.formulas.units import unit
from trainer.languages.numerals import as_read

NARROW = "\u202f"
MINUS = "\u2212"


def rounded(value: float, figures: int) -> float:
    """Round to significant figures, half away from zero in decimal (2.675 to three gives 2.68)."""
    if value == 0 or not math.isfinite(value):
        return value
    # round() works in decimal; the nudge lifts a tie that binary has stored a hair too low
    return round(value * (1 + 1e-15), figures - 1 - math.floor(math.log10(abs(value))))


def plain_text(value: float, figures: int = 4) -> str:
    """Write a number without exponent and without zeros that say nothing: 1875, 0.0297, 45000."""
    if value == 0:
        return "0"
    short = rounded(value, figures)
    if abs(value) >= 10 ** (figures - 1):
        short = math.copysign(math.floor(abs(value) + 0.5), value)
    size = math.floor(math.log10(abs(short)))
    if not -7 <= size <= 15:
        return f"{short:.{figures - 1}e}".replace("e-0", "e-").replace("e+0", "e").replace("e+", "e")
    text = f"{short:.{max(0, figures - 1 - size)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def grouped(text: str) -> str:
    """Put narrow spaces between groups of three from five digits up and use the true minus."""
    minus = text.startswith("-")
    whole, dot, rest = text.lstrip("-").partition(".")
    if len(whole) > 4 and whole.isdigit():
        head = len(whole) % 3
        whole = NARROW.join(
            filter(None, [whole[:head], *(whole[i : i + 3] for i in range(head, len(whole), 3))])
        )
    return (MINUS if minus else "") + whole + dot + rest


def kept_number(value: float, figures: int) -> str:
    """Write a number as it is kept, with a point for everybody."""
    return grouped(plain_text(value, figures))


def number(value: float, figures: int = 4) -> str:
    """Write a number for the page, with the reader's decimal sign."""
    return as_read(kept_number(value, figures))


def amount(value: float, unit_name: str, figures: int = 4) -> str:
    """Write a number with its unit for the page: 1875 A, 12 in, 25 %, 30°."""
    return with_unit(number(value, figures), unit_name)


def with_unit(text: str, unit_name: str) -> str:
    """Join a written number and a unit's sign, with the reader's decimal sign."""
    sign, text = unit(unit_name).sign, as_read(text)
    if not sign:
        return text
    return f"{text}{sign}" if sign == "°" else f"{text}{NARROW}{sign}"
