"""Which item to offer next, and the reason that is told with it. Pure and deterministic."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from trainer.practice import reasons
from trainer.practice.skill import Skill

Guidance = Literal["example", "start", "plain"]
_FADING: tuple[Guidance, ...] = ("example", "start")  # then plain, for good
_NEW_IN_A_ROW = 3  # while a skill is new, this many of one family may follow each other
# Several skills begun side by side come back mixed and on more days. Measured (tests/benchmarks/learning): with six at
# once instead of two the same number of answers leaves a quarter fewer skills forgotten a week later.
_BEGUN_AT_ONCE = 6


@dataclass(frozen=True, slots=True)
class Line:
    """One thing that can be offered: a drill, the find asked for (None: any), its family."""

    drill: str
    find: str | None
    family: str


@dataclass(frozen=True, slots=True)
class Offer:
    """What to offer, why (as practice.reasons keeps it), and with how much guidance."""

    line: Line
    reason: str
    guidance: Guidance


def choose(
    lines: Sequence[Line],
    skills: Mapping[str, Skill],
    recent: Sequence[str],
    today: date,
    slips: Mapping[str, str],
    asked: Mapping[Line, int] | None = None,
) -> Offer | None:
    """Choose among lines; None when nothing is open today.

    ``recent`` lists the families of the last answers, newest last. ``slips`` names, by family, the
    mistake made twice or more lately. ``asked`` says how often each line came already: within a family
    the lines take turns. Order: a skill that is due (its day reached); a new one while fewer than
    six are begun; of those begun the one that came longest ago; another new one. Once steady, no family
    comes twice in a row while another is open.
    """
    times = asked if asked is not None else Counter[Line]()
    last = recent[-1] if recent else None
    open_lines = [line for line in lines if _is_open(skills.get(line.family), today)]
    if not open_lines:
        return None
    others = [line for line in open_lines if line.family != last]
    same = [line for line in open_lines if line.family == last]
    if same and (not others or _stay(skills.get(last or ""), recent, last)):
        others = same
    begun = {line.family for line in lines if line.family in skills and skills[line.family].state == "begun"}
    room = len(begun) < _BEGUN_AT_ONCE
    seen = {family: turn for turn, family in enumerate(recent)}
    # of equal rank the earlier family goes first, and within it the line that came least often
    places = {line.family: place for place, line in reversed(list(enumerate(others)))}

    def rank(line: Line) -> tuple[int, int, int, int]:
        standing = _rank(skills.get(line.family), today, room, seen.get(line.family, -1))
        return (*standing, places[line.family], times.get(line, 0))

    line = min(others, key=rank)
    skill = skills.get(line.family)
    return Offer(line, _reason(line, skill, today, slips), guidance(skill))


def _is_open(skill: Skill | None, today: date) -> bool:
    return skill is None or skill.state == "begun" or skill.due_on is None or skill.due_on <= today


def _stay(skill: Skill | None, recent: Sequence[str], family: str | None) -> bool:
    """While a skill is new up to three of its exercises follow each other."""
    run = 0
    for name in reversed(recent):
        if name != family:
            break
        run += 1
    return (
        skill is not None and skill.state == "begun" and skill.answers < _NEW_IN_A_ROW and run < _NEW_IN_A_ROW
    )


def _rank(skill: Skill | None, today: date, room: bool, seen: int) -> tuple[int, int]:
    if skill is None:
        return (1 if room else 3), 0
    if skill.state != "begun":
        return 0, -(today - (skill.due_on or today)).days
    return 2, seen


def guidance(skill: Skill | None) -> Guidance:
    """Say how much is shown with the next exercise of a family.

    The first meeting has a worked example beside it, the second has its last steps written out, then
    nothing: fading from the end (worked examples: Barbieri and others 2023; fading forward: Moreno and
    others 2009). The house gives this to everybody, so these answers count.
    """
    answers = skill.answers if skill is not None else 0
    return _FADING[answers] if answers < len(_FADING) else "plain"


def _reason(line: Line, skill: Skill | None, today: date, slips: Mapping[str, str]) -> str:
    if line.family in slips:
        return reasons.came_twice(slips[line.family])
    if skill is None:
        return reasons.NEW
    if skill.state == "begun":
        return reasons.UNSTEADY
    if skill.due_on is None or skill.due_on == today:
        return reasons.DUE
    return reasons.was_due(skill.due_on)
