"""The draws of a bank check: every item many times over, on all cores when it is worth starting them."""

from __future__ import annotations

import sys
from collections.abc import Iterable
from concurrent.futures import ProcessPoolExecutor, as_completed
from pathlib import Path
from typing import Any

import click

from trainer.errors import Fault

Drawn = tuple[list[Fault], list[dict[str, Any]]]
_WORTH_A_POOL = 4_000  # draws of items that take longer than starting a process for each core


def drawn(folder: Path, drills: list[str], seeds: int, show: bool) -> Iterable[Drawn]:
    """Draw every item, on all cores when it is worth starting them."""
    jobs = [(str(folder), drill, seeds) for drill in drills]
    return _on_all_cores(jobs, show) if len(jobs) * seeds > _WORTH_A_POOL else map(draw_many, jobs)


def _on_all_cores(jobs: list[tuple[str, str, int]], show: bool) -> list[Drawn]:
    """Draw in a process for each core, with progress on standard error.

    The last items are those of many steps, the slowest of all: begun first, they end with the others.
    """
    with ProcessPoolExecutor() as pool:
        begun = [pool.submit(draw_many, job) for job in reversed(jobs)]
        for done, _ in enumerate(as_completed(begun), 1):
            if show and sys.stderr.isatty():
                click.echo(f"\r{done} of {len(jobs)} items drawn", nl=done == len(jobs), err=True)
    return [one.result() for one in reversed(begun)]


def draw_many(job: tuple[str, str, int]) -> Drawn:
    """Draw every find of one drill, or one job; a top-level function, so that another process can run it."""
    from trainer.drills.checking import check_find

    folder, drill_id, seeds = job
    shelf = shelf_of(folder)
    if drill_id in shelf.bank.jobs:
        return _job_many(shelf, drill_id, seeds)
    entry = shelf.bank.drill(drill_id)
    faults: list[Fault] = []
    reports = []
    for find in entry.drill.finds:
        report = check_find(entry, shelf.mould(drill_id, find), seeds)
        faults.extend(report.faults)
        reports.append(
            {"drill": drill_id, "find": find, "seeds": seeds, "slips": report.slips,
             "redrawn": round(report.redrawn, 4), "ambiguous": round(report.ambiguous, 4)}
        )  # fmt: skip
    return faults, reports


def _job_many(shelf: Any, job_id: str, seeds: int) -> Drawn:
    """Draw one job; its report has the number of its steps in place of a find."""
    from trainer.jobs.casting import JobShelf
    from trainer.jobs.checking import check_job

    report = check_job(JobShelf(shelf).job(job_id), seeds)
    told = {
        "drill": job_id, "find": f"{report.parts} steps", "seeds": seeds, "slips": round(report.slips, 1),
        "redrawn": round(report.redrawn, 4), "ambiguous": 0.0,
    }  # fmt: skip
    return list(report.faults), [told]


_SHELVES: dict[str, Any] = {}


def shelf_of(folder: str) -> Any:
    """The shelf of a folder, opened once for each process."""
    from trainer.drills.shelf import Shelf

    if folder not in _SHELVES:
        _SHELVES[folder] = Shelf.of_folder(Path(folder))
    return _SHELVES[folder]
