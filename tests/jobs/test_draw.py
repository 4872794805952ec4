"""Draws of jobs: the same for ever, worked from the drills, every step fair, made again from what was shown."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from trainer.bank import load_bank
from trainer.drills.shelf import Shelf
from trainer.errors import Refused
from trainer.jobs.casting import JobShelf
from trainer.jobs.checking import check_job
from trainer.jobs.draw import draw, remade
from trainer.jobs.telling import as_data, as_text

SHELF = shipped_shelf()
JOBS = JobShelf(SHELF)
IDS = sorted(SHELF.bank.jobs)
GOLDEN_TEXTS = {
    "OD": "3", "ID": "2.75", "L": "8", "bore": "16", "N": "3", "t": "8", "Ir": "3600", "Dr": "0.25"
}  # fmt: skip


def test_golden_job() -> None:
    """Seed 7 shows these numbers and wants these answers, today and in ten years; each is worked by hand here."""
    drawn = draw(JOBS.job("job-tube-in-coil"), 7)
    assert drawn.texts == GOLDEN_TEXTS
    od, bore, length, turns, on = (drawn.given[s] for s in ("OD", "ID", "L", "N", "t"))
    deff = (od**2 - bore**2) ** 0.5
    current = 45000 / (length / deff) / turns
    wanted = [deff, length / deff, (drawn.given["bore"] / od) ** 2, current]
    wanted.append(on * (current / 3600) ** 2 / 0.25 - on)
    assert [one.answer for one in drawn.exercises] == pytest.approx(wanted, rel=1e-12)


@pytest.mark.parametrize("job", IDS)
def test_every_job_draws_fairly(job: str) -> None:
    """A hundred seeds: the answer and every path accepted, every slip outside, figures drawn, 4 figures carry on."""
    report = check_job(JOBS.job(job), 100)
    assert report.faults == ()
    assert report.redrawn < 0.9
    assert report.slips >= 3 * report.parts


@pytest.mark.parametrize("job", IDS)
def test_what_is_kept_makes_it_again(job: str) -> None:
    """From the numbers shown alone every step comes back with its answer and what is accepted."""
    cast = JOBS.job(job)
    drawn = draw(cast, 11)
    again = remade(cast, json.loads(json.dumps(drawn.snapshot())))
    assert again.given == drawn.given
    for one, other in zip(drawn.exercises, again.exercises, strict=True):
        assert (one.answer, one.accepted, one.texts) == (other.answer, other.accepted, other.texts)


def test_units_are_carried() -> None:
    """A diameter in inches goes into a drill in metres; a field in one drill's unit into the next one's."""
    cast = JOBS.job("job-shaft-head-shot")
    drawn = draw(cast, 1)
    assert drawn.exercises[1].given["D"] == pytest.approx(drawn.given["D"] * 0.0254, rel=1e-6)
    assert cast.parts[1].mould.read.drill.quantities["D"].unit == "m"


def test_seeds_outside_are_refused() -> None:
    """A negative seed and one beyond 63 bits get a sentence."""
    for seed in (-1, 2**63):
        with pytest.raises(Refused, match="a seed is a whole number"):
            draw(JOBS.job("job-two-codes"), seed)


def test_data_and_text_have_every_step() -> None:
    """`bank draw JOB --json` has a part for each step, with marks and where its numbers come from."""
    cast = JOBS.job("job-two-codes")
    drawn = draw(cast, 2)
    data = as_data(cast, drawn)
    assert [one["drill"] for one in data["parts"]] == [p.drill for p in cast.job.parts]
    assert [one["earlier"] for one in data["parts"]] == [{}, {"ratio": 1}, {"ratio": 1}, {"NI": 3}]
    assert sum(one["marks"] for one in data["parts"]) == data["marks"] == 6
    assert data["parts"][0]["answer"] == {"value": drawn.exercises[0].answer, "unit": "1"}
    assert json.loads(json.dumps(data)) == data
    assert as_text(cast, drawn).count("Step ") == 4


def test_a_job_is_added_in_one_file(tmp_path: Path) -> None:
    """A new file in a folder of one's own is a job that draws, without any code."""
    bank = SHELF.bank.jobs["job-two-codes"]
    source = Path(__file__).parents[2] / "question_bank"
    (tmp_path / "jobs").mkdir()
    text = (source / "jobs" / "job-two-codes.yaml").read_text(encoding="utf-8")
    own = text.replace("id: job-two-codes", "id: job-of-ours").replace(
        "- abs(ratio - 4) >= 0.1", "- ratio >= 5"
    )
    (tmp_path / "jobs" / "job-of-ours.yaml").write_text(own, encoding="utf-8")
    loaded = load_bank(source, tmp_path)
    shelf = Shelf(loaded)
    shelf.forms = SHELF.forms
    drawn = draw(JobShelf(shelf).job("job-of-ours"), 5)
    assert drawn.exercises[0].answer >= 5
    assert drawn.edition != bank.edition
