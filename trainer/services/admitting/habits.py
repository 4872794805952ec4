"""How a person wants the pages: language, decimal sign, lengths, size of the text, paper."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import lru_cache

from sqlalchemy.orm import Session

from trainer.errors import Refused
from trainer.languages import _
from trainer.store.models import Habit
from trainer.store.models.people import DECIMALS, LENGTHS, PAPERS, READS, TEXT_SIZES

CHOICES: dict[str, tuple[str, ...]] = {
    "decimal": DECIMALS, "lengths": LENGTHS, "text_size": TEXT_SIZES, "paper": PAPERS, "language": READS,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Habits:
    """A person's choices; the first of each list is what everybody has who has chosen nothing."""

    decimal: str = DECIMALS[0]
    lengths: str = LENGTHS[0]
    text_size: str = TEXT_SIZES[0]
    paper: str = PAPERS[0]
    language: str = READS[0]

    def __post_init__(self) -> None:
        """Raise Refused for a word that is not in its list."""
        for name, words in CHOICES.items():
            if getattr(self, name) not in words:
                raise Refused(_("Choose one of the answers that the page offers."))

    def sign(self, house: str) -> str:
        """The decimal sign this person types, "point" or "comma"; ``house``: the installation's."""
        return house if self.decimal == "house" else self.decimal


@lru_cache
def chosen(*words: str | None) -> Habits:
    """What a row of the store says, in the order of the fields; where there is none, what everybody has."""
    said = [word for word in words if word]
    return Habits(*said) if len(said) == len(words) else Habits()


def keep(session: Session, person_id: int, wanted: Habits) -> None:
    """Keep a person's choices in place of the earlier ones."""
    row = session.get(Habit, person_id)
    if row is None:
        row = Habit(person_id=person_id)
        session.add(row)
    for one in fields(wanted):
        setattr(row, one.name, getattr(wanted, one.name))


assert set(CHOICES) == {one.name for one in fields(Habits)}
