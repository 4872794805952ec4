"""The whole bank is spelt as it should be, by a list of misspellings that others keep."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

BANK = Path(__file__).parents[2] / "question_bank"
OURS = "trough,statics,planed,mater,gost"  # words of the trade and names that the list takes for slips


def misspelt(folder: Path) -> str:
    """What the list finds in the YAML files of a folder."""
    command = [sys.executable, "-m", "codespell_lib", "--ignore-words-list", OURS, "--skip", "*.json,*.po"]
    done = subprocess.run([*command, str(folder)], capture_output=True, text=True, timeout=120, check=False)
    assert done.stderr == "" or done.returncode, done.stderr
    return done.stdout


def test_no_word_of_the_bank_is_misspelt() -> None:
    """Questions, drills, jobs, plans, schemes, cautions and glossary."""
    assert misspelt(BANK) == ""


def test_a_misspelt_word_is_found(tmp_path: Path) -> None:
    """The list is there and read."""
    (tmp_path / "x.yaml").write_text("stem: Seperate the leads\n", encoding="utf-8")
    assert "Seperate ==> Separate" in misspelt(tmp_path)
