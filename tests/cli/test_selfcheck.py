"""`trainer selfcheck`: each thing that can be wrong gets its sentence."""

from __future__ import annotations

import errno
import json
import os
import shutil
import socket
import sqlite3
from collections import namedtuple
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from trainer.cli import selfcheck, trainer
from trainer.services.authoring.draft_text import start
from trainer.services.proving import signing_key
from trainer.settings import Settings
from trainer.store import Database, last_backup
from trainer.store.migrations import migrate

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


@pytest.fixture
def settings(tmp_path: Path) -> Settings:
    """An instance with records, settings and a key."""
    chosen = Settings.load(tmp_path, {})
    chosen.prepare()
    signing_key.ensure(tmp_path)
    database = Database(chosen.database_url)
    migrate(database)
    database.close()
    return chosen


def test_sound_instance_is_in_order(settings: Settings) -> None:
    """Nothing is complained of where nothing is wrong."""
    assert [finding.says for finding in selfcheck.look(settings, 8000, NOW) if not finding.good] == []


def test_instance_to_come_is_in_order(tmp_path: Path) -> None:
    """Before the first run nothing is wrong, and looking makes nothing."""
    findings = list(selfcheck.look(Settings.load(tmp_path / "new", {}), 8000, NOW))
    assert all(finding.good for finding in findings)
    assert not (tmp_path / "new").exists()


def test_exit_code_and_json(settings: Settings) -> None:
    """Scripts get one object, and exit code 1 when something has to be done."""
    (settings.instance / "signing.key").write_text("no key", encoding="utf-8")
    done = CliRunner().invoke(trainer, ["--instance", str(settings.instance), "selfcheck", "--json"])
    bad = [finding for finding in json.loads(done.stdout)["findings"] if not finding["good"]]
    assert done.exit_code == 1
    assert [finding["about"] for finding in bad] == ["signing key"]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_key_that_others_can_read(settings: Settings) -> None:
    """The sentence gives the command that mends it."""
    (settings.instance / "signing.key").chmod(0o644)
    finding = selfcheck.key(settings.instance)
    assert not finding.good
    assert "chmod 600" in finding.says


def test_a_list_of_issuers_that_cannot_be_read(settings: Settings) -> None:
    """Nothing can be verified with it, so it is named; the other checks are made all the same."""
    (settings.instance / "issuers.toml").write_text("junk", encoding="utf-8")
    bad = [finding for finding in selfcheck.look(settings, 8000, NOW) if not finding.good]
    assert [finding.about for finding in bad] == ["issuers"]
    assert "issuers.toml is not TOML" in bad[0].says


@pytest.mark.parametrize(
    ("step", "says"), [("0001", "Run: trainer migrate"), ("9999", "Install that version")]
)
def test_records_of_another_version(settings: Settings, step: str, says: str) -> None:
    """Older ones are named with the command that brings them up, newer ones with what to install."""
    connection = sqlite3.connect(settings.instance / "trainer.sqlite")
    with connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (step,))
    connection.close()
    finding = selfcheck.store(settings)
    assert (finding.good, says in finding.says) == (False, True)


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_records_that_others_can_read(settings: Settings) -> None:
    """Records and own bank in a folder that lets others in are named with the command that mends it."""
    (settings.instance / "trainer.sqlite").chmod(0o644)
    (settings.instance / "question_bank").mkdir()
    (settings.instance / "question_bank").chmod(0o755)  # a umask of an earlier command may stand
    settings.instance.chmod(0o755)
    finding = selfcheck.folder(settings.instance)
    assert not finding.good
    assert "trainer.sqlite, question_bank" in finding.says
    settings.instance.chmod(0o700)
    assert selfcheck.folder(settings.instance).good


def test_clock_before_the_program_was_made() -> None:
    """A machine that woke up in 1970 is told to set its clock."""
    finding = selfcheck.clock(Settings.load(Path("nowhere"), {}), datetime(1970, 1, 1, tzinfo=UTC))
    assert not finding.good


@pytest.mark.parametrize(
    ("away", "good"),
    [
        (timedelta(hours=-1), False),
        (timedelta(minutes=-4), True),
        (timedelta(0), True),
        (timedelta(400), True),
    ],
)
def test_clock_against_the_newest_entry(settings: Settings, away: timedelta, good: bool) -> None:
    """A clock that runs before the newest entry is wrong; one far past it is asked about."""
    from trainer.services.keeping import audit

    database = Database(settings.database_url)
    with database.writing() as session:
        audit.note(session, None, "person entered", 1, NOW)
    database.close()
    finding = selfcheck.clock(settings, NOW + away)
    assert finding.good is good
    assert ("Is the year right?" in finding.says) is (away > selfcheck.IDLE)


