"""Walk through the sittings of the three parts: grades, retests, void papers.

The rules of the walk are the house's own reading (history format, section 6). Percentages are exact.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from fractions import Fraction

from trainer.qualification.counting import Counting
from trainer.qualification.days import plus_days, plus_months
from trainer.qualification.entries import PARTS, Examination, Level, Marks, Training
from trainer.qualification.rows import METHOD, Case, family
from trainer.qualification.scheme import Scheme

NO_INSTRUCTION = Marks(Fraction(0), Fraction(15))


@dataclass(frozen=True, slots=True)
class Grade:
    """The last counted sitting of a part and its percentage."""

    sitting: Examination
    percent: Fraction
    passed: bool

    @property
    def day(self) -> date:
        """The day of the sitting."""
        return self.sitting.first


@dataclass(frozen=True, slots=True)
class Retest:
    """A retest: counted from ``day_0``, allowed from ``earliest`` to ``latest`` (none: no end)."""

    sitting: Examination
    day_0: date
    earliest: date
    latest: date | None
    waived_by: str | None
    too_many: bool

    @property
    def too_early(self) -> bool:
        """Say whether it came before the earliest day with nothing that waives the wait."""
        return self.sitting.first < self.earliest and self.waived_by is None

    @property
    def too_late(self) -> bool:
        """Say whether it came after the last day of its series."""
        return self.latest is not None and self.sitting.first > self.latest

    @property
    def counts(self) -> bool:
        """Say whether the retest counts."""
        return not (self.too_early or self.too_late or self.too_many)


@dataclass(slots=True)
class Walk:
    """The outcome of walking through the sittings of a level and purpose."""

    grades: dict[str, Grade] = field(default_factory=dict)
    retests: list[Retest] = field(default_factory=list)
    void: dict[str, list[Examination]] = field(default_factory=dict)
    first: date | None = None


@dataclass(slots=True)
class _Series:
    """Sittings of a part from one that is no retest on: its first day and the retests counted in it."""

    first: date
    counted: int = 0


def walk_initial(case: Case) -> Walk:
    """Walk through the sittings of the first certification."""
    return _walk(case, _sittings(case, "initial"), _Rules.initial)


def walk_recertification(case: Case) -> Walk:
    """Walk through the practical sittings of a recertification, by themselves."""
    practical = [sitting for sitting in _sittings(case, "recertification") if sitting.part == "practical"]
    return _walk(case, practical, _Rules.recertification)


def _sittings(case: Case, purpose: str) -> list[Examination]:
    return case.counting.by_date(
        entry
        for entry in case.counting.of(Examination)
        if entry.method == METHOD
        and entry.level == case.level
        and entry.purpose == purpose
        and (entry.scheme is None or family(entry.scheme) == case.scheme.family)
    )


@dataclass(frozen=True, slots=True)
class _Rules:
    """When a retest counts."""

    days: int | None
    months: int
    most: int | None
    latest_months: int | None
    waiver: bool

    @classmethod
    def initial(cls, scheme: Scheme) -> _Rules:
        """Read the rules of the first certification from a scheme."""
        years = scheme.count("retest.years")
        return cls(
            scheme.count("retest.days"),
            scheme.count("retest.months") or 0,
            scheme.count("retest.most"),
            12 * years if years is not None else None,
            scheme.flag("retest.waiver"),
        )

    @classmethod
    def recertification(cls, scheme: Scheme) -> _Rules:
        """Read the rules of a recertification from a scheme; no training waives the wait."""
        days, most = scheme.count("recertification.days"), scheme.count("recertification.most")
        return cls(days, 0, most, scheme.count("recertification.months"), False)

    def earliest(self, day_0: date) -> date:
        """Return the first day of an unaided retest."""
        return plus_days(day_0, self.days) if self.days is not None else plus_months(day_0, self.months)

    def latest(self, first: date) -> date | None:
        """Return the last day of a retest in a series that began on ``first``."""
        if self.latest_months is None:
            return None
        return plus_months(first, self.latest_months)


def _walk(case: Case, sittings: list[Examination], rules_of: Callable[[Scheme], _Rules]) -> Walk:
    """Walk through sittings, each by the rules that were in force on its day."""
    walk, series = Walk(), dict[str, _Series]()
    for sitting in sittings:
        scheme = case.rules_on(sitting.first)
        walk.first = walk.first or sitting.first
        if shortfall(sitting, scheme) is not None:
            walk.void.setdefault(sitting.part, []).append(sitting)
            continue
        day_0 = _day_0(walk, sitting.part, scheme)
        if day_0 is None:
            series[sitting.part] = _Series(sitting.first)
        else:
            rules = rules_of(scheme)
            retest = _retest(case.counting, walk, sitting, day_0, series[sitting.part], rules)
            walk.retests.append(retest)
            if not retest.counts:
                continue
            series[sitting.part].counted += 1
        walk.grades[sitting.part] = _grade(sitting, scheme)
    return walk


def _day_0(walk: Walk, part: str, scheme: Scheme) -> date | None:
    """Return day 0 if another sitting of the part is a retest: the last failed, or the composite is low."""
    grade = walk.grades.get(part)
    if grade is None:
        return None
    if not grade.passed:
        return grade.day
    mark = scheme.number("composite.pass")
    average = composite(walk.grades, scheme)
    if mark is not None and average is not None and average < mark:
        return max(other.day for other in walk.grades.values())
    return None


def _retest(
    counting: Counting, walk: Walk, sitting: Examination, day_0: date, series: _Series, rules: _Rules
) -> Retest:
    earliest = rules.earliest(day_0)
    waiver = None
    if rules.waiver and sitting.first < earliest:
        waiver = _waiver(counting, walk.grades[sitting.part].sitting, day_0, sitting.first)
    too_many = rules.most is not None and series.counted >= rules.most
    return Retest(sitting, day_0, earliest, rules.latest(series.first), waiver, too_many)


def _waiver(counting: Counting, failed: Examination, day_0: date, until: date) -> str | None:
    """Return the id of the Level III's remedial training for the failed sitting, if there is one in time."""
    for entry in counting.of(Training):
        signed = entry.countersigned_by
        set_by_level_iii = signed is not None and signed.role == "level_iii" and entry.method == METHOD
        last = entry.last or entry.first
        if entry.remedial_for == failed.id and set_by_level_iii and day_0 <= last <= until:
            return entry.id
    return None


