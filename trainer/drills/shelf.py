"""Every drill of a bank, read once and cast when first asked for."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Any, Final

from trainer.bank import Bank, Entry
from trainer.bank.entries import drill_of
from trainer.drills.blunders import GENERAL
from trainer.drills.draw import draw, remade
from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould, NoWay, cast
from trainer.drills.reading import ReadDrill, read_drill
from trainer.errors import FaultyFiles, NotFound
from trainer.formulas.solved import FILE, SolvedForms
from trainer.languages import _

MOST_REMADE: Final = 1024  # exercises a class has before it; some 5 kB each


class Shelf:
    """Moulds by drill edition and find. Safe to share between threads: casting twice gives the same.

    A stored exercise is made again for its sheet, its answer, its verdict and its field picture, so it is remembered.
    """

    def __init__(self, bank: Bank, *solved: Path) -> None:
        self.bank = bank
        self.forms = SolvedForms.load(*solved)
        self._read: dict[str, ReadDrill] = {}
        self._moulds: dict[tuple[str, str], Mould] = {}
        self._remembered = lru_cache(maxsize=MOST_REMADE)(self._remade)

    def over(self, bank: Bank, forms: SolvedForms) -> Shelf:
        """Return a shelf over another bank; what it solves is kept in ``forms``."""
        other = Shelf(bank)
        other.forms = forms
        return other

    @classmethod
    def of_folder(cls, folder: Path) -> Shelf:
        """Load the bank of one folder with its solved forms."""
        from trainer.bank import load_bank

        return cls(load_bank(folder), folder / FILE)

    def read(self, entry: Entry) -> ReadDrill:
        """Return the drill with its formulas read; FaultyFiles where one cannot be."""
        found = self._read.get(entry.edition)
        if found is None:
            found, faults = read_drill(entry.drill, entry.edition)
            if found is None:
                raise FaultyFiles(tuple(entry.located.fault(place, says) for place, says in faults))
            self._read[entry.edition] = found
        return found

    def mould(self, drill_id: str, find: str | None = None) -> Mould:
        """Return the mould of a drill's find (the first listed if none is named)."""
        return self.mould_of(self.bank.drill(drill_id), find)

    def mould_of(self, entry: Entry, find: str | None = None) -> Mould:
        """Return the mould of one edition's find."""
        wanted = find if find is not None else next(iter(entry.drill.finds))
        key = (entry.edition, wanted)
        if key not in self._moulds:
            try:
                self._moulds[key] = cast(self.read(entry), wanted, self.forms)
            except NoWay as error:
                raise NotFound(str(error)) from None
        return self._moulds[key]

    def slip_name(self, drill_id: str, slip: str) -> str:
        """Return the short name of a stored slip: a drill's own, two together, or a general blunder."""
        entry = self.bank.drills.get(drill_id)
        names = {s.id: s.name for s in entry.drill.slips} if entry else {}
        return ", and ".join(names.get(one) or _(GENERAL.get(one, one)) for one in slip.split("+"))

    def draw(self, drill_id: str, seed: int, find: str | None = None) -> Exercise:
        """Draw the exercise of this seed from the bank's own edition."""
        return draw(self.mould(drill_id, find), seed)

    def stored(self, content: object, snapshot: dict[str, Any]) -> tuple[Mould, Exercise]:
        """Make a stored exercise again from the edition it was drawn from."""
        entry = self.bank.drills.get(snapshot["drill"])
        if entry is None or entry.edition != snapshot["edition"]:
            entry = drill_of(content)
        mould = self.mould_of(entry, snapshot["find"])
        key = (entry.edition, mould.find, snapshot["seed"], snapshot["situation"])
        return mould, self._remembered(*key, *snapshot["given"].items())

    def _remade(
        self, edition: str, find: str, seed: int, situation: int, *given: tuple[str, str]
    ) -> Exercise:
        return remade(self._moulds[edition, find], seed, dict(given), situation)
