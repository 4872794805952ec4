"""`trainer standing`: one history, a batch, a written practice, and every way to be refused."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from tests.qualification.making import practice, text_of, training
from trainer.cli import trainer

CASES = Path(__file__).parents[1] / "qualification" / "cases.yaml"
ROW_KEYS = {"id", "verdict", "have", "need", "unit", "until", "clause", "says"}


@pytest.fixture
def tess(tmp_path: Path) -> Path:
    """A history with twelve hours of training."""
    path = tmp_path / "tess.yaml"
    path.write_text(text_of(training("e1", "12.50")), encoding="utf-8")
    return path


def run(*words: object, instance: Path | None = None) -> Result:
    """Run the command as a person does."""
    before = ["--instance", str(instance)] if instance else []
    return CliRunner().invoke(trainer, [*before, "standing", *map(str, words)])


def judged(*words: object) -> dict[str, Any]:
    """The JSON of a standing."""
    result = run(*words, "--json")
    assert result.exit_code == 0, result.output
    found: dict[str, Any] = json.loads(result.stdout)
    return found


ASKED = ("--scheme", "SNT-2020", "--level", "1", "--on", "2025-06-30")


def test_json_has_the_stable_keys(tess: Path) -> None:
    """Scheme, level, day, prerequisites and overall, each prerequisite with its eight keys."""
    found = judged(tess, *ASKED)
    assert (found["scheme"], found["level"], found["on"]) == ("SNT-2020", "I", "2025-06-30")
    assert found["overall"] == "not_met"
    first = found["prerequisites"][0]
    assert first.keys() >= ROW_KEYS
    assert (first["id"], first["verdict"], first["have"], first["need"]) == ("training", "met", 12.5, 12)
    assert all(row.keys() >= ROW_KEYS for row in found["prerequisites"])
    assert found["written_practice"] is None


def test_words_for_a_person(tess: Path) -> None:
    """Without --json the answer is text that certifies nobody."""
    result = run(tess, *ASKED)
    assert result.exit_code == 0
    assert "Standing of Tess on 2025-06-30" in result.output
    assert "NOT MET  vision_near" in result.output
    assert "on these records" in result.output
    assert "unconfirmed, check your copy" in result.output


def test_the_published_cases_as_a_batch() -> None:
    """The 36 cases run as they are: one JSON line each, in order, with its id."""
    result = run("--batch", CASES, "--json")
    assert result.exit_code == 0
    lines = [json.loads(line) for line in result.stdout.splitlines()]
    assert len(lines) == 36
    assert (lines[0]["id"], lines[0]["overall"]) == ("C01", "met")
    assert all(line.keys() >= {"id", "scheme", "level", "on", "prerequisites", "overall"} for line in lines)


def test_a_batch_with_a_fault_ends_with_two(tmp_path: Path) -> None:
    """A faulty case is a line with id and error, the others go on, and the exit code is 2 at the end."""
    path = tmp_path / "all.yaml"
    good = {"scheme": "SNT-2020", "level": "I", "on": "2025-06-30", "history": []}
    bad = {**good, "history": [{**training("e7"), "date": "2025-02-29", "from": None, "to": None}]}
    path.write_text(json.dumps([{"id": "A", **bad}, {"id": "B", **good}]), encoding="utf-8")
    result = run(path, "--batch", "--json")
    first, second = [json.loads(line) for line in result.stdout.splitlines()]
    assert result.exit_code == 2
    assert first.keys() == {"id", "error"}
    assert first["error"].startswith(f"{path}:1: entry e7: date '2025-02-29'")
    assert second["id"] == "B"
    text = run(path, "--batch")
    assert text.exit_code == 2
    assert text.stdout.splitlines()[1].startswith("B: Prerequisites are not all met")


def test_a_written_practice_as_the_scheme(tess: Path, tmp_path: Path) -> None:
    """A file given as --scheme brings its own base and figures."""
    path = tmp_path / "practice.yaml"
    path.write_text(json.dumps(practice("SNT-2020", **{"training.I": 14})), encoding="utf-8")
    found = judged(tess, "--scheme", path, "--level", "I", "--on", "2025-06-30")
    assert found["scheme"] == "SNT-2020"
    assert found["prerequisites"][0]["need"] == 14
    assert found["written_practice"] == {"revision": "4", "in_force": "2024-01-01"}


def test_an_employers_own_scheme(tess: Path, tmp_path: Path) -> None:
    """A scheme in the instance folder is judged like a shipped one, without code."""
    folder = tmp_path / "instance" / "question_bank" / "schemes"
    folder.mkdir(parents=True)
    (folder / "OURS-1.yaml").write_text(
        'id: OURS-1\ndocument: Our own document\nedition: "1"\nnature: invented\nlevels: [I]\noverrides: any\n'
        "figures:\n  training.I: {value: 13, unit: h, status: ours, confidence: high, note: ours}\n",
        encoding="utf-8",
    )
    words = (tess, "--scheme", "OURS-1", "--level", "I", "--on", "2025-06-30", "--json")
    result = run(*words, instance=tmp_path / "instance")
    assert json.loads(result.stdout)["prerequisites"][0]["need"] == 13


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--scheme", "SNT-1066", "--level", "I", "--on", "2025-06-30"), "no scheme and no file 'SNT-1066'"),
        (("--level", "I", "--on", "2025-06-30"), "by which scheme"),
        (("--scheme", "SNT-2020", "--level", "III", "--on", "2025-06-30"), "which level"),
        (("--scheme", "SNT-2020", "--on", "2025-06-30"), "which level"),
        (("--scheme", "SNT-2020", "--level", "I", "--on", "2025-02-30"), "for which day"),
        (("--scheme", "SNT-2020", "--level", "I"), "for which day"),
        (("--scheme", "ACCP-II", "--level", "I", "--on", "2025-06-30"), "Level II only"),
        (("--batch", "--level", "I"), "with --batch"),
    ],
)
def test_what_is_asked_wrongly(tess: Path, words: tuple[str, ...], says: str) -> None:
    """A question that cannot be judged gets one sentence on standard error and exit code 2."""
    result = run(tess, *words)
    assert result.exit_code == 2
    assert says in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1
    assert result.stdout == ""


@pytest.mark.parametrize("content", [b"", b"\xff\xfe", b"history: [", b"x" * 1_000_001, b"person: Tess"])
def test_a_file_that_cannot_be_read(tmp_path: Path, content: bytes) -> None:
    """A file that is no history gets one sentence that begins with file and line."""
    path = tmp_path / "bad.yaml"
    path.write_bytes(content)
    result = run(path, *ASKED)
    assert result.exit_code == 2
    assert re.match(re.escape(str(path)) + ":[12]: ", result.stderr)
    assert len(result.stderr.strip().splitlines()) == 1


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """A missing file is told as such."""
    result = run(tmp_path / "nobody.yaml", *ASKED)
    assert result.exit_code == 2
    assert "cannot be opened" in result.stderr
