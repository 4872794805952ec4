"""Numbers, days and counts in words, never rounded up to a limit they do not reach."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

_PLACES = 3
UNITS = {"pct": "%", "h": "h", "days": "days", "months": "months", "marks": "marks"}


def number_text(value: Fraction) -> str:
    """Write a number exactly if it ends, else cut (not rounded) after three places, with "about"."""
    for places in range(10):
        scaled = value * 10**places
        if scaled.denominator == 1:
            return _decimal(scaled.numerator, places)
    return f"about {_decimal(int(value * 10**_PLACES), _PLACES)}"


def amount(value: Fraction | None, unit: str) -> str:
    """Write a number with its unit; one day, two days."""
    if value is None:
        return "nothing"
    name = UNITS.get(unit, unit)
    if value == 1 and name.endswith("s"):
        name = name[:-1]
    return f"{number_text(value)} {name}"


def sentences(parts: Iterable[str]) -> str:
    """Join parts into sentences, each with a capital and one full stop."""
    written = (part.strip().rstrip(".") for part in parts if part.strip())
    return " ".join(f"{part[:1].upper()}{part[1:]}." for part in written)


def ids(names: Iterable[str]) -> str:
    """Name entries for a sentence, a long list cut after six."""
    all_names = list(names)
    shown = ", ".join(all_names[:6])
    return f"{shown} and {len(all_names) - 6} more" if len(all_names) > 6 else shown


def _decimal(scaled: int, places: int) -> str:
    digits = str(scaled).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits
