"""`trainer bank`: check the question bank, draw an exercise, write the schemas that editors use."""

from __future__ import annotations

import json
import os
import sys
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from trainer.cli.bank_draws import drawn, shelf_of
from trainer.errors import Fault, FaultyFiles, Refused
from trainer.settings import Settings, bank_folder

if TYPE_CHECKING:
    from trainer.bank import Bank
    from trainer.qualification.scheme import Scheme


@click.group()
def bank() -> None:
    """Check the question bank, draw an exercise.

    \b
    trainer bank check                   every fault with file and line
    trainer bank check --private         the same for your own items
    trainer bank check --seeds 10000     and ten thousand draws of every question
    trainer bank draw prod-current-asme --seed 7
    trainer bank draw job-tube-in-coil --seed 7 --json
    trainer bank qti drills/coil --out coil.zip
    """


@bank.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
@click.option(
    "--seeds",
    type=click.IntRange(0, 1_000_000),
    default=100,
    show_default=True,
    help="Draws per find and job.",
)
@click.option("--private", is_flag=True, help="Check the employer's own items in the instance folder.")
@click.option("--json", "as_json", is_flag=True, help="Print one object.")
@click.pass_obj
def check(settings: Settings, folder: Path | None, seeds: int, private: bool, as_json: bool) -> None:
    """Report every fault of the bank at once; exit 1 if there is any."""
    where = folder or bank_folder()
    asked: dict[str, Any]
    reports: list[dict[str, Any]] = []
    try:
        if private:
            counts, faults, asked = _private(settings.private_bank, seeds)
        else:
            counts, faults, reports = _checked(where, seeds, show=not as_json)
            asked, found = _questions(where)
            faults.extend(found)
    except FaultyFiles as faulty:
        counts, faults, reports, asked = {}, list(faulty.faults), [], {}
    if as_json:
        listed = [{"file": f.file, "line": f.line, "column": f.column, "says": f.says} for f in faults]
        told = {"counts": counts, "faults": listed, "finds": reports, "questions": asked}
        click.echo(json.dumps(told, ensure_ascii=False))
    else:
        _say(counts, faults, reports, seeds)
        _say_questions(asked)
    sys.exit(1 if faults else 0)


def _checked(
    folder: Path, seeds: int, show: bool
) -> tuple[dict[str, int], list[Fault], list[dict[str, Any]]]:
    from trainer.drills.checking import check_entry
    from trainer.formulas.solved import FILE, SolvedForms
    from trainer.jobs.checking import check_entry as check_job_entry
    from trainer.shopwork.checking import check_power, check_technique

    loaded, schemes = _read(folder)
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
    for job_id, job in loaded.jobs.items():
        found, _ = check_job_entry(loaded, job, forms)
        faults.extend(found)
        if not found:
            sound.append(job_id)
    for technique in loaded.techniques.values():
        faults.extend(check_technique(loaded, technique))
    if loaded.power is not None:
        faults.extend(check_power(loaded, loaded.power))
    if forms.added and os.access(folder, os.W_OK):
        forms.save(folder / FILE)
    reports = []
    for drill_faults, drill_reports in drawn(folder, sound, seeds, show):
        faults.extend(drill_faults)
        reports.extend(drill_reports)
    counts = {
        "drills": len(loaded.drills),
        "finds": finds,
        "jobs": len(loaded.jobs),
        "practicals": len(loaded.practicals),
        "techniques": len(loaded.techniques),
        "questions": len(loaded.questions),
        "papers": len(loaded.papers),
        "schemes": schemes,
        "terms": len(loaded.terms),
    }
    if not any(counts.values()):
        nothing = "there is no question bank in this folder; name one with drills/, questions/ or schemes/"
        faults.append(Fault(str(folder), 1, 1, nothing))
    return counts, faults, reports


def _read(folder: Path) -> tuple[Bank, int]:
    """Read the items and count the schemes of a folder; FaultyFiles lists the faults of both."""
    from trainer.bank import load_bank
    from trainer.qualification.scheme_reader import read_schemes

    faults: list[Fault] = []
    schemes: dict[str, Scheme] = {}
    try:
        schemes = read_schemes(folder / "schemes") if (folder / "schemes").is_dir() else {}
    except FaultyFiles as faulty:
        faults.extend(replace(fault, file=f"schemes/{fault.file}") for fault in faulty.faults)
    try:
        loaded = load_bank(folder)
    except FaultyFiles as faulty:
        raise FaultyFiles((*faulty.faults, *faults)) from None
    if faults:
        raise FaultyFiles(tuple(faults))
    return loaded, len(schemes)


def _private(folder: Path, seeds: int) -> tuple[dict[str, int], list[Fault], dict[str, Any]]:
    """Check the employer's own items beside what is shipped, which they may refer to."""
    from trainer.questions.census import census
    from trainer.services.authoring.banks import open_shelf

    found = open_shelf(folder, seeds).bank
    own = [entry for entry in found.questions.values() if entry.id in found.private]
    counts = {
        "drills": sum(name in found.private for name in found.drills),
        "jobs": sum(name in found.private for name in found.jobs),
        "questions": len(own),
    }
    return counts, list(found.private_faults), census(own)


