"""A drill as it is written: quantities, relations, finds, slips, figure, sources. Frozen and self-checking.

One YAML file is one drill. What each key means stands in question_bank/README.md with an example.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Annotated, Literal

from pydantic import AfterValidator, BaseModel, ConfigDict, Field, StringConstraints, model_validator

from trainer.errors import Refused
from trainer.formulas.units import unit


@dataclass(frozen=True, slots=True)
class Prose:
    """Marks a text that is read by people and may be said in another language: that in which ``said`` fits."""

    said: re.Pattern[str] = re.compile(r".+", re.DOTALL)
    among: str = ""
    """Written before the text in the catalogue where the same word is said otherwise elsewhere."""


Text = Annotated[str, StringConstraints(min_length=1, max_length=1200, strip_whitespace=True), Prose()]
Short = Annotated[str, StringConstraints(min_length=1, max_length=160, strip_whitespace=True)]
Line = Annotated[Short, Prose()]
SIGN = Prose(said=re.compile(r"of|(?:[A-Z]+ )?[a-z]{3,}(?:[ /][a-z]+)*"), among="sign|")
"""A sign that is a word: what else stands for a quantity is the same in every language."""
Sign = Annotated[Short, SIGN]
Owner = Annotated[Short, Prose(said=re.compile(r"(?!part$).+"))]
_SYMBOL = r"^[A-Za-z][A-Za-z0-9]{0,11}$"
Symbol = Annotated[str, StringConstraints(pattern=_SYMBOL)]
Formula = Annotated[str, StringConstraints(min_length=1, max_length=400)]
_SLUG = r"^[a-z][a-z0-9-]{1,60}$"
Slug = Annotated[str, StringConstraints(pattern=_SLUG)]
FORMS = {
    _SYMBOL: "at most 12 letters and digits, a letter first",
    _SLUG: "small letters, digits and hyphens, a letter first, such as coil-fill-ratio",
}
"""What a name of each pattern looks like, for a sentence about one that does not."""
Amount = int | float
MOST_VALUES = 5000
Status = Literal["seen", "seen-2", "memory", "ours", "common practice"]


def _known_unit(name: str) -> str:
    try:
        unit(name)
    except Refused as refused:  # only a ValueError becomes a fault with its place
        raise ValueError(str(refused)) from None
    return name


UnitName = Annotated[str, AfterValidator(_known_unit)]


class Frozen(BaseModel):
    """Strict, frozen, finite, and closed to unknown keys."""

    model_config = ConfigDict(strict=True, frozen=True, extra="forbid", allow_inf_nan=False)


class Source(Frozen):
    """Where a fact was read: document, edition, clause, and how far it was read."""

    document: Short
    edition: Short | None = None
    clause: Short | None = None
    status: Status
    says: Text | None = None


class Values(Frozen):
    """The values an exercise may draw for one quantity: a grid, a list, or one fixed value."""

    start: Amount | None = Field(default=None, alias="from")
    stop: Amount | None = Field(default=None, alias="to")
    step: Amount | None = None
    choices: tuple[Amount, ...] | None = Field(default=None, min_length=2, max_length=60)
    fixed: Amount | None = None

    @model_validator(mode="after")
    def _one_way(self) -> Values:
        grid = self.start is not None and self.stop is not None and self.step is not None
        if self.start is not None and not grid:
            raise ValueError("a grid needs from, to and step")
        if self.start is not None and grid and not (self.start < (self.stop or 0) and (self.step or 0) > 0):
            raise ValueError("from must be below to, and step above zero")
        if grid and self._steps() < 1:
            raise ValueError("step is larger than from and to are apart; make it smaller")
        if (
            grid and self._steps() >= MOST_VALUES
        ):  # counted before any is made: a hostile grid would fill the memory
            raise ValueError(f"the grid has more than {MOST_VALUES} values; make the step larger")
        return self

    @property
    def drawn(self) -> bool:
        """Tell whether a value can be drawn here (else the quantity is worked out)."""
        return self.start is not None or self.choices is not None or self.fixed is not None

    def grid(self) -> tuple[Decimal, ...]:
        """Return every value that can be drawn, exactly as written."""
        if self.fixed is not None:
            return (Decimal(str(self.fixed)),)
        if self.choices is not None:
            return tuple(Decimal(str(c)) for c in self.choices)
        if self.start is None or self.stop is None or self.step is None:
            return ()
        first, step = Decimal(str(self.start)), Decimal(str(self.step))
        return tuple(first + step * i for i in range(int(self._steps()) + 1))

    def _steps(self) -> Decimal:
        """How many steps lie between the ends of the grid."""
        first, last, step = (Decimal(str(v)) for v in (self.start, self.stop, self.step))
        return (last - first) / step


class Quantity(Values):
    """One quantity: what it is called, its working unit, what it belongs to, how it is drawn or shown."""

    name: Line
    unit: UnitName
    of: Owner | None = None
    shown: Sign | None = None
    figures: int = Field(default=4, ge=2, le=8)
    up: bool = False
    count: Line | None = None


class Find(Frozen):
    """One question the drill can ask: the heading, and what is given differently for it."""

    ask: Line
    given: dict[Symbol, Values] = Field(default_factory=dict)
    leave: tuple[Symbol, ...] = ()
    band: tuple[Symbol, Symbol] | None = None
    where: tuple[Formula, ...] = ()
    hint: Line | None = None


class Accept(Frozen):
    """How wide an answer may be: figures carried, share always allowed, and the document's own tolerance.

    ``own_unit``: the answer must be written in the find's working unit, since turning it is the question.
    """

    figures: Literal[3, 4] = 4
    within: float = Field(default=0.005, gt=0, le=0.05)
    absolute: float | None = Field(default=None, gt=0)
    own_unit: bool = False
    document: float | None = Field(default=None, gt=0, le=0.25)
    document_finds: tuple[Symbol, ...] = ()
    document_says: Text | None = None


class Change(Frozen):
    """Another way through the working: values put in otherwise, or relations replaced.

    ``put`` replaces what goes in for a symbol; ``change`` replaces the right side of the relation that
    gives a symbol; ``gives`` states the wrong final value for a find directly.
    """

    put: dict[Symbol, Formula] = Field(default_factory=dict)
    change: dict[Symbol, Formula] = Field(default_factory=dict)
    gives: dict[Symbol, Formula] = Field(default_factory=dict)
    finds: tuple[Symbol, ...] | None = None
    when: Formula | None = None

    @model_validator(mode="after")
    def _something(self) -> Change:
        if not (self.put or self.change or self.gives):
            raise ValueError("write what differs: put, change or gives")
        return self


class Slip(Change):
    """A mistake that trainees make: its id, a short name, and what a good instructor would say."""

    id: Slug
    name: Line
    says: Text


class Alternative(Change):
    """Another right way that the source allows (a printed rounded constant, a second form)."""

    says: Text


class Proviso(Frozen):
    """A condition in the formula language, and the sentence that goes with it."""

    holds: Formula
    says: Text


class FigureSpec(Frozen):
    """Which drawing or field picture, and which quantity or fixed amount ("12 in") plays which role in it."""

    kind: Slug
    roles: dict[Slug, Short]
    words: dict[Slug, Short] = Field(default_factory=dict)


class Situation(Frozen):
    """One way to put the question into the shop: the part and a sentence or two without numbers."""

    part: Line
    text: Text


class Drill(Frozen):
    """A calculation item: data only. ``topic`` is its folder, ``id`` its file name."""

    id: Slug
    topic: Slug
    title: Line
    level: Literal["I", "II"]
    family: Slug | None = None
    unconfirmed: bool = False
    examination_only: bool = False
    sources: tuple[Source, ...] = Field(min_length=1)
    quantities: dict[Symbol, Quantity] = Field(min_length=2, max_length=20)
    relations: tuple[Formula, ...] = Field(min_length=1, max_length=10)
    any_unit: tuple[Symbol, ...] = ()
    where: tuple[Formula, ...] = Field(default=(), max_length=20)
    finds: dict[Symbol, Find] = Field(min_length=1)
    accept: Accept = Accept()
    alternatives: tuple[Alternative, ...] = Field(default=(), max_length=8)
    slips: tuple[Slip, ...] = Field(default=(), max_length=30)
    steps: dict[Symbol, Line] = Field(default_factory=dict)
    situations: tuple[Situation, ...] = Field(min_length=1)
    figure: FigureSpec
    field: FigureSpec | None = None
    cautions: tuple[Slug, ...] = ()
    limits: tuple[Text, ...] = ()
    valid: tuple[Proviso, ...] = Field(default=(), max_length=12)
    disagreements: tuple[Text, ...] = ()

    @property
    def skill(self) -> str:
        """The drill family whose skill state an answer moves."""
        return self.family or self.id
