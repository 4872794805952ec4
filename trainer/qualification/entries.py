"""The facts of a ledger, one frozen record for each kind of entry.

An entry is what somebody wrote down, not yet what counts: who may countersign what, and which entries
count on a day, is for :mod:`trainer.qualification.counting`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from enum import IntEnum
from fractions import Fraction
from typing import ClassVar

from trainer.qualification.reading.notation import Plain

ROLES = (
    "trainee",
    "clerk",
    "instructor",
    "supervisor",
    "referee",
    "examiner",
    "vision_tester",
    "level_iii",
    "employer",
    "body",
)
PARTS = ("general", "specific", "practical")


class Level(IntEnum):
    """Level I and Level II; ``1`` and ``I`` are the same."""

    I = 1  # noqa: E741  # the trade writes the level so
    II = 2

    def __str__(self) -> str:
        return self.name


@dataclass(frozen=True, slots=True)
class Signature:
    """A person and the role in which this person signs."""

    person: str
    role: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Entry:
    """What every entry has. ``first`` and ``last`` are the days of the fact, both counted.

    ``last`` is none only for an absence that lasts. ``ranged`` tells whether it was written with
    ``from`` and ``to``. ``kept`` holds what is never judged (note, evidence, hashes, site and the like).
    """

    kind: ClassVar[str] = ""
    entitled: ClassVar[frozenset[str]] = frozenset()

    id: str
    first: date
    last: date | None
    ranged: bool
    entered_by: Signature
    countersigned_by: Signature | None
    kept: Mapping[str, Plain]


_TEACHING = frozenset({"instructor", "level_iii", "employer"})
_WORKING = frozenset({"supervisor", "referee", "level_iii", "employer"})
_EMPLOYING = frozenset({"employer", "level_iii"})
_DECIDING = frozenset({"level_iii", "employer", "body"})


@dataclass(frozen=True, slots=True, kw_only=True)
class Training(Entry):
    """Organised training in hours, under the outline of a level or of none named."""

    kind: ClassVar[str] = "training"
    entitled: ClassVar[frozenset[str]] = _TEACHING

    method: str
    hours: Fraction
    mode: str
    level: Level | None
    content: str
    hours_tracked: bool
    content_tracked: bool
    examination: str
    remedial_for: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice(Entry):
    """Own study and drills: kept, shown, never counted."""

    kind: ClassVar[str] = "practice"

    hours: Fraction
    method: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Experience(Entry):
    """Work in one method or several: single day (``shifts`` 1) or a run of equal shifts.

    ``hours_each`` are the hours of one shift, ``start`` minutes after midnight, ``split`` the hours of
    each method over the whole entry.
    """

    kind: ClassVar[str] = "experience"
    entitled: ClassVar[frozenset[str]] = _WORKING

    methods: tuple[str, ...]
    shifts: int
    hours_each: Fraction
    start: int | None
    split: Mapping[str, Fraction] | None
    nature: str

    @property
    def hours(self) -> Fraction:
        """All hours of the entry."""
        return self.shifts * self.hours_each


@dataclass(frozen=True, slots=True, kw_only=True)
class Work(Entry):
    """Proof of work in the method on a day, without hours."""

    kind: ClassVar[str] = "work"
    entitled: ClassVar[frozenset[str]] = _WORKING

    method: str


@dataclass(frozen=True, slots=True)
class Marks:
    """Marks of one specimen or of the instruction: ``marks`` out of ``of``."""

    marks: Fraction
    of: Fraction
    checkpoints: int = 0
    specimen: str = ""
    percent: Fraction | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Examination(Entry):
    """One sitting of one part: ``right`` out of ``of`` questions, or marks by specimen."""

    kind: ClassVar[str] = "examination"
    entitled: ClassVar[frozenset[str]] = frozenset({"examiner", "level_iii"})

    part: str
    method: str
    level: Level
    purpose: str
    scheme: str | None
    right: Fraction = Fraction(0)
    of: int = 0
    percent: Fraction | None = None
    specimens: tuple[Marks, ...] = ()
    instruction: Marks | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Vision(Entry):
    """A near or colour vision check."""

    kind: ClassVar[str] = "vision"
    entitled: ClassVar[frozenset[str]] = frozenset({"vision_tester", "level_iii", "employer"})

    test: str
    result: str
    chart: str | None
    distance_cm: Fraction | None
    restriction: str | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate(Entry):
    """A certificate granted on ``first``; ``until`` only if it ends earlier than the scheme says."""

    kind: ClassVar[str] = "certificate"
    entitled: ClassVar[frozenset[str]] = _DECIDING

    method: str
    level: Level
    scheme: str
    until: date | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Employment(Entry):
    """Employment that began or ended, or a rehire."""

    kind: ClassVar[str] = "employment"
    entitled: ClassVar[frozenset[str]] = _EMPLOYING

    event: str
    employer: str
    records_kept: bool | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Absence(Entry):
    """Time away from the method; it lasts while there is no last day."""

    kind: ClassVar[str] = "absence"
    entitled: ClassVar[frozenset[str]] = _EMPLOYING

    reason: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Education(Entry):
    """Completed years of study in a field."""

    kind: ClassVar[str] = "education"
    entitled: ClassVar[frozenset[str]] = _EMPLOYING

    field_of_study: str
    completed_years: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Application(Entry):
    """An application for a level in all ``methods`` together."""

    kind: ClassVar[str] = "application"
    entitled: ClassVar[frozenset[str]] = _DECIDING

    scheme: str
    level: Level
    methods: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Decision(Entry):
    """A decision that is kept and shown and changes no row."""

    kind: ClassVar[str] = "decision"
    entitled: ClassVar[frozenset[str]] = _DECIDING

    what: str
    about: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reversal(Entry):
    """Cancels an earlier entry; entitled to countersign it is who may countersign that entry."""

    kind: ClassVar[str] = "reversal"

    reverses: str
    reason: str
