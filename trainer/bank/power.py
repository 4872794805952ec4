"""What is asked of a pack and its leads, as data: drills in a chain, conditions, and the sizes of leads."""

from __future__ import annotations

from pydantic import Field

from trainer.bank.drill import Formula, Frozen, Line, Proviso, Short, Slug, Source, Symbol, Text, UnitName
from trainer.bank.technique import Derived, PartQuantity


class PowerStep(Frozen):
    """One question to the pack or the leads: a find of a drill, worked from values and earlier answers.

    It is left out where ``when`` does not hold: a duty law says nothing above the rated current. ``shown``
    names the derived value that stands on the sheet in its place (a duty of at most the whole time); the
    drill's own warnings are then answered by it.
    """

    drill: Slug
    find: Symbol
    answer: Symbol
    title: Line
    when: Formula | None = None
    shown: Symbol | None = None
    shown_in: UnitName | None = None
    given: dict[Symbol, Symbol] = Field(min_length=1)


class LeadSize(Frozen):
    """A size of lead: how it is called, its copper in mm², its resistance at 20 °C in ohm/km."""

    area: float = Field(gt=0)
    resistance: float = Field(gt=0)
    source: Source


class Power(Frozen):
    """power.yaml: what is known of pack and leads, the questions in their order, what must hold, the sizes."""

    quantities: dict[Symbol, PartQuantity] = Field(min_length=1, max_length=16)
    steps: tuple[PowerStep, ...] = Field(default=(), max_length=12)
    derived: dict[Symbol, Derived] = Field(default_factory=dict, max_length=8)
    sound: tuple[Proviso, ...] = Field(default=(), max_length=8)
    able: tuple[Proviso, ...] = Field(min_length=1, max_length=8)
    valid: tuple[Proviso, ...] = Field(default=(), max_length=8)
    limits: tuple[Text, ...] = ()
    leads: dict[Short, LeadSize] = Field(min_length=1, max_length=40)
