"""A paper plan as it is written: what a written examination of a part and a level is made of.

How many questions there are and which mark passes are figures of a scheme (question_bank/schemes), so that one
plan serves every scheme. One YAML file is one plan; its keys stand in question_bank/README.md with an example.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from trainer.bank.drill import Frozen, Line, Short, Slug, Source, Symbol
from trainer.bank.question import Part

Weight = Annotated[int, Field(ge=1, le=20)]
Percent = Annotated[int, Field(ge=0, le=100)]
LEAST_SAFETY = 13  # percent: an eighth, rounded up


class PaperDrill(Frozen):
    """A drill among the questions: one exercise with fresh numbers for everybody, of one find."""

    drill: Slug
    find: Symbol


class PaperPlan(Frozen):
    """A part at a level. Topics are weighted against each other; shares are percent of the questions.

    ``own_level``: at least this share is of the plan's own level, the rest of it or the level below.
    """

    id: Slug
    title: Line
    part: Part
    level: Literal["I", "II"]
    topics: dict[Slug, Weight] = Field(min_length=1, max_length=60)
    own_level: Percent
    safety: Annotated[int, Field(ge=LEAST_SAFETY, le=100)]
    drills: tuple[PaperDrill, ...] = Field(default=(), max_length=20)
    minutes_each: Annotated[int, Field(ge=1, le=30)]
    drill_minutes: Annotated[int, Field(ge=1, le=60)]
    book: Literal["closed", "open"]
    references: tuple[Short, ...] = ()
    schemes: tuple[Short, ...] = Field(min_length=1)
    sources: tuple[Source, ...] = Field(min_length=1)
