"""The bank of this installation: what is shipped, and the employer's own items beside it.

Faults of the shipped bank stop the start. Faults of the employer's own items leave those items out and are told,
for a slip of a pen must not close the school.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

from trainer.bank import Bank, load_bank
from trainer.drills.checking import check_entry, check_find
from trainer.drills.shelf import Shelf
from trainer.errors import Fault
from trainer.examinations.checking import check_paper
from trainer.formulas.solved import FILE
from trainer.jobs.casting import JobShelf
from trainer.jobs.checking import check_entry as check_job_entry
from trainer.jobs.checking import check_job
from trainer.questions.checking import check_questions
from trainer.settings import bank_folder

Check = Callable[[Shelf, str], Iterator[Fault]]


def open_shelf(private: Path, seeds: int = 0) -> Shelf:
    """Load the bank with the employer's own items, each of them checked and drawn with ``seeds`` seeds.

    Raises FaultyFiles for a fault of the shipped bank only.
    """
    loaded = load_bank(bank_folder(), private=private)
    files = (bank_folder() / FILE, private / FILE)
    shelf = Shelf(loaded, *files)
    for check in (drill_faults(seeds), other_faults(seeds)):  # the others build on drills that are sound
        found = {item: faults for item in sorted(shelf.bank.private) if (faults := [*check(shelf, item)])}
        if found:
            shelf = Shelf(_without(shelf.bank, found), *files)
    return shelf


def drill_faults(seeds: int) -> Check:
    """A check of one drill of a shelf, drawn with ``seeds`` seeds for each find."""

    def check(shelf: Shelf, item: str) -> Iterator[Fault]:
        entry = shelf.bank.drills.get(item)
        if entry is not None:
            faults, moulds = check_entry(shelf.bank, entry, shelf.forms)
            yield from faults
            for mould in moulds if not faults else ():
                yield from check_find(entry, mould, seeds).faults

    return check


def other_faults(seeds: int) -> Check:
    """A check of one item of a shelf that is no drill."""

    def check(shelf: Shelf, item: str) -> Iterator[Fault]:
        if item in shelf.bank.questions:
            yield from check_questions(shelf, [shelf.bank.questions[item]])
        elif item in shelf.bank.papers:
            yield from check_paper(shelf.bank, shelf.bank.papers[item])
        elif item in shelf.bank.jobs:
            faults, cast = check_job_entry(shelf.bank, shelf.bank.jobs[item], shelf.forms)
            yield from faults
            if cast is not None and not faults:
                yield from check_job(JobShelf(shelf).job(item), seeds).faults

    return check


def _without(bank: Bank, faulty: dict[str, list[Fault]]) -> Bank:
    return replace(
        bank,
        drills={name: one for name, one in bank.drills.items() if name not in faulty},
        jobs={name: one for name, one in bank.jobs.items() if name not in faulty},
        papers={name: one for name, one in bank.papers.items() if name not in faulty},
        questions={name: one for name, one in bank.questions.items() if name not in faulty},
        private=bank.private - faulty.keys(),
        private_faults=(*bank.private_faults, *(fault for faults in faulty.values() for fault in faults)),
    )
