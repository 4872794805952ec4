"""Why an exercise comes: kept with the exercise as it was written, in English, and told in the reader's language."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

from trainer.languages import N_, _

NEW = N_("because it is new to you")
UNSTEADY = N_("because it is not steady yet")
DUE = N_("because it is due today")
CHOSEN = N_("because you chose it")
SET = N_("because it is set for you")
OF_CLASS = N_("asked of the whole class")
_TWICE = N_("because this came up twice: %(slip)s")
_WAS_DUE = N_("because it was due on %(day)s")
_LESSON = N_("exercise %(done)s of %(of)s on just this: %(slip)s")
MONTHS = (
    *(N_("January"), N_("February"), N_("March"), N_("April"), N_("May"), N_("June"), N_("July")),
    *(N_("August"), N_("September"), N_("October"), N_("November"), N_("December")),
)
_LONGEST = 200


def came_twice(slip: str) -> str:
    """The reason to keep where a mistake was made twice lately."""
    return _TWICE % {"slip": slip}


def was_due(day: date) -> str:
    """The reason to keep where the day of a skill is over."""
    return _WAS_DUE % {"day": f"{day.day} {MONTHS[day.month - 1]}"}


def of_lesson(done: int, of: int, slip: str) -> str:
    """The reason to keep with an exercise of a lesson."""
    return (_LESSON % {"done": done, "of": of, "slip": slip})[:_LONGEST]


def told(reason: str) -> str:
    """A kept reason in the reader's language; one that an earlier release kept in other words stays as it is."""
    for form, shape, values in _FORMS:
        found = shape.fullmatch(reason)
        if found:
            return _(form, **{name: say(found[name]) for name, say in values.items()})
    return _(reason)


def day_told(day: date) -> str:
    """A day of this year in a sentence: 27 November."""
    return _day(f"{day.day} {MONTHS[day.month - 1]}")


def _day(text: str) -> str:
    number, _blank, month = text.partition(" ")
    return _("%(day)s %(month)s", day=number, month=_(month))


def _shape(form: str) -> re.Pattern[str]:
    """The pattern of a kept reason: its words, with its values in between."""
    return re.compile(re.sub(r"%\((\w+)\)s", r"(?P<\1>.+?)", form))


_FORMS: tuple[tuple[str, re.Pattern[str], dict[str, Callable[[str], str]]], ...] = (
    (_TWICE, _shape(_TWICE), {"slip": _}),
    (_WAS_DUE, _shape(_WAS_DUE), {"day": _day}),
    (_LESSON, _shape(_LESSON), {"done": str, "of": str, "slip": _}),
)
