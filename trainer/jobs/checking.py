"""Check jobs beyond their spelling: every step can be cast, and every draw of the job marked and drawn fairly."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.bank import Bank, JobEntry
from trainer.drills.checking import LOOKED_AT, misprinted, unfair
from trainer.drills.marking import written
from trainer.errors import Fault, TrainerError
from trainer.formulas.solved import SolvedForms
from trainer.jobs.casting import CastJob, cast_job, check_cautions
from trainer.jobs.draw import DrawnJob, draw
from trainer.jobs.marking import mark_all
from trainer.languages import reading_in


@dataclass(frozen=True, slots=True)
class JobReport:
    """What drawing one job many times showed."""

    job: str
    seeds: int
    parts: int
    redrawn: float
    slips: float
    faults: tuple[Fault, ...]


def check_entry(bank: Bank, entry: JobEntry, forms: SolvedForms) -> tuple[list[Fault], CastJob | None]:
    """Return the faults of one job, and the job cast where it can be."""
    cast, faults = cast_job(entry, bank.drills, forms)
    return [*faults, *check_cautions(bank, entry)], cast


@reading_in("en")  # what is printed is read back, so it is printed as it is written
def check_job(cast: CastJob, seeds: int) -> JobReport:
    """Draw seeds 0, 1, 2, ... and check every step of each."""
    redrawn = slips = 0
    faults: list[Fault] = []
    for seed in range(seeds):
        try:
            drawn = draw(cast, seed)
            redrawn += drawn.redrawn
            slips += sum(len(one.slips) for one in drawn.exercises)
            found = _unfair(cast, drawn)
            if found is None and seed < LOOKED_AT:
                found = _misprinted(cast, drawn)
        except TrainerError as error:
            found = ("parts",), str(error)
        if found is not None:
            faults.append(cast.entry.located.fault(found[0], f"seed {seed}: {found[1]}"))
        if len(faults) == 3:
            break
    n = max(1, seeds)
    return JobReport(cast.job.id, seeds, len(cast.parts), redrawn / (redrawn + n), slips / n, tuple(faults))


def _unfair(cast: CastJob, drawn: DrawnJob) -> tuple[tuple[str | int, ...], str] | None:
    """Return what is unfair about a draw and where, or None."""
    for place, (part, one) in enumerate(zip(cast.parts, drawn.exercises, strict=True)):
        says = unfair(part.mould, one)
        if says is not None:
            return ("parts", place), says
    texts = [written(p.mould, one.answer) for p, one in zip(cast.parts, drawn.exercises, strict=True)]
    for place, one_marked in enumerate(mark_all(cast, drawn, texts)):
        if not one_marked.verdict.right:
            return ("parts", place), f"the right answer, written {texts[place]}, is not accepted"
    return None


def _misprinted(cast: CastJob, drawn: DrawnJob) -> tuple[tuple[str | int, ...], str] | None:
    """Return what is printed wrongly in a step's figure or working and where, or None."""
    for place, (part, one) in enumerate(zip(cast.parts, drawn.exercises, strict=True)):
        says = next(misprinted(part.mould, one), None)
        if says is not None:
            return ("parts", place), says
    return None
