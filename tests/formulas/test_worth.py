"""The kept worth of units: what pint works out, and never a thing that pint would not say."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from trainer.formulas import units, worth

EXPRESSIONS = {name: expression for name, expression, _, _ in units._rows()}


def test_kept_table_is_what_pint_works_out() -> None:
    """The table in the house is of the definitions as they stand (TRAINER_WRITE_GOLDEN=1 writes it anew)."""
    if os.environ.get("TRAINER_WRITE_GOLDEN") == "1":
        worth.KEPT.write_text(worth.table(EXPRESSIONS), encoding="utf-8")
    assert worth.KEPT.read_text(encoding="utf-8") == worth.table(EXPRESSIONS)
    assert worth.worth_of(EXPRESSIONS) == worth.worked_out(EXPRESSIONS)


def test_changed_definition_is_worked_out_again() -> None:
    """A table made from other definitions is not believed."""
    changed = EXPRESSIONS | {"in": "2*inch"}
    assert worth.worth_of(changed)["in"].factor == 2 * worth.worth_of(EXPRESSIONS)["in"].factor


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"made_from": 1}', "{" * 500])
def test_damaged_table_is_left_aside(text: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A table that cannot be read costs time, nothing else."""
    (tmp_path / "worth.json").write_text(text)
    monkeypatch.setattr(worth, "KEPT", tmp_path / "worth.json")
    assert worth.worth_of({"in": "inch"})["in"].factor == 0.0254


def test_table_with_odd_rows_is_left_aside(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A row of the wrong length is no worth."""
    kept = {"made_from": worth.made_from({"in": "inch"}), "units": {"in": ["length"]}}
    (tmp_path / "worth.json").write_text(json.dumps(kept))
    monkeypatch.setattr(worth, "KEPT", tmp_path / "worth.json")
    assert worth.worth_of({"in": "inch"})["in"].factor == 0.0254


def test_reading_the_bank_imports_neither_pint_nor_sympy() -> None:
    """A warm start leaves both unloaded: units and solved forms are kept as text."""
    program = (
        "import sys; from trainer.drills.shelf import Shelf; from trainer.settings import bank_folder; "
        "s = Shelf.of_folder(bank_folder()); [s.mould(d, f) for d, e in s.bank.drills.items() for f in e.drill.finds]; "
        "print(sorted({'pint', 'sympy'} & set(sys.modules)))"
    )
    found = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert found.stdout.strip() == "[]"
