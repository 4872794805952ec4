"""Numbers, days and counts in words, never rounded up to a limit they do not reach."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from trainer.languages import _, plural

_PLACES = 3
UNITS = {"pct": "%"}


def number_text(value: Fraction) -> str:
    """Write a number exactly if it ends, else cut (not rounded) after three places, with "about"."""
    for places in range(10):
        scaled = value * 10**places
        if scaled.denominator == 1:
            return _decimal(scaled.numerator, places)
    return _("about %(number)s", number=_decimal(int(value * 10**_PLACES), _PLACES))


def amount(value: Fraction | None, unit: str) -> str:
    """Write a number with its unit; one day, two days."""
    if value is None:
        return _("nothing")
    return f"{number_text(value)} {unit_words(unit, value)}"


def unit_words(unit: str, value: Fraction | int = 2) -> str:
    """Name the unit of a figure as it goes with a number: one day, two days."""
    n = 1 if value == 1 else 2
    match unit:
        case "days":
            return plural("day", "days", n)
        case "months":
            return plural("month", "months", n)
        case "years":
            return plural("year", "years", n)
        case "marks":
            return plural("mark", "marks", n)
        case "questions":
            return plural("question", "questions", n)
        case "specimens":
            return plural("specimen", "specimens", n)
        case "checkpoints":
            return plural("checkpoint", "checkpoints", n)
    return UNITS.get(unit, unit)


def sentences(parts: Iterable[str]) -> str:
    """Join parts into sentences, each with a capital and one full stop."""
    written = (part.strip().rstrip(".") for part in parts if part.strip())
    return " ".join(f"{part[:1].upper()}{part[1:]}." for part in written)


def ids(names: Iterable[str]) -> str:
    """Name entries for a sentence, a long list cut after six."""
    all_names = list(names)
    shown = ", ".join(all_names[:6])
    if len(all_names) > 6:
        return _("%(shown)s and %(more)s more", shown=shown, more=len(all_names) - 6)
    return shown


def _decimal(scaled: int, places: int) -> str:
    digits = str(scaled).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits
