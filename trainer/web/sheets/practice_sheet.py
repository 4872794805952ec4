"""A written practice as the plain data of its pages: each figure, what is published, what is set, and why."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from trainer.languages import N_, _
from trainer.qualification import Figure, Scheme, WrittenPractice, differences
from trainer.qualification.figure_words import figure_words
from trainer.qualification.overrides import RULES, figure_keys, overridable
from trainer.qualification.scheme import UNCONFIRMED
from trainer.qualification.words import amount, unit_words
from trainer.services.qualifying.entry_words import CODES
from trainer.store.models import PracticeRevision

HINTS = {"weights": N_("three numbers, such as 1, 1, 2")}
OPTIONS = {
    "vision_near.chart": (("", N_("as published")), ("jaeger_1", "Jaeger 1"), ("jaeger_2", "Jaeger 2"))
}
EQUAL = N_("equal")
# The unit of a figure that only a written practice sets, where the edition has none to take it from.
UNITS = {"n": "", "pct": "%"}


def changes(scheme: Scheme, practice: WrittenPractice) -> list[dict[str, str]]:
    """What a revision changes against the published edition, one row a figure."""
    return [
        {
            "name": figure_words(one.key),
            "published": _published(one.published),
            "value": f"{_words(one.value)} {_unit(one.key, scheme)}".strip(),
            "reason": one.reason,
        }
        for one in differences(scheme, practice)
    ]


def figures(
    scheme: Scheme, typed: Mapping[str, tuple[str, str]], faulty: str, fault: str
) -> list[dict[str, Any]]:
    """Every figure that a draft may set: what is published, and what was typed for it."""
    return [
        {
            "key": key,
            "name": figure_words(key),
            "published": _published(scheme.figures.get(figure_keys(key)[0])),
            "unit": _unit(key, scheme),
            "hint": _(HINTS[key]) if key in HINTS else "",
            "options": [(value, _(words)) for value, words in OPTIONS.get(key, ())],
            "value": typed.get(key, ("", ""))[0],
            "reason": typed.get(key, ("", ""))[1],
            "fault": fault if key == faulty else "",
        }
        for key in overridable(scheme)
    ]


def as_typed(row: PracticeRevision) -> dict[str, tuple[str, str]]:
    """What a revision sets, as it would be typed again for the next one."""
    return {
        key: (", ".join(told["value"].values()) if key == "weights" else told["value"], told["reason"])
        for key, told in row.overrides.items()
    }


def _unit(key: str, scheme: Scheme) -> str:
    figure = scheme.figures.get(figure_keys(key)[0])
    unit = figure.unit if figure is not None else RULES[key].unit
    return UNITS[unit] if unit in UNITS else unit_words(unit)


def _published(figure: Figure | None) -> str:
    if figure is None:
        return _("not set")
    value = figure.value
    unit = "" if figure.unit == "n" else figure.unit
    words = amount(value, unit).strip() if isinstance(value, Fraction) else _words(value)
    return f"{words}; {_(UNCONFIRMED)}" if figure.unconfirmed else words


def _words(value: str) -> str:
    """A figure that is a word."""
    return _(value) if value == EQUAL else CODES.get(value, value)
