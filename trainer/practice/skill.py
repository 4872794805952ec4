"""The state of one person's skill in one family of drills: begun, steady, proven.

The rule in two sentences: a skill is steady when the moving average of right first answers has reached
0.80 after at least eight; it is proven by a right answer at least one day later and another at least
three days after that, and a miss moves it one state back. Only first, unaided answers count.
Reasons and evidence: docs of the rule in DEVELOPERS.md ("Practice").
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache
from typing import Any, Literal

from trainer.languages import _
from trainer.languages.numerals import as_read
from trainer.practice.reasons import day_told

State = Literal["begun", "steady", "proven"]

KEEP = 0.8  # share of the old average that stays
STEADY_AT = 0.80
LEAST_ANSWERS = 8
PROOF_GAPS = (1, 3)  # days after which the first and the second later-day answer count
RETENTION_DAYS = 365


@dataclass(frozen=True, slots=True)
class Skill:
    """Everything the rule needs to go on: state, moving average, count, proofs since steady, gap, due day."""

    state: State = "begun"
    theta: float = 0.0
    answers: int = 0
    since: date | None = None  # the day from which the next proof counts its gap
    proofs: tuple[date, ...] = ()  # right answers on later days since the skill became steady
    rung: int = 0  # place on the ladder of gaps
    due_on: date | None = None

    def as_data(self) -> dict[str, Any]:
        """Return the parts that have no column of their own."""
        since = self.since.isoformat() if self.since else None
        return {"since": since, "proofs": [day.isoformat() for day in self.proofs], "rung": self.rung}


def gaps(retention_days: int = RETENTION_DAYS) -> list[int]:
    """Return the ladder of gaps up to its cap: 1, 3, then doubling, at most a tenth of the retention wanted."""
    cap = max(3, retention_days // 10)
    ladder = [1, 3]
    while ladder[-1] < cap:
        ladder.append(min(cap, ladder[-1] * 2))
    return ladder


def after(skill: Skill, right: bool, on: date) -> Skill:
    """Return the skill after one first, unaided answer on a day."""
    moved = replace(skill, theta=KEEP * skill.theta + (1 - KEEP) * right, answers=skill.answers + 1)
    if not right:
        return _missed(moved, on)
    if moved.state == "begun":
        return _maybe_steady(moved, on)
    if moved.state == "steady":
        return _maybe_proven(moved, on)
    return _kept(moved, on)


def replay(answers: Iterable[tuple[date, bool]]) -> Skill:
    """Return the skill after a whole log of answers; the stored state must equal it."""
    skill = Skill()
    for on, right in answers:
        skill = after(skill, right, on)
    return skill


def before(theta: float, right: bool) -> float:
    """Return the moving average as it stood before an answer that left it at ``theta``.

    A rounding remainder grows by a quarter at each step: after a hundred steps back it is still below 0.00001.
    """
    return min(1.0, max(0.0, (theta - (1 - KEEP) * right) / KEEP))


@lru_cache(maxsize=4096)  # asked for every drill of a bank, most of which somebody has not begun
def least_left(skill: Skill) -> int:
    """Return how many right answers prove the skill if none is missed."""
    if skill.state != "begun":
        return len(PROOF_GAPS) - len(skill.proofs) if skill.state == "steady" else 0
    count, tried = 0, skill
    while tried.state == "begun":
        count, tried = count + 1, after(tried, True, skill.due_on or date.min)
    return count + len(PROOF_GAPS)


def _missed(skill: Skill, on: date) -> Skill:
    back: State = "steady" if skill.state == "proven" else "begun"
    due = _later(on, 1) if back == "steady" else on
    return replace(skill, state=back, since=on if back == "steady" else None, proofs=(), rung=0, due_on=due)


def _maybe_steady(skill: Skill, on: date) -> Skill:
    # the average is a sum of powers of 0.8; a rounding remainder must not hold the state back
    if skill.answers < LEAST_ANSWERS or skill.theta < STEADY_AT - 1e-12:
        return replace(skill, due_on=on)
    return replace(skill, state="steady", since=on, proofs=(), rung=0, due_on=_later(on, PROOF_GAPS[0]))


def _maybe_proven(skill: Skill, on: date) -> Skill:
    since = skill.since or on
    if (on - since).days < PROOF_GAPS[len(skill.proofs)]:
        return skill  # right again too early: it neither counts nor harms
    proofs = (*skill.proofs, on)
    ladder = gaps()
    rung = min(len(proofs), len(ladder) - 1)
    state: State = "proven" if len(proofs) == len(PROOF_GAPS) else "steady"
    return replace(skill, state=state, since=on, proofs=proofs, rung=rung, due_on=_later(on, ladder[rung]))


def _kept(skill: Skill, on: date) -> Skill:
    """A proven skill answered right on or after its day goes one gap further."""
    if skill.due_on is not None and on < skill.due_on:
        return skill
    ladder = gaps()
    rung = min(skill.rung + 1, len(ladder) - 1)
    return replace(skill, since=on, rung=rung, due_on=_later(on, ladder[rung]))


def _later(on: date, days: int) -> date:
    return on + timedelta(days=days)


def sentences(skill: Skill, today: date) -> tuple[str, str]:
    """Say in two sentences how far the skill has come and what moves it on."""
    if skill.state == "begun":
        return _begun_sentences(skill)
    if skill.state == "steady":
        left = len(PROOF_GAPS) - len(skill.proofs)
        when = _when(skill.due_on, today)
        return (
            _("Steady: you get it right almost every time."),
            _("One right answer proves it; the next counts %(when)s.", when=when)
            if left == 1
            else _("Two right answers on later days prove it; the next counts %(when)s.", when=when),
        )
    return (
        _("Proven on later days."),
        _("It comes back %(when)s; a miss makes it steady again.", when=_when(skill.due_on, today)),
    )


def _begun_sentences(skill: Skill) -> tuple[str, str]:
    if skill.answers == 0:
        return _("Not begun."), _("The first exercise comes with a worked example.")
    return (
        _(
            "Begun: your average of right answers stands at %(average)s.",
            average=as_read(f"{skill.theta:.2f}"),
        ),
        _(
            "At %(line)s and after %(least)s answers it is steady; you have given %(answers)s.",
            line=as_read(f"{STEADY_AT:.2f}"),
            least=LEAST_ANSWERS,
            answers=skill.answers,
        ),
    )


def _when(day: date | None, today: date) -> str:
    if day is None or day <= today:
        return _("from today")
    days = (day - today).days
    return _("from tomorrow") if days == 1 else _("from %(day)s", day=day_told(day))
