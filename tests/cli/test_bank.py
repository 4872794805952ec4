"""`trainer bank`: keys that scripts depend on, and exit codes."""

from __future__ import annotations

import json
import shutil
import zipfile
from pathlib import Path

from click.testing import CliRunner

from trainer.cli import trainer
from trainer.settings import bank_folder

TESTS = Path(__file__).parents[1]
KEYS = {"drill", "edition", "seed", "find", "given", "answer", "accepted", "slips", "working", "source"}


def test_sound_bank_exits_with_0() -> None:
    """A bank without faults is counted, with nothing on standard error."""
    done = CliRunner().invoke(trainer, ["bank", "check", str(TESTS / "small_bank"), "--seeds", "5", "--json"])
    data = json.loads(done.stdout)
    assert (done.exit_code, data["faults"], data["counts"]["drills"]) == (0, [], 2)


def test_faults_exit_with_1(tmp_path: Path) -> None:
    """Every fault has file, line, column and what to write."""
    (tmp_path / "bank.yaml").write_text("title: x\nedtion: '1'\n", encoding="utf-8")
    done = CliRunner().invoke(trainer, ["bank", "check", str(tmp_path), "--json"])
    assert done.exit_code == 1
    assert all(set(f) == {"file", "line", "column", "says"} for f in json.loads(done.stdout)["faults"])
    plain = CliRunner().invoke(trainer, ["bank", "check", str(tmp_path)])
    assert "bank.yaml:2:9: the key 'edtion' is not known here" in plain.stderr


def test_schemes_belong_to_the_bank(tmp_path: Path) -> None:
    """Schemes are counted, and their faults come together with those of the items."""
    shutil.copytree(TESTS / "small_bank", tmp_path / "bank")
    schemes = tmp_path / "bank" / "schemes"
    schemes.mkdir()
    shutil.copy(bank_folder() / "schemes" / "SNT-2020.yaml", schemes)
    wanted = ["bank", "check", str(tmp_path / "bank"), "--seeds", "0", "--json"]
    assert json.loads(CliRunner().invoke(trainer, wanted).stdout)["counts"]["schemes"] == 1
    (schemes / "OURS.yaml").write_text("id: OURS\nnonsense: 1\n", encoding="utf-8")
    (tmp_path / "bank" / "bank.yaml").write_text("titel: x\n", encoding="utf-8")
    done = CliRunner().invoke(trainer, wanted)
    assert done.exit_code == 1
    assert {f["file"] for f in json.loads(done.stdout)["faults"]} == {"schemes/OURS.yaml", "bank.yaml"}


def test_a_folder_without_a_bank_is_said_to_be_none(tmp_path: Path) -> None:
    """A wrong folder is a fault, not a bank without faults."""
    done = CliRunner().invoke(trainer, ["bank", "check", str(tmp_path)])
    assert done.exit_code == 1
    assert "there is no question bank in this folder" in done.stderr


def test_draw_has_its_keys() -> None:
    """An exercise as JSON has the keys that scripts depend on."""
    done = CliRunner().invoke(trainer, ["bank", "draw", "coil-low-fill-wall", "--seed", "7", "--json"])
    data = json.loads(done.stdout)
    assert data.keys() >= KEYS
    assert data["given"]["L"]["unit"] == "in"
    assert data["accepted"].keys() == {"low", "high", "unit"}
    assert all(s.keys() == {"id", "value", "unit", "says"} for s in data["slips"])


def test_draw_takes_a_job_as_well() -> None:
    """A job as JSON has a part for each step, each with the keys of an exercise; --find is refused."""
    done = CliRunner().invoke(trainer, ["bank", "draw", "job-two-codes", "--seed", "7", "--json"])
    data = json.loads(done.stdout)
    assert data.keys() >= {"job", "edition", "seed", "prompt", "given", "marks", "parts"}
    assert all(part.keys() >= KEYS | {"marks", "earlier"} for part in data["parts"])
    plain = CliRunner().invoke(trainer, ["bank", "draw", "job-two-codes", "--seed", "7"])
    assert "Step 4, 1 mark: " in plain.stdout
    refused = CliRunner().invoke(trainer, ["bank", "draw", "job-two-codes", "--find", "NI"])
    assert refused.exit_code == 1
    assert "leave --find out" in refused.stderr


