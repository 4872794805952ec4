"""`trainer bank`: check the question bank, draw an exercise, write the schemas that editors use."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import Any

import click

from trainer.errors import Fault, FaultyFiles
from trainer.settings import bank_folder


@click.group()
def bank() -> None:
    """Check the question bank, draw an exercise.

    \b
    trainer bank check                   every fault with file and line
    trainer bank check --seeds 10000     and ten thousand draws of every question
    trainer bank draw prod-current-asme --seed 7
    """


@bank.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option(
    "--seeds",
    type=click.IntRange(0, 1_000_000),
    default=100,
    show_default=True,
    help="Draws per drill and find.",
)
@click.option("--json", "as_json", is_flag=True, help="Print one object.")
def check(folder: Path | None, seeds: int, as_json: bool) -> None:
    """Report every fault of the bank at once; exit 1 if there is any."""
    where = folder or bank_folder()
    try:
        counts, faults, reports = _checked(where, seeds, show=not as_json)
    except FaultyFiles as faulty:
        counts, faults, reports = {}, list(faulty.faults), []
    if as_json:
        listed = [{"file": f.file, "line": f.line, "column": f.column, "says": f.says} for f in faults]
        click.echo(json.dumps({"counts": counts, "faults": listed, "finds": reports}, ensure_ascii=False))
    else:
        _say(counts, faults, reports, seeds)
    sys.exit(1 if faults else 0)


def _checked(
    folder: Path, seeds: int, show: bool
) -> tuple[dict[str, int], list[Fault], list[dict[str, Any]]]:
    from trainer.bank import load_bank
    from trainer.drills.checking import check_entry
    from trainer.formulas.solved import FILE, SolvedForms

    loaded = load_bank(folder)
    forms = SolvedForms.load(folder / FILE)
    faults: list[Fault] = []
    sound: list[str] = []
    finds = 0
    for drill_id, entry in loaded.drills.items():
        found, moulds = check_entry(loaded, entry, forms)
        faults.extend(found)
        finds += len(moulds)
        if not found:
            sound.append(drill_id)
    if forms.added and os.access(folder, os.W_OK):
        forms.save(folder / FILE)
    reports = []
    for drill_faults, drill_reports in _drawn(folder, sound, seeds, show):
        faults.extend(drill_faults)
        reports.extend(drill_reports)
    counts = {"drills": len(loaded.drills), "finds": finds, "terms": len(loaded.terms)}
    return counts, faults, reports


def _drawn(
    folder: Path, drills: list[str], seeds: int, show: bool
) -> Iterator[tuple[list[Fault], list[dict[str, Any]]]]:
    """Draw on all cores when it is worth starting them, with progress on standard error."""
    jobs = [(str(folder), drill, seeds) for drill in drills]
    many = len(jobs) * seeds > 20_000
    pool = ProcessPoolExecutor() if many else None
    results = pool.map(draw_many, jobs) if pool else map(draw_many, jobs)
    for done, result in enumerate(results, 1):
        if show and many and sys.stderr.isatty():
            click.echo(f"\r{done} of {len(jobs)} drills drawn", nl=done == len(jobs), err=True)
        yield result
    if pool:
        pool.shutdown()


def draw_many(job: tuple[str, str, int]) -> tuple[list[Fault], list[dict[str, Any]]]:
    """Draw every find of one drill; a top-level function, so that another process can run it."""
    from trainer.drills.checking import check_find

    folder, drill_id, seeds = job
    shelf = _shelf(folder)
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


_SHELVES: dict[str, Any] = {}


def _shelf(folder: str) -> Any:
    from trainer.drills.shelf import Shelf

    if folder not in _SHELVES:
        _SHELVES[folder] = Shelf.of_folder(Path(folder))
    return _SHELVES[folder]


def _say(counts: dict[str, int], faults: list[Fault], reports: list[dict[str, Any]], seeds: int) -> None:
    for fault in faults:
        click.echo(str(fault), err=True)
    if counts:
        click.echo(", ".join(f"{number} {name}" for name, number in counts.items()))
    if reports and seeds:
        slips = sum(r["slips"] for r in reports) / len(reports)
        worst = max(reports, key=lambda r: r["redrawn"])
        click.echo(
            f"{seeds} draws of each find; {slips:.1f} slips a find; redrawn most: {worst['drill']} {worst['find']} {worst['redrawn']:.0%}"
        )
    click.echo(
        "No fault." if not faults else f"{len(faults)} faults; each line says what to write instead.",
        err=bool(faults),
    )


@bank.command()
@click.argument("drill")
@click.option(
    "--seed",
    type=int,
    default=0,
    show_default=True,
    help="Which exercise; the same number gives the same one.",
)
@click.option("--find", help="The unknown; the drill's first one if left out.")
@click.option("--json", "as_json", is_flag=True, help="Print one object.")
def draw(drill: str, seed: int, find: str | None, as_json: bool) -> None:
    """Draw one exercise: prompt, what is given, answer, what is accepted, slips."""
    from trainer.drills.telling import as_data, as_text

    shelf = _shelf(str(bank_folder()))
    mould = shelf.mould(drill, find)
    exercise = shelf.draw(drill, seed, find)
    click.echo(
        json.dumps(as_data(mould, exercise), ensure_ascii=False) if as_json else as_text(mould, exercise)
    )


@bank.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
def schemas(folder: Path | None) -> None:
    """Write the JSON Schema of each kind of file, for editors that complete while you type."""
    from trainer.bank.schemas import write_schemas

    for path in write_schemas((folder or bank_folder()) / "schemas"):
        click.echo(f"written: {path.name}")
