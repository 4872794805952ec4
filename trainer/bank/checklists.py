"""The checklists of a bank: read file by file, then joined, since a Level II one may build on a Level I one."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import dataclass
from pathlib import Path

from trainer.bank.entries import Filed, stored
from trainer.bank.practical import Practical
from trainer.bank.reader import edition_of, read_file, read_model
from trainer.bank.yamltext import Located, Place
from trainer.errors import Fault

LEAST_CHECKPOINTS = 10
"""SNT-TC-1A asks for ten at least (scheme SNT-2016-A1, practical.checkpoints); taken for every checklist."""


@dataclass(frozen=True, slots=True)
class PracticalEntry(Filed[Practical]):
    """A whole checklist of the bank; ``own`` is what its file holds, without what it builds on."""

    own: Practical

    @property
    def practical(self) -> Practical:
        """The whole checklist."""
        return self.record


def practical_of(data: object, name: str = "stored edition") -> PracticalEntry:
    """Read a checklist from the plain data of a stored edition, which is whole."""
    located = stored(data, name)
    read = read_model(Practical, located)
    return PracticalEntry(read, located, edition_of(data), read)


class Checklists:
    """Gather checklists over all files of all folders, then join and check them."""

    def __init__(self) -> None:
        self._read: dict[str, tuple[Practical, Located]] = {}
        self._faults: list[Fault] = []

    def read(self, path: Path, name: str) -> None:
        """Read one file. Raises FaultyFiles for what is no checklist at all."""
        found, located = read_file(Practical, path, name)
        if found.id != path.stem:
            self._faults.append(located.fault(("id",), f"the id must be the file's name, '{path.stem}'"))
        if found.id in self._read:
            self._faults.append(
                located.fault(("id",), f"there is another practical with the id '{found.id}'")
            )
        self.add(found, located)

    def add(self, checklist: Practical, located: Located) -> None:
        """Take in a checklist that was read."""
        self._read[checklist.id] = checklist, located

    def joined(self, cautions: Collection[str]) -> tuple[dict[str, PracticalEntry], list[Fault]]:
        """Return every whole checklist, and the faults of all of them; ``cautions`` are the known ids."""
        faults = list(self._faults)
        entries = {}
        for own, located in self._read.values():
            earlier = self._read.get(own.builds_on or "")
            if own.builds_on and (earlier is None or earlier[0].builds_on):
                says = f"there is no practical '{own.builds_on}' that stands on its own feet"
                faults.append(located.fault(("builds_on",), says))
                continue
            whole = own.joined(earlier[0]) if earlier else own
            amiss = [located.fault(place, says) for place, says in _amiss(whole, cautions)]
            faults += amiss
            if amiss:
                continue
            data = whole.model_dump(mode="json", exclude_none=True)
            there = Located(located.name, data, located.marks)
            entries[own.id] = PracticalEntry(whole, there, edition_of(data), own)
        return entries, faults


def _amiss(whole: Practical, cautions: Collection[str]) -> Iterator[tuple[Place, str]]:
    for index, caution in enumerate(whole.cautions):
        if caution not in cautions:
            yield ("cautions", index), f"there is no caution '{caution}' in cautions.yaml"
    if whole.count < LEAST_CHECKPOINTS:
        yield (
            ("checkpoints",),
            f"at least {LEAST_CHECKPOINTS} checkpoints wanted, {whole.count} found",
        )
    seen: set[str] = set()
    for area, points in whole.checkpoints.items():
        for index, point in enumerate(points):
            if point.id in seen or point.id.startswith("known-"):
                yield (
                    ("checkpoints", area, index),
                    f"the checkpoint '{point.id}' stands twice, or takes the name of a discontinuity; rename it",
                )
            seen.add(point.id)
    for area in whole.areas:
        if area != "detection" and not whole.checkpoints.get(area):
            yield ("weights", area), f"{area} has a weight but no checkpoint"
    if not any(point.critical for points in whole.checkpoints.values() for point in points):
        yield ("checkpoints",), "no checkpoint is critical; mark what must never be missed"
