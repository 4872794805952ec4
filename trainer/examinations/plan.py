"""What an examination is made of: drills with their counts, questions, the pass mark, what it counts as."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from trainer.errors import Refused
from trainer.examinations.composition import Composition
from trainer.languages import _

MOST_ITEMS = 60
MOST_OF_ONE = 10
PARTS = ("", "general", "specific")


@dataclass(frozen=True, slots=True)
class Line:
    """A drill, the unknown it asks for (None: each in turn), and how many of it stand on a paper."""

    drill: str
    find: str | None
    count: int


@dataclass(frozen=True, slots=True)
class Plan:
    """The same for every candidate; only the numbers differ, and which questions of the same kinds are asked.

    ``mark`` is in percent. ``part`` is the part of a qualification examination that it counts as, or "" for
    a class result. ``shown``: after the close candidates see verdict and working of their items. ``book`` is
    closed or open, with the ``references`` that may lie on the table; both only told to the candidates.
    """

    lines: tuple[Line, ...]
    mark: int
    part: str = ""
    shown: bool = False
    questions: Composition | None = None
    book: str = ""
    references: tuple[str, ...] = ()

    @property
    def size(self) -> int:
        """How many items a paper has."""
        return sum(line.count for line in self.lines) + (self.questions.count if self.questions else 0)

    def items(self, finds: Mapping[str, Sequence[str]]) -> list[tuple[str, str]]:
        """Drill and unknown of every drill item in order; ``finds`` lists the unknowns of each drill.

        Where a line names no unknown its items ask for each in turn, so that papers are alike.
        """
        return [
            (line.drill, line.find or finds[line.drill][turn % len(finds[line.drill])])
            for line in self.lines
            for turn in range(line.count)
        ]

    def as_data(self) -> dict[str, Any]:
        """Return plain data to keep."""
        lines = [{"drill": line.drill, "find": line.find, "count": line.count} for line in self.lines]
        return {
            "lines": lines, "mark": self.mark, "part": self.part, "shown": self.shown,
            "questions": self.questions.as_data() if self.questions else None, "book": self.book,
            "references": list(self.references),
        }  # fmt: skip

    @classmethod
    def of_data(cls, data: Mapping[str, Any]) -> Plan:
        """Read what ``as_data`` gave; further keys are left alone."""
        lines = tuple(Line(one["drill"], one["find"], one["count"]) for one in data["lines"])
        questions = data.get("questions")  # plans of the first edition had drills alone
        return cls(
            lines, data["mark"], data["part"], data["shown"],
            Composition.of_data(questions) if questions else None, data.get("book", ""),
            tuple(data.get("references", ())),
        )  # fmt: skip


def checked(plan: Plan) -> Plan:
    """Return the plan if a paper can be made from it. Raises Refused with a sentence."""
    if not plan.lines and plan.questions is None:
        raise Refused(_("Tick at least one drill."))
    if any(not 1 <= line.count <= MOST_OF_ONE for line in plan.lines):
        raise Refused(
            _("Of each ticked drill write how many: 1 to %(most_of_one)s.", most_of_one=MOST_OF_ONE)
        )
    if len({(line.drill, line.find) for line in plan.lines}) < len(plan.lines):
        raise Refused(_("A drill stands in the plan twice. Write how many of it instead."))
    if plan.size > MOST_ITEMS:
        raise Refused(
            _(
                "A paper holds at most %(most_items)s items: fewer drills, or fewer of each.",
                most_items=MOST_ITEMS,
            )
        )
    if not 1 <= plan.mark <= 100:
        raise Refused(_("The pass mark is 1 to 100 percent."))
    if plan.part not in PARTS:
        raise Refused(_("It counts as the general or the specific examination, or as a class result only."))
    return plan
