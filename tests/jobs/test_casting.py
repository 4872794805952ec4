"""Jobs are read from one file each; every fault of a file has its line, its column and a sentence."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from trainer.bank import load_bank
from trainer.errors import FaultyFiles, NotFound
from trainer.formulas.solved import FILE, SolvedForms
from trainer.jobs.casting import JobShelf
from trainer.jobs.checking import check_entry

BANK = Path(__file__).parents[2] / "question_bank"
# Each job with the drills of its steps, by the catalogue.
CATALOGUE = {
    "job-tube-in-coil": "coil-effective-diameter coil-length-to-diameter coil-fill-ratio coil-low-fill-wall duty-off-time",
    "job-long-axle-wrap": "coil-length-to-diameter coil-sections coil-high-fill cable-drop duty-shots-per-hour",
    "job-two-codes": "coil-length-to-diameter coil-low-fill-wall coil-asme coil-ampere-turns-band",
    "job-short-gear-blank": "coil-length-to-diameter coil-pole-pieces coil-low-fill-wall coil-ampere-turns",
    "job-plate-weld-prods": "prod-current-asme prod-spacing-for-pack prod-placements duty-equivalent",
    "job-sleeve-offset-conductor": "conductor-offset-band conductor-shots conductor-passes conductor-field",
    "job-shaft-head-shot": "head-shot-band surface-field half-wave duty-other-current",
    "job-half-wave-meter": "half-wave-test-meter half-wave cable-drop ammeter-error",
    "job-demagnetize": "demag-steps demag-step-current coil-axis-field demag-withdrawal",
    "job-bath-morning": "bath-net bath-add light-distance uv-units",
    "job-hot-lead": "cable-hot-resistance cable-drop cable-joint-heat cable-shot-rise",
    "job-candidate-grade": "grade-percent right-answers-needed composite-grade experience-days",
}
WORD = "job-candidate-grade.yaml"


def changed(folder: Path, old: str, new: str) -> list[str]:
    """Change one text of a job in a copy of the bank; return what the check says."""
    shutil.copytree(BANK, folder)
    file = folder / "jobs" / WORD
    text = file.read_text(encoding="utf-8")
    assert text.count(old) >= 1
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    try:
        bank = load_bank(folder)
    except FaultyFiles as faulty:
        return [str(fault) for fault in faulty.faults]
    faults, _ = check_entry(bank, bank.job("job-candidate-grade"), SolvedForms.load(folder / FILE))
    return [str(fault) for fault in faults]


def test_the_catalogue_is_in_the_bank() -> None:
    """Every job of the catalogue is there with its steps in their order."""
    bank = shipped_shelf().bank
    assert {j: " ".join(p.drill for p in e.job.parts) for j, e in bank.jobs.items()} == CATALOGUE


@pytest.mark.parametrize(
    ("old", "new", "place", "says"),
    [
        ("drill: grade-percent", "drill: grade-percents", "19:12", "there is no drill 'grade-percents'"),
        ("find: pct", "find: pc", "20:11", "does not ask for 'pc'; it asks for"),
        ("{right: right, of: of}", "{right: rigth, of: of}", "22:20", "'rigth' is not a value under given"),
        ("{right: right, of: of}", "{left: right, of: of}", "22:19", "has no quantity 'left'"),
        ("{right: right, of: of}", "{pct: right, of: of}", "22:18", "it cannot be given"),
        ("{right: right, of: of}", "{right: h, of: of}", "22:20", "'h' is in h and cannot go in for 'right'"),
        ("earlier: {g: general}", "earlier: {g: c}", "35:18", "'c' is not the answer of a step before"),
        ("earlier: {g: general}", "earlier: {s: general}", "35:18", "'s' stands under given as well"),
        ("answer: needed", "answer: general", "27:13", "stands for another value already"),
        ("marks: 2", "marks: 0", "36:12", "this must be at least 1"),
        ("    marks: 2", "    mark: 2", "36:11", "the key 'mark' is not known here"),
        ("level: I", "level: III", "4:8", "write one of 'I' or 'II'"),
        ("id: job-candidate-grade", "id: job-grade", "2:5", "the id must be the file's name"),
        ("parts:", "where: [general > ]\nparts:", "18:9", "ends too early"),
        ("parts:", "where: [generals > 1]\nparts:", "18:9", "generals"),
        ("parts:", "cautions: [hot-air]\nparts:", "18:12", "there is no caution 'hot-air'"),
        ("situations:", "  x: {name: spare, unit: s, fixed: 3}\nsituations:", "13:6", "no step uses 'x'"),
        ("fixed: 40, ", "", "7:7", "write which values are drawn"),
        ("earlier: {g: general}", "earlier: {}", "19:3", "no step takes the answer of a step before"),
    ],
)
def test_every_fault_has_its_place(tmp_path: Path, old: str, new: str, place: str, says: str) -> None:
    """What is wrong comes back with line and column and a sentence that says what to write."""
    found = changed(tmp_path / "bank", old, new)
    assert any(one.startswith(f"jobs/{WORD}:{place}: ") and says in one for one in found), found


def test_a_job_of_too_many_steps_is_refused(tmp_path: Path) -> None:
    """Eight steps are the most: a longer list is a fault, so that a job stays bounded."""
    step = "  - {drill: experience-days, find: d, answer: dNN, given: {h: h}, text: Again.}\n"
    more = "".join(step.replace("NN", str(n)) for n in range(9))
    found = changed(tmp_path / "more", "    text: The log counts hours. The scheme wants days.\n",
                    f"    text: The log counts hours.\n{more}")  # fmt: skip
    assert any("at most 8 wanted here" in one for one in found), found


def test_unknown_jobs_name_the_nearest() -> None:
    """A misspelt id gets the ids that look like it."""
    with pytest.raises(NotFound, match="did you mean job-hot-lead"):
        JobShelf(shipped_shelf()).job("job-hot-leads")