def _grade(sitting: Examination, scheme: Scheme) -> Grade:
    percent = percentage(sitting, scheme)
    mark = scheme.number(f"{sitting.part}.pass") or Fraction(0)
    return Grade(sitting, percent, percent >= mark)


def percentage(sitting: Examination, scheme: Scheme) -> Fraction:
    """Return the exact percentage of a sitting."""
    if sitting.part != "practical":
        return 100 * sitting.right / sitting.of
    if scheme.word("practical.judged") == "each":
        judged = list(sitting.specimens)
        if sitting.level is Level.II:
            judged.append(sitting.instruction or NO_INSTRUCTION)
        return min(100 * marks.marks / marks.of for marks in judged)
    reached = sum((marks.marks for marks in sitting.specimens), Fraction(0))
    return 100 * reached / sum((marks.of for marks in sitting.specimens), Fraction(0))


def composite(grades: dict[str, Grade], scheme: Scheme) -> Fraction | None:
    """Return the weighted mean of the three grades; none while one is missing."""
    if len(grades) < len(PARTS):
        return None
    weighted = (weight * grades[part].percent for part, weight in zip(PARTS, scheme.weights, strict=True))
    return sum(weighted, Fraction(0)) / sum(scheme.weights)


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Why a paper is void: what there is too little of."""

    have: int
    need: int
    unit: str
    key: str


def shortfall(sitting: Examination, scheme: Scheme) -> Shortfall | None:
    """Return what a void sitting is short of: questions, specimens (first) or checkpoints."""
    if sitting.part != "practical":
        return _short(sitting.of, f"{sitting.part}.questions", "questions", scheme)
    specimens = _short(len(sitting.specimens), f"practical.specimens.{sitting.level}", "specimens", scheme)
    checkpoints = sum(marks.checkpoints for marks in sitting.specimens)
    return specimens or _short(checkpoints, "practical.checkpoints", "checkpoints", scheme)


def _short(have: int, key: str, unit: str, scheme: Scheme) -> Shortfall | None:
    need = scheme.count(key)
    return Shortfall(have, need, unit, key) if need is not None and have < need else None
