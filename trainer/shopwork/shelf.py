"""Every technique of a shelf's bank, read once, and the questions to a pack."""

from __future__ import annotations

from trainer.bank.yamltext import Located
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles, NotFound
from trainer.languages import _
from trainer.shopwork.reading import PlacedFaults, ReadPower, ReadTechnique, read_power, read_technique


class ShopShelf:
    """Techniques by id. Safe to share between threads: reading twice gives the same."""

    def __init__(self, drills: Shelf) -> None:
        self.drills = drills
        self.bank = drills.bank
        self._read: dict[str, ReadTechnique] = {}
        self._power: ReadPower | None = None

    def technique(self, technique_id: str) -> ReadTechnique:
        """Return a technique; NotFound names the nearest ids, FaultyFiles its faults."""
        entry = self.bank.technique(technique_id)
        if technique_id not in self._read:
            read, faults = read_technique(entry.technique, entry.edition)
            _refuse(entry.located, faults)
            self._read[technique_id] = read
        return self._read[technique_id]

    def power(self) -> ReadPower:
        """Return the questions to a pack. Raises NotFound for a bank without any."""
        entry = self.bank.power
        if entry is None:
            raise NotFound(_("This question bank asks nothing of packs: it has no power.yaml."))
        if self._power is None:
            read, faults = read_power(entry.power)
            _refuse(entry.located, faults)
            self._power = read
        return self._power


def _refuse(located: Located, faults: PlacedFaults) -> None:
    if faults:
        raise FaultyFiles(tuple(located.fault(place, says) for place, says in faults))
