"""Checklists of practical examinations: shipped ones are whole, faulty ones are told at their place."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from trainer.bank import Bank, load_bank
from trainer.bank.checklists import practical_of
from trainer.errors import FaultyFiles, NotFound

SMALL = Path(__file__).parents[1] / "small_bank"


@pytest.fixture(scope="module")
def bank() -> Bank:
    """The shipped bank."""
    return shipped_shelf().bank


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The small bank with its two checklists, to be spoilt."""
    return Path(shutil.copytree(SMALL, tmp_path / "bank"))


def faults(folder: Path) -> list[str]:
    """What the reader says about a spoilt bank."""
    with pytest.raises(FaultyFiles) as caught:
        load_bank(folder)
    return [f"{fault.file}:{fault.line}: {fault.says}" for fault in caught.value.faults]


def spoil(folder: Path, name: str, old: str, new: str) -> None:
    """Write something else into a checklist."""
    file = folder / "practicals" / name
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")


def test_each_technique_stands_at_both_levels(bank: Bank) -> None:
    """At least ten techniques, each with a Level I and a Level II checklist that builds on it."""
    levels: dict[str, list[str]] = {}
    for entry in bank.practicals.values():
        levels.setdefault(entry.practical.technique, []).append(entry.practical.level)
    assert len(levels) >= 10
    assert all(sorted(found) == ["I", "II"] for found in levels.values()), levels


def test_weights_are_those_of_the_source(bank: Bank) -> None:
    """Areas count 20, 35, 45 at Level I and 10, 20, 55, 15 at Level II, as the named source divides them."""
    for entry in bank.practicals.values():
        wanted = [20, 35, 45] if entry.practical.level == "I" else [10, 20, 55, 15]
        assert [entry.practical.weights[area] for area in entry.practical.areas] == wanted, entry.id


def test_cautions_and_critical_points_stand_everywhere(bank: Bank) -> None:
    """No checklist without a caution, and none whose only critical point is about paper."""
    for entry in bank.practicals.values():
        whole = entry.practical
        assert whole.cautions, entry.id
        working = [p for area in ("apparatus", "application") for p in whole.checkpoints[area]]  # type: ignore[index]
        assert any(point.critical for point in working), entry.id


def test_level_ii_has_the_points_of_level_i_first(bank: Bank) -> None:
    """A checklist that builds on another holds all of its points, before its own."""
    first, second = (bank.practical(f"yoke-ac-weld-{n}").practical for n in (1, 2))
    for area, points in first.checkpoints.items():
        assert second.checkpoints[area][: len(points)] == points


def test_a_kept_edition_reads_back(bank: Bank) -> None:
    """What is kept of a joined checklist gives the same checklist and the same edition."""
    entry = bank.practical("prods-dry-2")
    again = practical_of(entry.located.data)
    assert (again.practical, again.edition) == (entry.practical, entry.edition)


def test_unknown_checklist_names_the_nearest(bank: Bank) -> None:
    """A misspelt id gets a proposal."""
    with pytest.raises(NotFound, match="head-shot-1"):
        bank.practical("head-shot-3")


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        ("bench-1.yaml", "apparatus: 20", "apparatus: 21", "add up to 101"),
        ("bench-1.yaml", "id: bench-1", "id: bench-9", "the id must be the file's name"),
        ("bench-1.yaml", "cautions: [current]", "cautions: [currant]", "no caution 'currant'"),
        ("bench-1.yaml", "id: p2", "id: p1", "'p1' stands twice"),
        ("bench-1.yaml", "critical: true", "critical: false", "no checkpoint is critical"),
        ("bench-1.yaml", "least: 1", "least: 5", "least must not be above most"),
        ("bench-2.yaml", "builds_on: bench-1", "builds_on: bench-2", "no practical 'bench-2'"),
        ("bench-2.yaml", "builds_on: bench-1\n", "", "at least 10 checkpoints wanted, 2 found"),
        ("bench-2.yaml", "level: II", "level: I", "belongs to Level II"),
    ],
)
def test_faults_are_told(folder: Path, name: str, old: str, new: str, says: str) -> None:
    """Each way to spoil a checklist is found in its file and told in words."""
    spoil(folder, name, old, new)
    assert any(name.split(".")[0] in one and says in one for one in faults(folder)), faults(folder)
