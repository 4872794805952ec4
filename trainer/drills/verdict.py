"""The judgement of one answer, as data: what it is, which slip, what is said about it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Literal

Kind = Literal["right", "wrong", "unreadable"]
Words = tuple[str, tuple[str, ...]]  # heading, sentences


@dataclass(frozen=True, slots=True)
class Verdict:
    """``value`` is the answer in the find's working unit. ``slips`` holds slip ids: one, two made together
    (``together``), or several that give the same value here. ``generic`` names an unlisted blunder. The
    words are made when somebody reads them: an examination marks hundreds of answers that nobody reads."""

    kind: Kind
    words: Callable[[], Words] = field(repr=False, compare=False)
    value: float | None = None
    slips: tuple[str, ...] = ()
    together: bool = False
    generic: str | None = None
    remark: bool = False

    @property
    def heading(self) -> str:
        """The judgement as a heading."""
        return self.words()[0]

    @property
    def says(self) -> tuple[str, ...]:
        """What is said about it, sentence by sentence."""
        return self.words()[1]

    @property
    def right(self) -> bool:
        return self.kind == "right"

    @property
    def slip(self) -> str | None:
        """The slip as one word for tallies: an id, two ids joined by +, or the generic blunder."""
        if self.slips:
            return "+".join(self.slips) if self.together else self.slips[0]
        return self.generic
