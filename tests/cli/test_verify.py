"""`trainer verify`: verdict in words or as one JSON object, and the exit codes that scripts rely on."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from trainer.cli.verify import verify
from trainer.records import credential, jcs, statuslist
from trainer.records.issuers import Issuer, write
from trainer.records.keys import SigningKey
from trainer.records.record import Person, Record
from trainer.records.statuslist import StatusPlace

KEY = SigningKey(bytes(range(32)))
LIST = "urn:uuid:2c0b6a2e-0000-4000-8000-000000000001"


@dataclass(frozen=True)
class Settings:
    """What the command reads of the settings."""

    instance: Path


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a record, its status lists and a list of issuers."""
    from datetime import date

    record = Record(
        id="urn:uuid:6f1d0c0e-4b6e-4f0e-9c2e-0d4a5a1b2c3d",
        person=Person("TV-11"),
        issuer_did=KEY.did,
        issuer_name="Tarn Valley",
        on=date(2026, 3, 2),
        scheme="SNT-2020",
        scheme_title="SNT-TC-1A 2020",
        level="II",
        overall="met",
        rows=(),
        entries=(),
        valid_until=date(2026, 12, 18),
        status=(StatusPlace(LIST, "revocation", 7),),
    )
    data = credential.signed(record, KEY, "2026-03-02T09:15:00Z")
    (tmp_path / "good.json").write_bytes(data)
    (tmp_path / "altered.json").write_bytes(data.replace(b"TV-11", b"TV-12"))
    (tmp_path / "cut.json").write_bytes(data[:500])
    for name, places in (("clear", ()), ("revoking", (7,))):
        days = ("2026-03-19T18:00:00Z", "2026-04-19T18:00:00Z")
        document = statuslist.signed_list(LIST, "revocation", places, KEY, "Tarn Valley", *days)
        (tmp_path / f"{name}.json").write_bytes(jcs.written(document))
    (tmp_path / "trusted.toml").write_text(write([Issuer(KEY.did, "Tarn Valley")]), encoding="utf-8")
    return tmp_path


def run(folder: Path, *words: str, instance: Path | None = None) -> Result:
    """Run the command with file names taken from the folder and a fixed day."""
    given = [str(folder / word) if word.endswith((".json", ".toml")) else word for word in words]
    settings = Settings(instance) if instance else None
    return CliRunner().invoke(verify, [*given, "--on", "2026-03-20"], obj=settings)


def said(result: Result) -> dict[str, Any]:
    """The JSON object that was printed."""
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_a_valid_record(folder: Path) -> None:
    """A valid record gives exit code 0 and exactly the promised keys."""
    result = run(folder, "good.json", "--issuer", KEY.did, "--status", "clear.json", "--json")
    assert result.exit_code == 0
    reasons = said(result).pop("reasons")
    assert reasons
    assert said(result) | {"reasons": []} == {
        "verdict": "valid",
        "reasons": [],
        "issuer": KEY.did,
        "subject": "TV-11",
        "valid_from": "2026-03-02",
        "valid_until": "2026-12-18",
        "status_as_of": "2026-03-19",
        "signatures": [
            {
                "key": KEY.did,
                "name": "Tarn Valley",
                "role": "issuer",
                "is_there": True,
                "created": "2026-03-02T09:15:00Z",
                "pinned": "The issuer you named",
                "says": "Signed on 2026-03-02 by the issuer, Tarn Valley. The key is on your list as The issuer you "
                "named.",
            }
        ],
    }


@pytest.mark.parametrize(
    ("words", "verdict", "code"),
    [
        (("altered.json",), "altered", 1),
        (("good.json", "--status", "revoking.json"), "revoked", 1),
        (("good.json", "--status", "good.json"), "unreadable", 2),
        (("cut.json",), "unreadable", 2),
        (("missing.json",), "unreadable", 2),
        (("good.json", "--status", "missing.json"), "unreadable", 2),
    ],
)
def test_what_is_not_valid(folder: Path, words: tuple[str, ...], verdict: str, code: int) -> None:
    """Each other outcome has its verdict and its exit code."""
    result = run(folder, *words, "--issuer", KEY.did, "--json")
    assert said(result)["verdict"] == verdict
    assert result.exit_code == code


@pytest.mark.parametrize(("day", "verdict"), [("2026-12-19", "expired"), ("2026-03-01", "not yet valid")])
def test_the_day_counts(folder: Path, day: str, verdict: str) -> None:
    """The day that is asked for decides whether the record is good on it."""
    result = CliRunner().invoke(verify, [str(folder / "good.json"), "--issuer", KEY.did, "--on", day])
    assert result.exit_code == 1
    assert result.stdout.startswith(verdict.upper())


def test_issuers_of_a_file(folder: Path) -> None:
    """A file of issuers is trusted as a whole."""
    assert run(folder, "good.json", "--issuers", "trusted.toml").exit_code == 0


def test_issuers_of_the_instance(folder: Path, tmp_path: Path) -> None:
    """Without options the issuers pinned in the instance folder are trusted; without any, nobody is."""
    instance = tmp_path / "instance"
    instance.mkdir()
    assert said(run(folder, "good.json", "--json", instance=instance))["verdict"] == "unknown issuer"
    (instance / "issuers.toml").write_text(write([Issuer(KEY.did, "Tarn Valley")]), encoding="utf-8")
    assert run(folder, "good.json", instance=instance).exit_code == 0


def test_an_option_stands_in_place_of_the_instance(folder: Path, tmp_path: Path) -> None:
    """With --issuer only that key is trusted, whatever the instance has pinned."""
    (tmp_path / "issuers.toml").write_text(write([Issuer(KEY.did, "Tarn Valley")]), encoding="utf-8")
    other = SigningKey(bytes(32)).did
    result = run(folder, "good.json", "--issuer", other, "--json", instance=tmp_path)
    assert said(result)["verdict"] == "unknown issuer"


def test_words_for_a_person(folder: Path) -> None:
    """Without --json the verdict comes first, then the reasons and the facts."""
    lines = run(folder, "good.json", "--issuer", KEY.did).stdout.splitlines()
    assert lines[0].startswith("VALID: ")
    assert "  Good until: 2026-12-18" in lines


@pytest.mark.parametrize(
    "words", [("--issuer", "did:web:example.test"), ("--on", "20 March"), ("--issuers", "missing.toml")]
)
def test_wrong_options_get_a_sentence(folder: Path, words: tuple[str, ...]) -> None:
    """A wrong option is a mistake of the call, never a verdict."""
    given = [str(folder / word) if word.endswith(".toml") else word for word in words]
    result = CliRunner().invoke(verify, [str(folder / "good.json"), *given])
    assert result.exit_code != 0
    assert "VALID" not in result.stdout
