"""A practical examination as it is written: what the examiner watches for, how much each point counts.

One YAML file is one checklist. Of the specimen it says only what kind is wanted: what is in one, and where,
is the employer's secret and lives in the instance. What each key means stands in question_bank/README.md.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from trainer.bank.drill import Frozen, Line, Slug, Source, Text

Area = Literal["apparatus", "application", "detection", "instruction"]
AREAS: tuple[Area, ...] = ("apparatus", "application", "detection", "instruction")
"""What the marks are divided over. Detection holds the known discontinuities too; instruction is Level II."""
Weight = Annotated[int, Field(ge=1, le=100)]


class Checkpoint(Frozen):
    """One thing that the examiner sees done, or not. ``critical``: without it the practical is failed."""

    id: Slug
    text: Text
    marks: Annotated[int, Field(ge=1, le=10)] = 1
    critical: bool = False


class Findings(Frozen):
    """What a specimen must offer, and how finding is marked.

    ``found`` are the marks for each known discontinuity, ``false_call`` those lost for each report of
    something that is not there. More false calls than ``most_false_calls`` fail the practical.
    """

    specimen: Text
    least: Annotated[int, Field(ge=1, le=12)]
    most: Annotated[int, Field(ge=1, le=12)]
    found: Annotated[int, Field(ge=1, le=10)]
    false_call: Annotated[int, Field(ge=0, le=10)]
    most_false_calls: Annotated[int, Field(ge=0, le=20)]

    @model_validator(mode="after")
    def _ordered(self) -> Findings:
        if self.least > self.most:
            raise ValueError("least must not be above most")
        return self


class Practical(Frozen):
    """A checklist. ``id`` is its file name; ``weights`` are the hundredths of the grade that each area gives.

    ``builds_on`` names the checklist whose checkpoints stand before its own (Level II on Level I).
    """

    id: Slug
    title: Line
    technique: Line
    level: Literal["I", "II"]
    minutes: Annotated[int, Field(ge=5, le=480)]
    builds_on: Slug | None = None
    equipment: tuple[Line, ...] = Field(default=(), max_length=20)
    task: Text
    weights: dict[Area, Weight]
    checkpoints: dict[Area, tuple[Checkpoint, ...]]
    findings: Findings
    cautions: tuple[Slug, ...] = Field(default=(), max_length=12)
    sources: tuple[Source, ...] = Field(min_length=1)

    @model_validator(mode="after")
    def _agree(self) -> Practical:
        if sum(self.weights.values()) != 100:
            raise ValueError(
                f"the weights are hundredths; they add up to {sum(self.weights.values())}, not 100"
            )
        if ("instruction" in self.weights) != (self.level == "II"):
            raise ValueError("a written instruction belongs to Level II, and only there")
        if strange := set(self.checkpoints) - set(self.weights):
            raise ValueError(f"{sorted(strange)[0]} has checkpoints but no weight")
        return self

    @property
    def areas(self) -> tuple[Area, ...]:
        """The areas of this practical in their usual order."""
        return tuple(area for area in AREAS if area in self.weights)

    @property
    def count(self) -> int:
        """How many checkpoints there are, without those of the specimen."""
        return sum(len(points) for points in self.checkpoints.values())

    def joined(self, earlier: Practical) -> Practical:
        """This checklist with the checkpoints of the one it builds on standing first."""
        points = {
            area: (*earlier.checkpoints.get(area, ()), *self.checkpoints.get(area, ())) for area in self.areas
        }
        return self.model_copy(
            update={
                "builds_on": None,
                "equipment": tuple(dict.fromkeys((*earlier.equipment, *self.equipment))),
                "cautions": tuple(dict.fromkeys((*earlier.cautions, *self.cautions))),
                "sources": tuple(dict.fromkeys((*self.sources, *earlier.sources))),
                "checkpoints": {area: found for area, found in points.items() if found},
            }
        )
