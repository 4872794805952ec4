"""Which people of a house a list shows: by words, by level, by how they stand."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from trainer.languages import N_
from trainer.qualification import Verdict
from trainer.services.standing import Placed

SOON = 30  # days before its end from which something is called due soon
MOST_WORDS = 80


def _gone(placed: Placed, on: date) -> bool:
    return any(due.until < on for due in placed.dues)


def _soon(placed: Placed, on: date) -> bool:
    return any(on <= due.until <= on + timedelta(days=SOON) for due in placed.dues)


def _short(placed: Placed, on: date) -> bool:
    return placed.standing.overall is not Verdict.MET


# How somebody stands: the words of the choice (of the catalogue), and whether a person is among them.
STATES: dict[str, tuple[str, Callable[[Placed, date], bool]]] = {
    "": (N_("everybody"), lambda _placed, _on: True),
    "works": (N_("may work to their level"), lambda placed, _on: placed.works),
    "supervised": (N_("under supervision, or not at all"), lambda placed, _on: not placed.works),
    "soon": (N_("something is due within 30 days"), _soon),
    "gone": (N_("something has run out"), _gone),
    "short": (N_("prerequisites are missing"), _short),
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

    def of(self, placed: Iterable[Placed], on: date) -> list[Placed]:
        """Those who are shown, in the order given."""
        wanted, words = STATES[self.state][1], self.words.lower().split()
        return [
            one
            for one in placed
            if self.level in ("", str(one.standing.level))
            and all(word in f"{one.person.works_number} {one.person.name}".lower() for word in words)
            and wanted(one, on)
        ]


def asked(words: str, level: str, state: str) -> Selection:
    """A selection from what an address says; what cannot be is left out."""
    return Selection(
        " ".join(words[:MOST_WORDS].split()),
        level if level in ("I", "II") else "",
        state if state in STATES else "",
    )
