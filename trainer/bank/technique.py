"""A technique as it is done on a real part: what is known of the part, and by which documented case which drill.

One YAML file is one technique. What each key means stands in question_bank/README.md with an example.
"""

from __future__ import annotations

from pydantic import Field, model_validator

from trainer.bank.drill import (
    Amount,
    Formula,
    Frozen,
    Line,
    Owner,
    Proviso,
    Short,
    Sign,
    Slug,
    Source,
    Symbol,
    Text,
    UnitName,
)


class PartQuantity(Frozen):
    """Something a person may know of the part, the set-up or the pack; ``assumed`` where nothing is typed."""

    name: Line
    unit: UnitName
    of: Owner | None = None
    shown: Sign | None = None
    hint: Line | None = None
    assumed: Amount | None = Field(default=None, ge=0)


class Derived(Frozen):
    """Something that follows from what is known, and on which conditions rest."""

    name: Line
    unit: UnitName
    formula: Formula
    shown: Sign | None = None


class Option(Frozen):
    """A choice between a few words; the first is taken where none is chosen."""

    name: Line
    words: dict[Slug, Line] = Field(min_length=2, max_length=8)


class Case(Frozen):
    """One documented case: what was chosen, which conditions hold, and the drill that has its relation.

    ``given`` leads from the drill's symbols to the technique's, ``fixed`` to amounts of the document
    ("90 A/in"). Without a drill the document has no relation here, and ``why`` says so.
    """

    id: Slug
    title: Line
    why: Text
    source: Source
    drill: Slug | None = None
    chosen: dict[Symbol, tuple[Slug, ...]] = Field(default_factory=dict)
    when: tuple[Proviso, ...] = Field(default=(), max_length=6)
    given: dict[Symbol, Symbol] = Field(default_factory=dict, max_length=20)
    fixed: dict[Symbol, Short] = Field(default_factory=dict)
    finds: tuple[Symbol, ...] | None = None
    valid: tuple[Proviso, ...] = Field(default=(), max_length=8)

    @model_validator(mode="after")
    def _drill_or_nothing(self) -> Case:
        if (self.drill is None) != (not self.given):
            raise ValueError("a case has a drill and what it is given, or neither")
        return self


class Technique(Frozen):
    """A technique of real work. ``id`` is its file name; ``current`` the symbol of what the ammeter shows."""

    id: Slug
    title: Line
    says: Text
    current: Symbol | None = None
    quantities: dict[Symbol, PartQuantity] = Field(min_length=2, max_length=24)
    options: dict[Symbol, Option] = Field(default_factory=dict, max_length=4)
    derived: dict[Symbol, Derived] = Field(default_factory=dict, max_length=12)
    sound: tuple[Proviso, ...] = Field(default=(), max_length=8)
    valid: tuple[Proviso, ...] = Field(default=(), max_length=8)
    finds: tuple[Symbol, ...] = Field(min_length=1, max_length=12)
    cases: tuple[Case, ...] = Field(min_length=1, max_length=24)
