"""A written practice as the plain data of its pages: each figure, what is published, what is set, and why."""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction
from typing import Any

from trainer.qualification import Figure, Scheme, WrittenPractice, differences
from trainer.qualification.overrides import RULES, figure_keys, overridable
from trainer.qualification.scheme import UNCONFIRMED
from trainer.qualification.words import amount
from trainer.store.models import PracticeRevision
from trainer.web.ledger_sheet import CODES

WORDS = {
    "training.I": "Training, Level I",
    "training.II": "Training, Level II",
    "experience_method.I": "Experience in the method, Level I",
    "experience_method.II": "Experience in the method, Level II",
    "experience_total.I": "Experience in all methods, Level I",
    "experience_total.II": "Experience in all methods, Level II",
    "general.pass": "General examination, pass mark",
    "specific.pass": "Specific examination, pass mark",
    "practical.pass": "Practical examination, pass mark",
    "composite.pass": "Composite grade, pass mark",
    "general.questions": "General examination, fewest questions",
    "specific.questions": "Specific examination, fewest questions",
    "practical.specimens": "Practical examination, fewest specimens",
    "practical.checkpoints": "Practical examination, fewest checkpoints",
    "weights": "Weights of general, specific and practical",
    "retest.days": "Wait before a retest",
    "vision_near.months": "Near vision good for",
    "vision_near.chart": "Near vision, coarsest chart",
    "vision_colour.years": "Colour vision good for",
    "certificate.years": "Certificate good for",
    "rehire.months": "Reinstatement after a rehire within",
    "interruption.months": "Longest time without work in the method",
    "results.years": "Examination results usable for",
    "laboratory.percent": "Share of laboratory time that counts as experience",
    "education.reduction_percent": "Less training for an education",
}
HINTS = {"weights": "three numbers, such as 1, 1, 2"}
OPTIONS = {"vision_near.chart": (("", "as published"), ("jaeger_1", "Jaeger 1"), ("jaeger_2", "Jaeger 2"))}
# The unit of a figure that only a written practice sets, where the edition has none to take it from.
UNITS = {"n": "", "pct": "%"}

assert WORDS.keys() == RULES.keys()


def changes(scheme: Scheme, practice: WrittenPractice) -> list[dict[str, str]]:
    """What a revision changes against the published edition, one row a figure."""
    return [
        {
            "name": WORDS[one.key],
            "published": _published(one.published),
            "value": f"{CODES.get(one.value, one.value)} {_unit(one.key, scheme)}".strip(),
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
            "name": WORDS[key],
            "published": _published(scheme.figures.get(figure_keys(key)[0])),
            "unit": _unit(key, scheme),
            "hint": HINTS.get(key, ""),
            "options": OPTIONS.get(key, ()),
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
    return UNITS.get(unit, unit)


def _published(figure: Figure | None) -> str:
    if figure is None:
        return "not set"
    value = figure.value
    unit = "" if figure.unit == "n" else figure.unit
    words = amount(value, unit).strip() if isinstance(value, Fraction) else CODES.get(value, value)
    return f"{words}; {UNCONFIRMED}" if figure.unconfirmed else words
