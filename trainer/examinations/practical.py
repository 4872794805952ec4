"""The score of a practical examination, in exact fractions of its weighted areas; nothing is rounded up.

Each area gives its weight times the share of its marks. A critical point that is missed, or more false calls
than allowed, fails the practical whatever the rest: its marks then count as none (the rule is ours, after the
mandatory discontinuities of ISO 9712, from memory). With two examiners the mean of the two counts.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from trainer.bank.practical import Area, Practical
from trainer.examinations.specimen import Known
from trainer.languages import N_

DONE, PARTLY, MISSED = N_("done"), N_("partly"), N_("missed")
SHARES = {DONE: Fraction(1), PARTLY: Fraction(1, 2), MISSED: Fraction(0)}
"""What of a point's marks each mark gives. A critical point is done, or it is not."""
FALSE_CALLS = "false-calls"
"""The point that holds a count instead of a mark."""
MOST_FALSE_CALLS = 20
KNOWN = "known-"


@dataclass(frozen=True, slots=True)
class Point:
    """One thing to be marked: a checkpoint, or a known discontinuity of the specimen."""

    id: str
    area: Area
    marks: int
    critical: bool
    text: str

    @property
    def known(self) -> bool:
        """Whether it is a discontinuity of the specimen."""
        return self.id.startswith(KNOWN)

    def takes(self, mark: str) -> bool:
        """Whether this may be said of it."""
        return mark in SHARES and not (self.critical and mark == PARTLY)


@dataclass(frozen=True, slots=True)
class Sheet:
    """Everything that is marked on one checklist with one specimen, in order."""

    points: tuple[Point, ...]
    weights: Mapping[Area, int]
    false_call: int
    most_false_calls: int

    @classmethod
    def of(cls, checklist: Practical, known: Sequence[Known]) -> Sheet:
        """The sheet of a checklist; the known discontinuities stand first under detection."""
        points: list[Point] = []
        for area in checklist.areas:
            if area == "detection":
                marks = checklist.findings.found
                points += [
                    Point(f"{KNOWN}{number}", area, marks, one.must, one.kind)
                    for number, one in enumerate(known, 1)
                ]
            points += [
                Point(one.id, area, one.marks, one.critical, one.text)
                for one in checklist.checkpoints.get(area, ())
            ]
        findings = checklist.findings
        return cls(tuple(points), checklist.weights, findings.false_call, findings.most_false_calls)

    def point(self, point_id: str) -> Point | None:
        """The point of this id, or None."""
        return next((one for one in self.points if one.id == point_id), None)

    def takes(self, point_id: str, mark: str) -> bool:
        """Whether this mark can be set at this point."""
        if point_id == FALSE_CALLS:
            return mark.isascii() and mark.isdigit() and int(mark[:3]) <= MOST_FALSE_CALLS and len(mark) < 3
        found = self.point(point_id)
        return found is not None and found.takes(mark)

    def unmarked(self, marks: Mapping[str, str]) -> list[str]:
        """The ids that still want a mark, in order."""
        return [one for one in (*(point.id for point in self.points), FALSE_CALLS) if one not in marks]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a sheet gives: each area's share of its weight, and what fails the practical by itself."""

    reached: Mapping[Area, Fraction]
    weights: Mapping[Area, int]
    missed: tuple[str, ...]
    too_many_false_calls: bool

    @property
    def failed(self) -> bool:
        """Whether a critical point or false calls fail it, whatever the marks."""
        return bool(self.missed) or self.too_many_false_calls

    @property
    def specimen(self) -> tuple[Fraction, int]:
        """Marks of the specimen and how many could be reached: all areas but the written instruction."""
        areas = [area for area in self.weights if area != "instruction"]
        return sum((self.reached[a] for a in areas), Fraction(0)), sum(self.weights[a] for a in areas)

    @property
    def instruction(self) -> tuple[Fraction, int] | None:
        """Marks of the written instruction and how many could be reached; none at Level I."""
        if "instruction" not in self.weights:
            return None
        return self.reached["instruction"], self.weights["instruction"]

    def passed(self, mark: int) -> bool:
        """Whether specimen and instruction each reach ``mark`` percent and nothing fails it by itself."""
        parts = [self.specimen, *([self.instruction] if self.instruction else [])]
        return not self.failed and all(100 * got >= mark * of for got, of in parts)


def outcome(sheet: Sheet, marks: Mapping[str, str]) -> Outcome:
    """Score a wholly marked sheet. Raises ValueError for one that is not."""
    if sheet.unmarked(marks):
        raise ValueError("a practical is scored when every point is marked")
    false_calls = int(marks[FALSE_CALLS])
    reached: dict[Area, Fraction] = {}
    for area, weight in sheet.weights.items():
        points = [point for point in sheet.points if point.area == area]
        got = sum((point.marks * SHARES[marks[point.id]] for point in points), Fraction(0))
        if area == "detection":
            got = max(Fraction(0), got - sheet.false_call * false_calls)
        reached[area] = weight * got / sum(point.marks for point in points)
    missed = tuple(p.id for p in sheet.points if p.critical and marks[p.id] == MISSED)
    return Outcome(reached, sheet.weights, missed, false_calls > sheet.most_false_calls)


def joined(one: Outcome, two: Outcome) -> Outcome:
    """The mean of two examiners' outcomes. Raises ValueError while they differ on what fails it."""
    if (one.missed, one.too_many_false_calls) != (two.missed, two.too_many_false_calls):
        raise ValueError("two examiners agree on what fails a practical before it is scored")
    reached = {area: (one.reached[area] + two.reached[area]) / 2 for area in one.weights}
    return Outcome(reached, one.weights, one.missed, one.too_many_false_calls)


@dataclass(frozen=True, slots=True)
class Difference:
    """A point that two examiners marked differently; ``grave`` ones must be settled before the close."""

    id: str
    one: str
    two: str
    grave: bool


def differences(sheet: Sheet, one: Mapping[str, str], two: Mapping[str, str]) -> list[Difference]:
    """Where two wholly marked sheets differ, in order."""
    found = [
        Difference(point.id, one[point.id], two[point.id], point.critical)
        for point in sheet.points
        if one[point.id] != two[point.id]
    ]
    calls = int(one[FALSE_CALLS]), int(two[FALSE_CALLS])
    if calls[0] != calls[1]:
        grave = (calls[0] > sheet.most_false_calls) != (calls[1] > sheet.most_false_calls)
        found.append(Difference(FALSE_CALLS, str(calls[0]), str(calls[1]), grave))
    return found


def in_decimals(marks: Fraction, of: int) -> tuple[str, str]:
    """Marks and what they are out of as finite decimals of the same ratio: 90/7 of 30 is 90 of 210."""
    rest = marks.denominator
    for prime in (2, 5):
        while rest % prime == 0:
            rest //= prime
    scaled = marks * rest
    decimal = Decimal(scaled.numerator) / Decimal(scaled.denominator)
    return format(decimal, "f"), str(of * rest)
