"""The employer's own items: merged into the bank, checked like the shipped ones, and never the end of the start."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.questions.writing import SMALL, SOUND
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles
from trainer.services.authoring import banks
from trainer.services.authoring.banks import open_shelf

DRILL = SMALL / "drills" / "coil" / "coil-low-fill-wall.yaml"
OWN = SOUND.replace("drill: coil-low-fill-wall", "drill: own-coil").replace("topic: prods", "topic: own")


@pytest.fixture
def private(tmp_path: Path) -> Path:
    """A private folder with a drill, a question and one with numbers."""
    folder = tmp_path / "question_bank"
    (folder / "drills" / "coil").mkdir(parents=True)
    (folder / "questions").mkdir()
    text = DRILL.read_text(encoding="utf-8").replace("id: coil-low-fill-wall", "id: own-coil")
    (folder / "drills" / "coil" / "own-coil.yaml").write_text(text, encoding="utf-8")
    (folder / "questions" / "own.yaml").write_text(OWN, encoding="utf-8")
    return folder


def says(shelf: Shelf) -> list[str]:
    """The faults of own items as text."""
    return [str(fault) for fault in shelf.bank.private_faults]


def test_own_items_stand_beside_the_shipped_ones(private: Path) -> None:
    """Drill, question and numbers are in the bank and known as the employer's own."""
    bank = open_shelf(private, seeds=5).bank
    assert bank.private_faults == ()
    assert bank.private == {"own-coil", "lift-the-prods", "pick-amperes"}
    assert "prod-current-asme" in bank.drills
    assert bank.page.title != "own"


def test_a_topic_may_be_a_folder(private: Path) -> None:
    """Questions in files of their own stand in the topic that their folder names; another topic is a fault."""
    folder = private / "questions" / "own"
    folder.mkdir()
    (private / "questions" / "own.yaml").rename(folder / "lift.yaml")
    assert {"lift-the-prods", "pick-amperes"} <= open_shelf(private).bank.private
    folder.rename(private / "questions" / "other")
    assert any("the folder's name, 'other'" in one for one in says(open_shelf(private)))


def test_no_folder_is_no_fault(tmp_path: Path) -> None:
    """Most installations have no own items."""
    bank = open_shelf(tmp_path / "question_bank").bank
    assert (bank.private, bank.private_faults) == (frozenset(), ())


@pytest.mark.parametrize(
    ("file", "old", "new", "told"),
    [
        ("questions/own.yaml", "topic: own", "topic: [", "this is not YAML"),
        ("questions/own.yaml", "right: true, ", "", "one option must be right"),
        ("questions/own.yaml", "id: pick-amperes", "id: prod-current-asme", "another item with the id"),
        ("questions/own.yaml", "kind: prods-on-plate", "kind: nothing", "there is no figure"),
        ("drills/coil/own-coil.yaml", "id: own-coil", "id: another", "the id must be the file's name"),
        ("drills/coil/own-coil.yaml", "NI = ", "NI = 3 +* ", "own-coil.yaml"),
    ],
)
def test_a_faulty_file_is_left_out_and_told(private: Path, file: str, old: str, new: str, told: str) -> None:
    """The rest of the bank is there; the fault names the file with line and says what to do."""
    path = private / file
    text = path.read_text(encoding="utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    shelf = open_shelf(private)
    assert any(one.startswith(f"question_bank/{file}:") and told in one for one in says(shelf)), says(shelf)
    assert "coil-bar-laid-across" in shelf.bank.questions


def test_what_builds_on_a_faulty_drill_goes_with_it(private: Path) -> None:
    """A question with numbers of a drill that was left out is left out too, and both are told."""
    path = private / "drills" / "coil" / "own-coil.yaml"
    path.write_text(path.read_text(encoding="utf-8").replace("cautions: [", "cautions: [no-such, ", 1))
    shelf = open_shelf(private)
    assert shelf.bank.private == {"lift-the-prods"}
    assert any("no caution 'no-such'" in one for one in says(shelf))
    assert any("there is no drill 'own-coil'" in one for one in says(shelf))


def test_an_own_question_may_name_a_shipped_enemy(private: Path) -> None:
    """The shipped one cannot name it back."""
    path = private / "questions" / "own.yaml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("status: ours}", "status: ours}\n    enemies: [prods-switch-order]", 1))
    assert says(open_shelf(private)) == []


def test_a_drill_kept_for_examinations_is_not_practised(private: Path) -> None:
    """It stands among what may be scored, and not among what is practised."""
    path = private / "drills" / "coil" / "own-coil.yaml"
    path.write_text(path.read_text(encoding="utf-8") + "examination_only: true\n", encoding="utf-8")
    bank = open_shelf(private).bank
    assert bank.private_faults == ()
    assert "own-coil" not in [drill.id for drill in bank.topics()["coil"]]
    assert "own-coil" in [drill.id for drill in bank.topics(scored=True)["coil"]]


def test_a_fault_of_the_shipped_bank_stops_the_start(
    private: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What came with the program must be whole."""
    shipped = tmp_path / "shipped"
    shutil.copytree(SMALL, shipped)
    (shipped / "bank.yaml").write_text("titel: x\n", encoding="utf-8")
    monkeypatch.setattr(banks, "bank_folder", lambda: shipped)
    with pytest.raises(FaultyFiles, match="titel"):
        open_shelf(private)
