"""Kept readings: the same bank without reading YAML, and never one of another text."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from trainer.bank import load_bank, readings
from trainer.bank.readings import reading
from trainer.errors import FaultyFiles

SMALL = Path(__file__).parents[1] / "small_bank"
TEXT = b"a: 1\nb:\n  - x\n  - {c: 2.5, d: true}\n"


@pytest.fixture
def no_yaml(monkeypatch: pytest.MonkeyPatch) -> pytest.MonkeyPatch:
    """From here on reading YAML is an error."""

    def refuse(*_: object) -> None:
        raise AssertionError("YAML was read again")

    monkeypatch.setattr(readings, "read_yaml", refuse)
    return monkeypatch


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A file that has been read once."""
    file = tmp_path / "x.yaml"
    file.write_bytes(TEXT)
    reading(file, TEXT, "x.yaml")
    return file


def kept(file: Path) -> Path:
    """Where the reading of a file lies."""
    return file.parent / "__pycache__" / "x.yaml.json"


def test_bank_is_the_same_without_reading_it_again(tmp_path: Path, request: pytest.FixtureRequest) -> None:
    """The second load gives equal drills, jobs and editions, and reads no YAML."""
    folder = tmp_path / "bank"
    shutil.copytree(SMALL, folder, ignore=shutil.ignore_patterns("__pycache__"))
    first = load_bank(folder)
    request.getfixturevalue("no_yaml")
    again = load_bank(folder)
    assert {d: (e.drill, e.edition) for d, e in again.drills.items()} == {
        d: (e.drill, e.edition) for d, e in first.drills.items()
    }
    assert (again.page, again.cautions, again.terms) == (first.page, first.cautions, first.terms)


def test_changed_file_is_read_again(file: Path) -> None:
    """Another text under the same name is not what was kept."""
    assert reading(file, b"a: 2\n", "x.yaml").data == {"a": 2}


def test_fault_points_at_its_line(file: Path) -> None:
    """A kept reading still knows where everything stood."""
    again = reading(file, TEXT, "x.yaml")
    assert again.mark(("b", 1, "c")) == (4, 9)
    assert again.mark(("b", 1, "missing")) == (4, 5)
    assert len(again.marks) == len(list(again.marks)) == 7


@pytest.mark.parametrize("text", ["", "{", "[]", "{}", '{"of": null}', "[" * 100_000])
def test_damaged_reading_is_left_aside(file: Path, text: str) -> None:
    """A reading that cannot be used is made anew."""
    kept(file).write_text(text)
    assert reading(file, TEXT, "x.yaml").data["a"] == 1
    assert json.loads(kept(file).read_text())["data"]["a"] == 1


def test_reading_of_another_reader_is_not_believed(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the reader changes, everything is read again."""
    kept(file).write_text(kept(file).read_text().replace("2.5", "3.5"))
    assert reading(file, TEXT, "x.yaml").data["b"][1]["c"] == 3.5
    monkeypatch.setattr(readings, "_reader", lambda: b"another")
    assert reading(file, TEXT, "x.yaml").data["b"][1]["c"] == 2.5


def test_folder_that_cannot_be_written_is_no_hindrance(tmp_path: Path) -> None:
    """Where nothing can be kept, files are read each time."""
    (tmp_path / "__pycache__").write_text("a file where the folder would be")
    file = tmp_path / "x.yaml"
    for _ in range(2):
        assert reading(file, TEXT, "x.yaml").data["a"] == 1
    assert [one.name for one in tmp_path.iterdir()] == ["__pycache__"]


def test_faulty_file_is_not_kept(tmp_path: Path) -> None:
    """A file with faults names them every time."""
    for _ in range(2):
        with pytest.raises(FaultyFiles):
            reading(tmp_path / "x.yaml", b"a: 1\na: 2\n", "x.yaml")
    assert not (tmp_path / "__pycache__").exists()
