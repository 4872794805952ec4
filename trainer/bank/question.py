"""A knowledge question as it is written: a situation, four options with a reason each, the fact behind it.

One YAML file holds the questions of one topic. What each key means stands in question_bank/README.md with an
example. Where the right option stands in the file has no meaning: asking shuffles.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints, model_validator

from trainer.bank.drill import FigureSpec, Frozen, Prose, Short, Slug, Status, Symbol, Text

OPTIONS = 4
Pool = Literal["practice", "examination"]
Part = Literal["general", "specific"]
OptionText = Annotated[str, StringConstraints(min_length=1, max_length=120, strip_whitespace=True), Prose()]


class Option(Frozen):
    """One of the four choices, and why it is right or which mistake leads to it."""

    text: OptionText
    right: bool = False
    because: Text


class Fact(Frozen):
    """The one fact a question rests on, with the place where it was read and how far."""

    id: Short
    document: Short
    edition: Short
    clause: Short
    status: Status

    @property
    def confirmed(self) -> bool:
        """Whether the fact was read somewhere or follows from what was; else it is never scored."""
        return self.status not in {"memory", "common practice"}


class Picture(FigureSpec):
    """The drawing of a question: as a drill's figure, all its numbers fixed ("12 in")."""

    roles: dict[Slug, Short] = Field(default_factory=dict)


class Item(Frozen):
    """What every item of a question file has: whom it is for, where it may be asked, with what never together."""

    id: Slug
    level: Literal["I", "II"]
    part: Part
    pool: Pool
    safety: bool = False
    enemies: tuple[Slug, ...] = ()


class Question(Item):
    """One question with four options, one of them the best."""

    stem: Text
    picture: Picture | None = None
    options: tuple[Option, ...] = Field(min_length=OPTIONS, max_length=OPTIONS)
    fact: Fact
    unconfirmed: bool = False

    @model_validator(mode="after")
    def _one_right(self) -> Question:
        right = sum(option.right for option in self.options)
        if right != 1:
            raise ValueError(f"one option must be right, and {right} are; write 'right: true' at one")
        return self

    @property
    def answer(self) -> Option:
        """The right option."""
        return next(option for option in self.options if option.right)


class NumberQuestion(Item):
    """A question whose four options are the answer of a drill and three of its slips, drawn anew each time."""

    drill: Slug
    find: Symbol


class QuestionFile(Frozen):
    """questions/<topic>.yaml: the questions of one topic, and those whose numbers are drawn."""

    topic: Slug
    questions: tuple[Question, ...] = ()
    numbers: tuple[NumberQuestion, ...] = ()