def test_a_program_that_came_without_its_pages(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half an installation is told with what to do."""
    monkeypatch.setattr(selfcheck, "templates_folder", lambda: tmp_path / "templates")
    finding = selfcheck.program()
    assert (finding.good, "templates is missing. Install the program again" in finding.says) == (False, True)


def test_full_disk(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Too little room is said before answers are lost."""
    usage = namedtuple("usage", "total used free")
    monkeypatch.setattr(shutil, "disk_usage", lambda place: usage(1, 1, 40_000_000))
    assert "Free half a gigabyte" in selfcheck.disk(tmp_path / "not" / "there").says


def test_taken_port_is_told_but_no_fault() -> None:
    """A running trainer takes the port; that is no reason to worry."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen(1)
        port = other.getsockname()[1]
        finding = selfcheck.free_port(port)
    assert finding.good
    assert f"{port} is taken" in finding.says


def test_damaged_records(settings: Settings) -> None:
    """A spoilt database is a finding with what to do, not a trace."""
    file = settings.instance / "trainer.sqlite"
    data = bytearray(file.read_bytes())
    data[8192 : 8192 + 2000] = os.urandom(2000)
    file.write_bytes(data)
    bad = [finding for finding in selfcheck.look(settings, 8000, NOW) if not finding.good]
    assert "records" in {finding.about for finding in bad}
    assert all("Traceback" not in finding.says for finding in bad)


def test_check_that_breaks_is_a_finding(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    """One check that cannot be made does not keep the others from being made."""

    def broken(instance: Path) -> selfcheck.Finding:
        raise ZeroDivisionError("within")

    monkeypatch.setattr(selfcheck, "disk", broken)
    findings = {finding.about: finding for finding in selfcheck.look(settings, 8000, NOW)}
    assert "could not be checked (ZeroDivisionError: within)" in findings["disk"].says
    assert findings["port"].good


def test_read_only_folder(settings: Settings, monkeypatch: pytest.MonkeyPatch) -> None:
    """A folder that cannot be written is named with what to do, and no trial file is left."""

    def refuse(path: Path, data: bytes) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "write_bytes", refuse)  # an administrator, who may run this, is refused nothing
    finding = selfcheck.folder(settings.instance)
    assert not finding.good
    assert "cannot be written (Permission denied)" in finding.says


@pytest.mark.parametrize(
    ("locked", "trouble", "says"),
    [
        (False, None, "is not there. Plug the stick in"),
        (True, None, "needs a passphrase"),
        (False, OSError(errno.ENOSPC, "full"), "has no room for it"),
    ],
)
def test_backups_that_cannot_be_made(
    settings: Settings, tmp_path: Path, locked: bool, trouble: OSError | None, says: str
) -> None:
    """A stick that is away or was full, a passphrase that is missing: each in its sentence; a folder that is there is fine."""
    folder = tmp_path / "stick"
    wanted = replace(settings, backup_folder=str(folder), backup_locked=locked)
    if trouble is not None:
        folder.mkdir()
        last_backup.note_trouble(settings.instance, trouble)
    finding = next(one for one in selfcheck.look(wanted, 8000, NOW) if one.about == "backups")
    assert (finding.good, says in finding.says) == (False, True), finding.says
    last_backup.end_trouble(settings.instance)
    folder.mkdir(exist_ok=True)
    assert selfcheck.backups(replace(wanted, backup_locked=False), NOW).good


def test_own_items_with_faults(settings: Settings) -> None:
    """An own item that was left out is named with its file."""
    (settings.private_bank / "drills" / "own").mkdir(parents=True)
    (settings.private_bank / "drills" / "own" / "x.yaml").write_text("id: x\n", encoding="utf-8")
    finding = selfcheck.bank(settings)
    assert not finding.good
    assert "question_bank/drills/own/x.yaml:1" in finding.says


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_an_own_item_that_can_be_guessed_at(settings: Settings) -> None:
    """A folder that nobody may list still shows a file of a known name; with modes of its owner alone it does not."""
    settings.instance.chmod(0o711)
    (settings.instance / "trainer.sqlite").chmod(0o600)
    place = settings.instance / "question_bank" / "questions"
    place.mkdir(parents=True)
    for folder in (place, place.parent):
        folder.chmod(0o711)
    file = place / "coil.yaml"
    file.write_text("topic: coil\n", encoding="utf-8")
    file.chmod(0o644)
    assert selfcheck.shown_to_others(settings.instance) == ["question_bank"]
    file.chmod(0o600)
    assert selfcheck.shown_to_others(settings.instance) == []


def test_own_items_in_plain_are_counted(settings: Settings) -> None:
    """What is for examinations only and lies in the folder is told, with what seals it."""
    place = settings.private_bank / "questions" / "own-questions"
    place.mkdir(parents=True)
    (place / "own-question-1.yaml").write_text(start("question"), encoding="utf-8")
    found = selfcheck.bank(settings)
    assert (found.good, "1 of them, for examinations only, lie there in plain" in found.says) == (True, True)
