"""Numbers, days and counts in words, never rounded up to a limit they do not reach."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from trainer.languages import N_, _, ngettext

_PLACES = 3
UNITS = {
    "pct": "%",
    "days": N_("days"),
    "months": N_("months"),
    "years": N_("years"),
    "marks": N_("marks"),
    "questions": N_("questions"),
    "specimens": N_("specimens"),
    "checkpoints": N_("checkpoints"),
}


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
    number, n = number_text(value), 1 if value == 1 else 2
    match unit:
        case "days":
            return ngettext("%(number)s day", "%(number)s days", n, number=number)
        case "months":
            return ngettext("%(number)s month", "%(number)s months", n, number=number)
        case "years":
            return ngettext("%(number)s year", "%(number)s years", n, number=number)
        case "marks":
            return ngettext("%(number)s mark", "%(number)s marks", n, number=number)
        case "questions":
            return ngettext("%(number)s question", "%(number)s questions", n, number=number)
        case "specimens":
            return ngettext("%(number)s specimen", "%(number)s specimens", n, number=number)
        case "checkpoints":
            return ngettext("%(number)s checkpoint", "%(number)s checkpoints", n, number=number)
    return f"{number} {UNITS.get(unit, unit)}"


def unit_words(unit: str) -> str:
    """Name the unit of a figure by itself."""
    return _(UNITS[unit]) if unit in UNITS else unit


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