def _questions(folder: Path) -> tuple[dict[str, Any], list[Fault]]:
    """Check the questions of a folder, what they give away together, and the paper plans made of them."""
    from trainer.examinations.checking import check_paper
    from trainer.questions.census import census
    from trainer.questions.checking import check_balance, check_questions

    shelf = shelf_of(str(folder))
    entries = list(shelf.bank.questions.values())
    faults = check_questions(shelf, entries)
    for plan in shelf.bank.papers.values():
        faults += check_paper(shelf.bank, plan)
    faults += [Fault("questions", 1, 1, says) for says in check_balance(shelf.bank)]
    return census(entries), faults


def _say(counts: dict[str, int], faults: list[Fault], reports: list[dict[str, Any]], seeds: int) -> None:
    for fault in faults:
        click.echo(str(fault), err=True)
    if counts:
        click.echo(", ".join(f"{number} {name}" for name, number in counts.items()))
    finds = [r for r in reports if not r["find"].endswith(" steps")]
    if finds and seeds:
        slips = sum(r["slips"] for r in finds) / len(finds)
        worst = max(reports, key=lambda r: r["redrawn"])
        click.echo(
            f"{seeds} draws of each find and job; {slips:.1f} slips a find; redrawn most: {worst['drill']} {worst['find']} {worst['redrawn']:.0%}"
        )
    click.echo(
        "No fault." if not faults else f"Faults: {len(faults)}. Each line says what to write instead.",
        err=bool(faults),
    )


def _say_questions(asked: dict[str, Any]) -> None:
    if not asked.get("questions"):
        return
    for name in ("level", "part", "pool", "status", "topic"):
        click.echo(f"{name}: " + ", ".join(f"{number} {word}" for word, number in asked[name].items()))
    places = ", ".join(f"{number} {letter}" for letter, number in asked["right_places"].items())
    click.echo(
        f"safety: {asked['safety']}, {asked['safety_share']:.0%}; characters of right options "
        f"{asked['right_length']}, of wrong ones {asked['wrong_length']}; the right one is the longest in "
        f"{asked['right_longest']:.0%}; right ones over the letters: {places}"
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
@click.pass_obj
def draw(settings: Settings, drill: str, seed: int, find: str | None, as_json: bool) -> None:
    """Draw one exercise: prompt, what is given, answer, what is accepted, slips.

    DRILL may be a several-part job as well: then all its steps. It may be a knowledge question: then its
    options in the order of this seed, each with its reason.
    """
    from trainer.drills.telling import as_data, as_text
    from trainer.services.authoring.banks import open_shelf

    shelf = open_shelf(settings.private_bank)
    if drill in shelf.bank.jobs:
        click.echo(_drawn_job(shelf, drill, seed, find, as_json))
        return
    if drill in shelf.bank.questions:
        click.echo(_asked(shelf, drill, seed, find, as_json))
        return
    mould = shelf.mould(drill, find)
    exercise = shelf.draw(drill, seed, find)
    click.echo(
        json.dumps(as_data(mould, exercise), ensure_ascii=False) if as_json else as_text(mould, exercise)
    )


def _drawn_job(shelf: Any, job_id: str, seed: int, find: str | None, as_json: bool) -> str:
    from trainer.jobs.casting import JobShelf
    from trainer.jobs.draw import draw
    from trainer.jobs.telling import as_data, as_text

    if find is not None:
        raise Refused(f"{job_id} is a job of several steps, each with its own find; leave --find out")
    cast = JobShelf(shelf).job(job_id)
    drawn = draw(cast, seed)
    return json.dumps(as_data(cast, drawn), ensure_ascii=False) if as_json else as_text(cast, drawn)


def _asked(shelf: Any, question: str, seed: int, find: str | None, as_json: bool) -> str:
    from trainer.questions.ask import ask
    from trainer.questions.telling import as_data, as_text

    if find is not None:
        raise Refused(f"{question} is a knowledge question; leave --find out")
    asked = ask(shelf, shelf.bank.question(question), seed)
    return json.dumps(as_data(asked), ensure_ascii=False) if as_json else as_text(asked)


@bank.command()
@click.argument("topic")
@click.option("--out", required=True, type=click.Path(path_type=Path), help="The ZIP to write.")
@click.pass_obj
def qti(settings: Settings, topic: str, out: Path) -> None:
    """Write the items of a topic as QTI 3.0: TOPIC is questions/coil, drills/coil.

    Each item is well formed; they were not checked against the schema of the standard. The file holds keys.
    """
    from trainer.questions.qti import topic_items
    from trainer.services.authoring.banks import open_shelf
    from trainer.services.authoring.item_files import packed

    files = topic_items(open_shelf(settings.private_bank), topic)
    out.write_bytes(packed(files))
    click.echo(f"written: {out}, {len(files)} items, not checked against the schema")


@bank.command()
@click.argument("folder", required=False, type=click.Path(path_type=Path))
def schemas(folder: Path | None) -> None:
    """Write the JSON Schema of each kind of file, for editors that complete while you type."""
    from trainer.bank.schemas import write_schemas

    for path in write_schemas((folder or bank_folder()) / "schemas"):
        click.echo(f"written: {path.name}")
