"""Question files for tests: a sound one, and copies of it with one thing changed."""

from __future__ import annotations

import shutil
from pathlib import Path

from trainer.drills.shelf import Shelf

SMALL = Path(__file__).parents[1] / "small_bank"
SOUND = (SMALL / "questions" / "prods.yaml").read_text(encoding="utf-8")


def bank_with(tmp_path: Path, old: str = "", new: str = "") -> Path:
    """The small bank with the sound question file alone, one text in it replaced."""
    folder = tmp_path / "bank"
    shutil.copytree(SMALL, folder)
    (folder / "questions" / "coil.yaml").unlink()
    assert old in SOUND
    (folder / "questions" / "prods.yaml").write_text(SOUND.replace(old, new, 1), encoding="utf-8")
    return folder


def shelf_with(tmp_path: Path, old: str = "", new: str = "") -> Shelf:
    """A shelf over such a bank."""
    return Shelf.of_folder(bank_with(tmp_path, old, new))
