"""Question files for tests: a sound one, and copies of it with one thing changed."""

from __future__ import annotations

from pathlib import Path

from trainer.drills.shelf import Shelf

SMALL = Path(__file__).parents[1] / "small_bank"
SOUND = """topic: prods
questions:
  - id: lift-the-prods
    level: I
    part: general
    pool: practice
    safety: true
    stem: "When are the prods lifted off the plate?"
    picture: {kind: prods-on-plate, roles: {spacing: 6 in}}
    options:
      - {text: "After the current is off", right: true, because: "Lifting them earlier draws an arc."}
      - {text: "While it flows, to save time", because: "The arc burns plate and hand."}
      - {text: "When the powder has settled down", because: "The powder says nothing of the current."}
      - {text: "As soon as the meter has risen", because: "Then it flows at its fullest."}
    fact: {id: "1", document: "Physics", edition: "undated", clause: "arcs", status: ours}
numbers:
  - {id: pick-amperes, drill: coil-low-fill-wall, find: I, level: I, part: specific, pool: examination}
"""


def bank_with(tmp_path: Path, old: str = "", new: str = "") -> Path:
    """The small bank with the sound question file, one text in it replaced."""
    import shutil

    folder = tmp_path / "bank"
    shutil.copytree(SMALL, folder)
    (folder / "questions").mkdir(exist_ok=True)
    assert old in SOUND
    (folder / "questions" / "prods.yaml").write_text(SOUND.replace(old, new, 1), encoding="utf-8")
    return folder


def shelf_with(tmp_path: Path, old: str = "", new: str = "") -> Shelf:
    """A shelf over such a bank."""
    return Shelf.of_folder(bank_with(tmp_path, old, new))
