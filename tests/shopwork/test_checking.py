"""Every fault of a technique and of power.yaml has its line and a sentence; a new technique is one file."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from trainer.bank import load_bank
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles
from trainer.shopwork.checking import check_power, check_technique
from trainer.shopwork.sheet import Asked, work_part
from trainer.shopwork.shelf import ShopShelf

SMALL = Path(__file__).parents[1] / "small_bank"


def said(folder: Path, name: str, old: str, new: str) -> list[str]:
    """Change one text of a file in a copy of the small bank; return what the check says."""
    shutil.copytree(SMALL, folder)
    file = folder / name
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    try:
        bank = load_bank(folder)
    except FaultyFiles as faulty:
        return [str(fault) for fault in faulty.faults]
    assert bank.power is not None
    faults = [fault for entry in bank.techniques.values() for fault in check_technique(bank, entry)]
    return [str(fault) for fault in (*faults, *check_power(bank, bank.power))]


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("id: coil\n", "id: wrap\n", "1:5: the id must be the file's name, 'coil'"),
        ("drill: coil-low-fill-wall", "drill: coil-low", "there is no drill 'coil-low'"),
        ("fill >= 10", "fil >= 10", "'fil' is not a quantity"),
        ("(coil/D)**2", "(coil/E)**2", "'E' is not a quantity"),
        ("finds: [I, N, L]", "finds: [I, N, D, L, Q]", "'Q' is not a quantity of this technique"),
        ("given: {L: L, D: D,", "given: {L: L, D: D, Z: L,", "'Z' is not a quantity of coil-low-fill-wall"),
        ("N: N, I: I}", "N: N, I: L}", "measure different things"),
        ("N: N, I: I}", "N: N}", "no case gives 'I'"),
        ("chosen: {rule: [to]}", "chosen: {rule: [too]}", "has no word 'too'"),
        ("chosen: {rule: [to]}", "chosen: {role: [to]}", "'role' is not an option"),
        ("current: I", "current: J", "'J' is not a quantity"),
        ("  - id: nothing", "  - id: low-wall", "stands twice"),
        ("    given: {L: L, D: D, N: N, I: I}\n", "", "a case has a drill and what it is given, or neither"),
        ("N: {name: turns, unit: \"1\", of: Coil}", "N: {name: turns, unit: turnz, of: Coil}", "not a unit"),
        ("  coil: {name: coil bore", "  duty: {name: coil bore, unit: in}\n  coil: {name: coil bore", "name of a field"),
    ],
)  # fmt: skip
def test_faults_of_a_technique(tmp_path: Path, old: str, new: str, says: str) -> None:
    """The check names the file and says what is wrong."""
    found = said(tmp_path / "bank", "techniques/coil.yaml", old, new)
    assert any("techniques/coil.yaml:" in text and says in text for text in found), found


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("current <= rated", "curent <= rated", "'curent' is not a quantity"),
        ("leads:\n", "steps:\n  - {title: T, drill: duty-x, find: D2, answer: a, given: {I2: current}}\nleads:\n", "no drill 'duty-x'"),
        ("leads:\n", "steps:\n  - {title: T, drill: coil-low-fill-wall, find: X, answer: a, given: {I: current}}\nleads:\n", "'X' is not a quantity"),
        ("leads:\n", "steps:\n  - {title: T, drill: coil-low-fill-wall, find: NI, answer: a, given: {I: period}}\nleads:\n", "different things"),
        ("resistance: 0.206", "resistance: -1.0", "above 0"),
    ],
)  # fmt: skip
def test_faults_of_power(tmp_path: Path, old: str, new: str, says: str) -> None:
    """The questions to a pack are checked like a technique."""
    found = said(tmp_path / "bank", "power.yaml", old, new)
    assert any(text.startswith("power.yaml:") and says in text for text in found), found


def test_the_shipped_ones_have_no_fault() -> None:
    """Every technique of the bank and its power.yaml pass the check, and every case rests on a named source."""
    bank = shipped_shelf().bank
    assert bank.power is not None
    assert [f for entry in bank.techniques.values() for f in check_technique(bank, entry)] == []
    assert check_power(bank, bank.power) == []
    assert {"coil", "prods", "head-shot", "central-conductor", "yoke", "demagnetization"} <= set(
        bank.techniques
    )


def test_a_new_technique_is_one_file(tmp_path: Path) -> None:
    """A file put into the folder is a technique that is chosen and worked."""
    shutil.copytree(SMALL, tmp_path / "bank")
    text = (SMALL / "techniques/coil.yaml").read_text(encoding="utf-8")
    (tmp_path / "bank/techniques/ring-coil.yaml").write_text(
        text.replace("id: coil\n", "id: ring-coil\n"), encoding="utf-8"
    )
    shop = ShopShelf(Shelf.of_folder(tmp_path / "bank"))
    made = work_part(shop, Asked("ring-coil", {"L": "10 in", "D": "2 in", "coil": "12 in", "N": "5"}))
    assert made.result is not None
    assert made.result.value == pytest.approx(1800)
