"""Which people of a house a list shows: by words, by level, by how they stand."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from datetime import date

from trainer.languages import N_
from trainer.qualification import Verdict
from trainer.services.keeping.paging import MOST_WORDS
from trainer.services.qualifying.outlines import Outline, due_soon, ran_out

# How somebody stands: the words of the choice (of the catalogue), and whether a person is among them.
STATES: dict[str, tuple[str, Callable[[Outline, date], bool]]] = {
    "": (N_("everybody"), lambda _one, _on: True),
    "works": (N_("may work to their level"), lambda one, _on: one.works),
    "supervised": (N_("under supervision, or not at all"), lambda one, _on: not one.works),
    "soon": (N_("something is due within 30 days"), due_soon),
    "gone": (N_("something has run out"), ran_out),
    "short": (N_("prerequisites are missing"), lambda one, _on: one.overall is not Verdict.MET),
}


@dataclass(frozen=True, slots=True)
class Selection:
    """What a list was asked to show; nothing asked is everybody."""

    words: str = ""
    level: str = ""
    state: str = ""

    @property
    def narrows(self) -> bool:
        """Whether anybody may be left out."""
        return bool(self.words or self.level or self.state)

    def of(
        self, outlines: Sequence[Outline], on: date, named: Collection[int] | None = None
    ) -> Sequence[Outline]:
        """Those who are shown, in the order given; ``named`` are the ids of whoever has the words, None: nobody asks."""
        if named is None and not self.level and not self.state:
            return outlines
        wanted = STATES[self.state][1]
        return [
            one
            for one in outlines
            if self.level in ("", str(one.level))
            and (named is None or one.person_id in named)
            and wanted(one, on)
        ]


def asked(words: str, level: str, state: str) -> Selection:
    """A selection from what an address says; what cannot be is left out."""
    return Selection(
        " ".join(words[:MOST_WORDS].split()),
        level if level in ("I", "II") else "",
        state if state in STATES else "",
    )
