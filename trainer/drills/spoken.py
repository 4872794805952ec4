"""A shelf in another language: the same moulds, whose drills say everything in the reader's words."""

from __future__ import annotations

from dataclasses import replace

from trainer.bank import Entry
from trainer.bank.entries import drill_of
from trainer.bank.spoken import Say, bank_spoken, spoken
from trainer.drills.mould import Mould
from trainer.drills.reading import ReadDrill
from trainer.drills.shelf import Shelf


class SpokenShelf(Shelf):
    """What another shelf holds, in another language. Nothing is cast twice: only the words differ."""

    def __init__(self, plain: Shelf, say: Say) -> None:
        super().__init__(bank_spoken(plain.bank, say))
        self.forms = plain.forms
        self._plain = plain
        self._say = say

    def read(self, entry: Entry) -> ReadDrill:
        """Return the drill with its formulas read; FaultyFiles where one cannot be."""
        found = self._read.get(entry.edition)
        if found is None:
            plain = self._plain.read(self._as_written(entry))
            found = self._read[entry.edition] = replace(plain, drill=spoken(plain.drill, self._say))
        return found

    def mould_of(self, entry: Entry, find: str | None = None) -> Mould:
        """Return the mould of one edition's find."""
        wanted = find if find is not None else next(iter(entry.drill.finds))
        key = (entry.edition, wanted)
        if key not in self._moulds:
            plain = self._plain.mould_of(self._as_written(entry), wanted)
            self._moulds[key] = replace(plain, read=self.read(entry))
        return self._moulds[key]

    def _as_written(self, entry: Entry) -> Entry:
        """The entry in the words it was written in, so that the other shelf never learns these."""
        plain = self._plain.bank.drills.get(entry.id)
        return plain if plain is not None and plain.edition == entry.edition else drill_of(entry.content)
