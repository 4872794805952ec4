"""Drill files with faults: each is found at its place and told what to write instead."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from pydantic import ValidationError

from tests.banks import small_shelf
from tests.work import calls_in
from trainer.bank import load_bank
from trainer.bank.drill import Values
from trainer.bank.reader import edition_of
from trainer.drills.checking import check_entry
from trainer.errors import Fault, FaultyFiles, NotFound
from trainer.formulas.solved import SolvedForms

TESTS = Path(__file__).parents[1]
BROKEN = sorted((TESTS / "broken_bank").glob("*.yaml"))


def _bank_with(file: Path, tmp_path: Path) -> Path:
    shutil.copy(TESTS / "small_bank" / "cautions.yaml", tmp_path)
    (tmp_path / "drills" / "coil").mkdir(parents=True)
    shutil.copy(file, tmp_path / "drills" / "coil" / "broken-drill.yaml")
    return tmp_path


def _faults(folder: Path) -> list[Fault]:
    try:
        bank = load_bank(folder)
    except FaultyFiles as faulty:
        return list(faulty.faults)
    return [f for e in bank.drills.values() for f in check_entry(bank, e, SolvedForms())[0]]


def test_there_are_broken_files() -> None:
    """The folder of broken files is not empty, so that the next test tests something."""
    assert len(BROKEN) >= 20


@pytest.mark.parametrize("file", BROKEN, ids=lambda f: f.stem)
def test_broken_drill_is_told_what_to_write(file: Path, tmp_path: Path) -> None:
    """The first line of each broken file names line and words; exactly that fault is reported there."""
    where, _, says = file.read_text(encoding="utf-8").splitlines()[0].removeprefix("# ").partition(": ")
    faults = _faults(_bank_with(file, tmp_path))
    assert [f.file for f in faults] == ["drills/coil/broken-drill.yaml"] * len(faults)
    assert [str(f.line) for f in faults] == where.split(","), [str(f) for f in faults]
    assert all(f.column >= 1 for f in faults)
    assert says in faults[0].says


def test_an_endless_grid_is_counted_not_made() -> None:
    """A grid of a million values is refused for the work of a small one: it cannot fill the memory."""

    def refused() -> None:
        with pytest.raises(ValidationError, match="more than 5000 values"):
            Values.model_validate({"from": 0, "to": 1_000_000, "step": 1})

    assert calls_in(refused) < 1000


@pytest.mark.parametrize(
    "name", ["drills/loose.yaml", "drills/coil/own.yml", "question/own.yaml", "questions/own.YAML", "glosary.yaml",
             "questions/own.yaml.txt"],
)  # fmt: skip
def test_a_file_that_nothing_reads_is_named(name: str, tmp_path: Path) -> None:
    """Another ending or another folder is told, not passed over."""
    folder = tmp_path / "bank"
    shutil.copytree(TESTS / "small_bank", folder)
    (folder / name).parent.mkdir(exist_ok=True)
    (folder / name).write_text("topic: own\n", encoding="utf-8")
    (fault,) = _faults(folder)
    assert (fault.file, fault.line) == (name, 1)
    assert "nothing reads this file" in fault.says


def test_faults_of_all_files_come_together(tmp_path: Path) -> None:
    """Several broken files are reported in one go."""
    folder = _bank_with(TESTS / "broken_bank" / "unknown-key.yaml", tmp_path)
    (folder / "bank.yaml").write_text("title: x\nedtion: '1'\n", encoding="utf-8")
    files = {f.file for f in _faults(folder)}
    assert files == {"bank.yaml", "drills/coil/broken-drill.yaml"}


def test_missing_folder_is_a_fault(tmp_path: Path) -> None:
    """A folder that is not there is named."""
    assert "there is no such folder" in _faults(tmp_path / "absent")[0].says


def test_unknown_drill_names_the_nearest() -> None:
    """A misspelt id gets a proposal."""
    with pytest.raises(NotFound, match="did you mean coil-low-fill-wall"):
        small_shelf().bank.drill("coil-low-fil-wall")


def test_edition_is_of_the_content_alone() -> None:
    """Order of keys does not change the edition; a value does."""
    assert edition_of({"a": 1, "b": 2}) == edition_of({"b": 2, "a": 1})
    assert edition_of({"a": 1}) != edition_of({"a": 2})
