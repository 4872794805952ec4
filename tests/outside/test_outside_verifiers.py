"""Verifiers of other authors (Node) agree with ours on every test record that can be read at all."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

from trainer.languages import LANGUAGES, reading_in
from trainer.records.verification import Verdict, verify
from trainer.records.verify_page import verify_page

HERE = Path(__file__).parent
sys.path.insert(0, str(HERE.parent / "records"))

from record_cases import GENUINE, ISSUERS, all_cases  # noqa: E402  # the cases stand beside the room's own tests

# The Data Integrity packages read base58 with white space behind it; ours and noble's do not. Nothing else differs.
LOOSER = {"by_data_integrity.mjs": {"signature with a blank behind"}, "by_noble.mjs": set[str]()}

READY = (HERE / "node_modules").is_dir() and shutil.which("node") is not None


def outcomes(script: str, folder: Path, *more: str, ready: bool = READY) -> dict[str, object]:
    """Run one Node verifier over all cases; what it says of each, by name."""
    if not ready:
        if os.environ.get("CI"):
            pytest.fail("Run `npm ci` in tests/outside first: on CI the outside verifiers must run.")
        pytest.skip("run `npm ci` in tests/outside to check against verifiers of other authors")
    file = folder / "cases.json"
    file.write_text(
        json.dumps(
            {"cases": written_cases(), "issuers": written_issuers(), "page": verify_page(ISSUERS).decode()}
        ),
        encoding="utf-8",
    )
    done = subprocess.run(
        ["node", str(HERE / script), str(file), *more],
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
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
            "beside_only": one.beside_only,
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
    compared = [case for case in compared if not case.document.startswith(b"%PDF-")]
    assert len(compared) > 60
    wrong = {case.name for case in compared if found[case.name] is not (case.verdict in GENUINE)}
    assert wrong == LOOSER[script]


@pytest.mark.parametrize("ed25519", ["browser", "noble"])
def test_the_page_agrees(ed25519: str, tmp_path: Path) -> None:
    """The verify page gives every test record the same verdict and facts as ours, with either Ed25519."""
    found = outcomes("page_check.mjs", tmp_path, ed25519)
    assert found.pop("by noble") is (ed25519 == "noble")
    assert len(found) > 100
    for case in all_cases():
        if case.name not in found:
            continue
        ours = verify(case.document, ISSUERS, case.on, case.status).as_json()
        theirs = found[case.name]
        assert isinstance(theirs, dict)
        assert theirs.pop("reasons"), case.name
        assert theirs == {name: value for name, value in ours.items() if name != "reasons"}, case.name


@pytest.mark.parametrize("tag", LANGUAGES)
def test_the_page_says_the_same(tag: str, tmp_path: Path) -> None:
    """In every language the page says what ours says; only of a broken file it may say less exactly what is wrong."""
    found = outcomes("page_check.mjs", tmp_path, "browser", tag, ready=shutil.which("node") is not None)
    for case in all_cases():
        theirs = found.get(case.name)
        if isinstance(theirs, dict):
            with reading_in(tag):
                ours = verify(case.document, ISSUERS, case.on, case.status)
            assert len(theirs["reasons"]) == len(ours.reasons), case.name
            if ours.verdict not in {Verdict.ALTERED, Verdict.UNREADABLE}:
                assert theirs["reasons"] == list(ours.reasons), case.name


def test_vendored_part_is_the_published_one() -> None:
    """The vendored Ed25519 is the npm package's file without its comments and its export line."""
    package = HERE / "node_modules" / "@noble" / "ed25519" / "index.js"
    if not package.is_file():
        if os.environ.get("CI"):
            pytest.fail("Run `npm ci` in tests/outside first: on CI the vendored part must be compared.")
        pytest.skip("run `npm ci` in tests/outside to compare the vendored part")
    first, rest = package.read_text(encoding="utf-8").split("\n", 1)
    rest = re.sub(r"^[ \t]*/\*\*.*?\*/[ \t]*\n", "", rest, flags=re.DOTALL | re.MULTILINE)
    code = [line for line in rest.splitlines() if line.strip() and not line.lstrip().startswith("//")]
    assert code.pop().startswith("export {")
    vendored = files("trainer.records").joinpath("vendor/noble-ed25519.js").read_text(encoding="utf-8")
    assert vendored == "\n".join([first, *code]) + "\n"