def test_check_draws_jobs(tmp_path: Path) -> None:
    """A bank with a job counts it; a fault in the job has its place and exit code 1."""
    folder = tmp_path / "bank"
    shutil.copytree(TESTS / "small_bank", folder)
    done = CliRunner().invoke(trainer, ["bank", "check", str(folder), "--seeds", "5", "--json"])
    data = json.loads(done.stdout)
    assert (done.exit_code, data["counts"]["jobs"], data["finds"][-1]["find"]) == (0, 1, "3 steps")
    file = folder / "jobs" / "job-small-coil.yaml"
    file.write_text(file.read_text(encoding="utf-8").replace("{NI: NI}", "{NI: N1}", 1), encoding="utf-8")
    done = CliRunner().invoke(trainer, ["bank", "check", str(folder), "--seeds", "5"])
    assert done.exit_code == 1
    assert "'N1' is not the answer of a step before" in done.stderr


def test_unknown_drill_exits_with_2() -> None:
    """One sentence on standard error, nothing on standard output."""
    done = CliRunner().invoke(trainer, ["bank", "draw", "coil-low-fil-wall"])
    assert (done.exit_code, done.stdout) == (2, "")
    assert "did you mean coil-low-fill-wall" in done.stderr


def test_a_topic_as_qti(tmp_path: Path) -> None:
    """The ZIP holds an item a file, the words do not claim more than was checked; no topic exits with 2."""
    out = tmp_path / "coil.zip"
    done = CliRunner().invoke(trainer, ["bank", "qti", "questions/coil", "--out", str(out)])
    assert (done.exit_code, "not checked against the schema" in done.stdout) == (0, True)
    with zipfile.ZipFile(out) as pack:
        assert "coil-bar-laid-across-0.xml" in pack.namelist()
    none = CliRunner().invoke(trainer, ["bank", "qti", "questions/none", "--out", str(tmp_path / "x.zip")])
    assert (none.exit_code, (tmp_path / "x.zip").exists()) == (2, False)


def test_schemas_are_written(tmp_path: Path) -> None:
    """Each kind of file gets its schema."""
    CliRunner().invoke(trainer, ["bank", "schemas", str(tmp_path)])
    assert {p.name for p in (tmp_path / "schemas").iterdir()} == {
        "drill.json",
        "job.json",
        "practical.json",
        "questions.json",
        "paper.json",
        "bank.json",
        "power.json",
        "technique.json",
        "cautions.json",
        "glossary.json",
    }


def test_own_items_are_checked(tmp_path: Path) -> None:
    """`--private` looks at the own items of the instance, and at nothing else."""
    (tmp_path / "question_bank" / "questions").mkdir(parents=True)
    file = tmp_path / "question_bank" / "questions" / "own.yaml"
    file.write_text("topic: own\nquestions: [{id: x}]\n", encoding="utf-8")
    wanted = ["--instance", str(tmp_path), "bank", "check", "--private"]
    done = CliRunner().invoke(trainer, wanted)
    assert done.exit_code == 1
    assert "question_bank/questions/own.yaml:2:13: the key 'level' is missing" in done.stderr
    file.unlink()
    done = CliRunner().invoke(trainer, [*wanted, "--json"])
    assert (done.exit_code, json.loads(done.stdout)["counts"]) == (
        0,
        {"drills": 0, "jobs": 0, "questions": 0},
    )


def test_a_question_can_be_looked_at() -> None:
    """`bank draw` shows a question with its key; a find belongs to drills alone."""
    done = CliRunner().invoke(trainer, ["bank", "draw", "coil-bar-laid-across", "--seed", "7", "--json"])
    assert json.loads(done.stdout)["key"] == "B"
    assert "[right: " in CliRunner().invoke(trainer, ["bank", "draw", "coil-bar-laid-across"]).stdout
    refused = CliRunner().invoke(trainer, ["bank", "draw", "coil-bar-laid-across", "--find", "I"])
    assert "leave --find out" in refused.stderr
