"""A several-part job as it is written: the values of the piece, and the drills that follow from each other.

One YAML file is one job. What each key means stands in question_bank/README.md with an example.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from trainer.bank.drill import Formula, Frozen, Line, Quantity, Situation, Slug, Symbol, Text

MOST_EARLIER = 4  # a step is judged with each earlier answer as it was and as it should be: 2**4 ways at most


class JobPart(Frozen):
    """One step: the drill and its find, and where the numbers come from.

    ``given`` leads from the drill's symbols to values of the job, ``earlier`` to the answers of steps
    before; ``answer`` is the name under which later steps take the result of this one.
    """

    drill: Slug
    find: Symbol
    answer: Symbol
    text: Text
    ask: Line | None = None
    given: dict[Symbol, Symbol] = Field(default_factory=dict)
    earlier: dict[Symbol, Symbol] = Field(default_factory=dict, max_length=MOST_EARLIER)
    marks: Annotated[int, Field(ge=1, le=10)] = 1


class Job(Frozen):
    """A piece of work from the shop in several steps. ``id`` is its file name."""

    id: Slug
    title: Line
    level: Literal["I", "II"]
    given: dict[Symbol, Quantity] = Field(min_length=1, max_length=24)
    where: tuple[Formula, ...] = Field(default=(), max_length=20)
    situations: tuple[Situation, ...] = Field(min_length=1, max_length=12)
    parts: tuple[JobPart, ...] = Field(min_length=3, max_length=8)
    cautions: tuple[Slug, ...] = ()

    @property
    def marks(self) -> int:
        """The marks of all steps together."""
        return sum(part.marks for part in self.parts)
