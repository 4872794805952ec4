"""Verifiers of other authors (Node) agree with ours on every test record that can be read at all."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "records"))

from record_cases import GENUINE, ISSUERS, all_cases  # noqa: E402  # the cases stand beside the room's own tests

# The Data Integrity packages read base58 with white space behind it; ours and noble's do not. Nothing else differs.
LOOSER = {"by_data_integrity.mjs": {"signature with a blank behind"}, "by_noble.mjs": set[str]()}

READY = (HERE / "node_modules").is_dir() and shutil.which("node") is not None


def outcomes(script: str, folder: Path) -> dict[str, object]:
    """Run one Node verifier over all cases; what it says of each, by name."""
    if not READY:
        if os.environ.get("CI"):
            pytest.fail("Run `npm ci` in tests/outside first: on CI the outside verifiers must run.")
        pytest.skip("run `npm ci` in tests/outside to check against verifiers of other authors")
    file = folder / "cases.json"
    file.write_text(json.dumps({"cases": written_cases(), "issuers": written_issuers()}), encoding="utf-8")
    done = subprocess.run(
        ["node", str(HERE / script), str(file)], capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    found: dict[str, object] = json.loads(done.stdout)
    return found


def written_cases() -> list[dict[str, object]]:
    """The cases as JSON: bytes as base 64 and, where they are text, as text."""
    return [
        {
            "name": case.name,
            "document": case.document.decode("utf-8", "replace"),
            "document_hex": case.document.hex(),
            "status_hex": None if case.status is None else case.status.hex(),
            "on": case.on.isoformat(),
        }
        for case in all_cases()
        if len(case.document) < 2_500_000
    ]


def written_issuers() -> list[dict[str, object]]:
    """The pinned issuers as JSON."""
    return [
        {
            "did": one.did,
            "name": one.name,
            "valid_from": one.valid_from.isoformat() if one.valid_from else None,
            "valid_to": one.valid_to.isoformat() if one.valid_to else None,
            "introduced_by": one.introduced_by,
        }
        for one in ISSUERS
    ]


@pytest.mark.parametrize("script", ["by_noble.mjs", "by_data_integrity.mjs"])
def test_they_agree(script: str, tmp_path: Path) -> None:
    """Signature and pin: the outside verifier accepts exactly what ours calls genuine.

    Left out is what ours calls unreadable: they take, for instance, double members as JavaScript reads them.
    """
    found = outcomes(script, tmp_path)
    compared = [case for case in all_cases() if case.verdict != "unreadable" and case.status is None]
    assert len(compared) > 60
    wrong = {case.name for case in compared if found[case.name] is not (case.verdict in GENUINE)}
    assert wrong == LOOSER[script]
