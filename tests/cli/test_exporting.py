"""`trainer export` writes what it says, once, and the file verifies on the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from tests.entering import make_level_iii, verified
from tests.make import make_marked_papers, make_people, make_person
from tests.signing import make_key
from trainer.cli import trainer
from trainer.cli.exporting import FORMS
from trainer.services.proving import exporting
from trainer.settings import Settings
from trainer.store import Database


def run(instance: Path, *arguments: str) -> Result:
    """Run one command of the trainer over an instance."""
    return CliRunner().invoke(trainer, ["--instance", str(instance), *arguments])


@pytest.fixture
def instance(settings: Settings, database: Database) -> Path:
    """An instance with the four, and one verified entry and a marked paper of Tess."""
    with database.writing() as session:
        people = make_people(session)
        verified(session, people.tess, people.tess, "trainee", people.emma)
        make_marked_papers(session, people.ian, people.tess)
    return settings.instance


def test_forms_are_those_of_the_service() -> None:
    """The command offers every form that there is."""
    assert tuple(exporting.FORMS) == FORMS


@pytest.mark.parametrize("form", FORMS)
def test_every_form_is_written(instance: Path, tmp_path: Path, form: str) -> None:
    """Each form lands in the file named, for its owner only, with what it says about the record."""
    out = tmp_path / "out"
    done = run(instance, "export", "tv-07", "--as", form, "--out", str(out))
    assert done.exit_code == 0, done.output
    assert out.stat().st_size > 50
    assert "Prerequisites are not all met" in done.stdout
    assert "All" in run(instance, "audit").stdout


def test_a_signed_record_verifies(instance: Path, tmp_path: Path) -> None:
    """Export, then verify on the same machine with the status list: valid, by the house's own pinned key."""
    out, status = tmp_path / "tess.json", tmp_path / "status.json"
    done = run(
        instance,
        "export",
        "TV-07",
        "--as",
        "credential",
        "--level",
        "1",
        "--out",
        str(out),
        "--status",
        str(status),
    )
    assert done.exit_code == 0
    checked = run(instance, "verify", str(out), "--status", str(status), "--json")
    assert (checked.exit_code, json.loads(checked.stdout)["verdict"]) == (0, "valid")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["TV-99", "--as", "csv"], "nobody with the works number"),
        (["TV-07", "--as", "csv", "--scheme", "SNT-1999"], "no such scheme"),
        (["TV-07", "--as", "csv", "--on", "2026-02-30"], "day of the calendar"),
        (["TV-07", "--as", "csv", "--by", "TV-00"], "no employer of Tess"),
        (["HK-03", "--as", "csv"], "in which employer's name"),
        (["HK-03", "--as", "csv", "--by", "TV-90"], "no employer of Omar"),
    ],
)
def test_what_cannot_be_exported(instance: Path, tmp_path: Path, arguments: list[str], says: str) -> None:
    """One sentence, and no file."""
    out = tmp_path / "out"
    done = run(instance, "export", *arguments, "--out", str(out))
    assert (done.exit_code != 0, says in done.stderr, out.exists()) == (True, True, False), done.output


def test_no_file_is_overwritten_or_half_noted(instance: Path, tmp_path: Path, database: Database) -> None:
    """A file that exists is left alone; one that cannot be written leaves no note."""
    out = tmp_path / "out"
    out.write_text("mine")
    assert "exists already" in run(instance, "export", "TV-07", "--as", "csv", "--out", str(out)).stderr
    assert out.read_text() == "mine"
    links = json.loads(run(instance, "audit", "--json").stdout)["links"]
    nowhere = tmp_path / "none" / "out"
    assert (
        "cannot be written" in run(instance, "export", "TV-07", "--as", "csv", "--out", str(nowhere)).stderr
    )
    assert json.loads(run(instance, "audit", "--json").stdout)["links"] == links
    with database.writing() as session:
        make_person(session, "TV-89", "Second", {"employer"})
    assert (
        "--by NUMBER" in run(instance, "export", "TV-07", "--as", "csv", "--out", str(tmp_path / "x")).stderr
    )


def test_signers_are_named_by_number(instance: Path, tmp_path: Path, database: Database) -> None:
    """Whoever holds a key is named in the first role in which they may sign; others are told who is able."""
    with database.writing() as session:
        expert = make_level_iii(session)
        make_key(session, expert)
    out = tmp_path / "tess.json"
    named = ["export", "TV-07", "--as", "credential", "--signer", "tv-91", "--out", str(out)]
    done = run(instance, *named)
    assert done.exit_code == 0, done.output
    assert "To be signed by Level III of the house as Level III" in done.stdout
    (signer,) = json.loads(out.read_bytes())["signers"]
    assert (signer["name"], signer["role"]) == ("Level III of the house", "Level III")
    unable = run(instance, *named[:-4], "--signer", "TV-00", "--out", str(tmp_path / "other.json"))
    assert (unable.exit_code != 0, "Able are: TV-91" in unable.stderr) == (True, True)
    assert not (tmp_path / "other.json").exists()
