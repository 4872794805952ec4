"""`trainer backup`, `restore`, `migrate` and `audit`."""

from __future__ import annotations

import errno
import json
import os
import sqlite3
import tarfile
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from trainer.cli import trainer
from trainer.store.migrations import head


def run(instance: Path, *arguments: str) -> Result:
    """One command on an instance."""
    return CliRunner().invoke(trainer, ["--instance", str(instance), *arguments])


@pytest.fixture
def instance(tmp_path: Path) -> Path:
    """An instance with Ian and Tess in it."""
    folder = tmp_path / "instance"
    tarn = ("--organisation", "Tarn Valley")
    for number, name, role in (("TV-2", "Ian Beck", "instructor"), ("TV-3", "Tess Fell", "trainee")):
        done = run(folder, "person", "add", "--number", number, "--name", name, "--role", role, *tarn)
        assert done.exit_code == 0, done.output
    return folder


def spoil(instance: Path, statement: str) -> None:
    """Change the records behind the program's back."""
    connection = sqlite3.connect(instance / "trainer.sqlite")
    with connection:
        connection.execute(statement)
    connection.close()


def test_backup_and_restore_on_another_machine(instance: Path, tmp_path: Path) -> None:
    """People come back on another machine, and the chain is walked as proof."""
    assert run(instance, "backup", str(tmp_path / "stick")).exit_code == 0
    file = next((tmp_path / "stick").iterdir())
    done = run(tmp_path / "other", "restore", str(file))
    assert done.exit_code == 0, done.output
    assert "links hold" in done.stdout
    assert "no signing key" in done.stdout
    before, after = (
        run(place, "person", "list", "--json").stdout for place in (instance, tmp_path / "other")
    )
    assert before == after


def test_a_locked_backup_comes_back_with_its_passphrase(instance: Path, tmp_path: Path) -> None:
    """Only the locked file is left on the stick; a wrong passphrase restores nothing, the right one everything."""
    words, stick = "axle draw hook coil", tmp_path / "stick"
    begin = ["--instance", str(instance), "backup", str(stick), "--lock"]
    done = CliRunner().invoke(trainer, begin, input=f"{words}\n{words}\n")
    assert done.exit_code == 0, done.output
    files = list(stick.iterdir())
    assert [file.suffix for file in files] == [".locked"]
    there = ["--instance", str(tmp_path / "other"), "restore", str(files[0])]
    wrong = CliRunner().invoke(trainer, there, input="another passphrase\n")
    assert (wrong.exit_code, "passphrase" in wrong.stderr, (tmp_path / "other").exists()) == (2, True, False)
    assert CliRunner().invoke(trainer, there, input=f"{words}\n").exit_code == 0
    assert "2 people" in run(tmp_path / "other", "person", "list").stdout


def test_no_room_to_unlock_a_backup_in(
    instance: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sentence names the place that is full and where else to go; it is no fault of the file."""
    words = "axle draw hook coil"
    begin = ["--instance", str(instance), "backup", str(tmp_path / "stick"), "--lock"]
    CliRunner().invoke(trainer, begin, input=f"{words}\n{words}\n")

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr("trainer.records.locked.unlock", full)
    there = ["--instance", str(tmp_path / "other"), "restore", str(next((tmp_path / "stick").iterdir()))]
    done = CliRunner().invoke(trainer, there, input=f"{words}\n")
    assert (done.exit_code, "Make room there, or name" in done.stderr) == (1, True), done.stderr


def test_a_short_passphrase_leaves_nothing(instance: Path, tmp_path: Path) -> None:
    """A passphrase that is refused makes no backup, and none is noted."""
    begin = ["--instance", str(instance), "backup", str(tmp_path / "stick"), "--lock"]
    done = CliRunner().invoke(trainer, begin, input="short\nshort\n")
    assert (done.exit_code, (tmp_path / "stick").exists()) == (1, False)
    assert not (instance / "last-backup.txt").exists()


def test_restore_into_records_is_refused_and_harmless(instance: Path, tmp_path: Path) -> None:
    """Without --replace the present records stay; with it they are put aside and named."""
    run(instance, "backup", str(tmp_path / "stick"))
    file = str(next((tmp_path / "stick").iterdir()))
    run(instance, "person", "add", "--number", "TV-9", "--name", "Omar Gill", "--role", "trainee")
    assert "--replace" in run(instance, "restore", file).stderr
    assert "3 people" in run(instance, "person", "list").stdout
    assert "put-aside" in run(instance, "restore", file, "--replace").stdout
    assert "2 people" in run(instance, "person", "list").stdout


def test_restore_of_spoilt_records_says_so(instance: Path, tmp_path: Path) -> None:
    """A backup of records that were changed by hand is restored with the warning and exit code 1."""
    spoil(instance, "UPDATE link SET time = '2020-01-01T00:00:00.000000Z' WHERE seq = 1")
    run(instance, "backup", str(tmp_path / "stick"))
    done = run(tmp_path / "other", "restore", str(next((tmp_path / "stick").iterdir())))
    assert done.exit_code == 1
    assert "broken before the backup" in done.stderr


def test_a_restored_copy_tells_the_same_newest_link(instance: Path, tmp_path: Path) -> None:
    """Everything that goes out with a backup comes back with the same head, said by both places."""
    run(instance, "backup", str(tmp_path / "stick"))
    done = run(tmp_path / "other", "restore", str(next((tmp_path / "stick").iterdir())))
    here, there = (
        json.loads(run(place, "audit", "--json").stdout)["newest"] for place in (instance, tmp_path / "other")
    )
    assert here == there
    assert len(here) == 64
    assert f"The newest link is {here[:16]}" in done.stdout
    assert f"The newest link is {here[:16]}" in run(instance, "audit").stdout


def test_audit_of_untouched_records(instance: Path) -> None:
    """All links hold after ordinary work, in words and for scripts."""
    assert "links hold" in run(instance, "audit").stdout
    facts = json.loads(run(instance, "audit", "--json").stdout)
    assert facts["broken"] is None
    assert facts["links"] == 4


def test_audit_names_the_link_that_was_changed(instance: Path) -> None:
    """A link edited in the database is named, and the exit code is 1."""
    spoil(instance, "UPDATE link SET time = '2020-01-01T00:00:00.000000Z' WHERE seq = 2")
    done = run(instance, "audit", "--json")
    assert done.exit_code == 1
    assert json.loads(done.stdout)["broken"] == 2


def test_audit_works_every_skill_state_out_anew(instance: Path) -> None:
    """A state that no answer leads to is named, and the exit code is 1; untouched ones are said to follow."""
    assert "skill states follow from the log" in run(instance, "audit").stdout
    spoil(
        instance,
        "INSERT INTO skill_state (person_id, family, state, theta, answers, data, changed_at) "
        "VALUES (1, 'prods', 'proven', 1.0, 20, '{}', '2026-11-25 10:00:00')",
    )
    done = run(instance, "audit", "--json")
    assert done.exit_code == 1
    assert json.loads(done.stdout)["skills"] == ["person 1, prods: stored state differs from the answers"]


def test_migrate_says_where_the_records_stand(instance: Path) -> None:
    """Records of this version need no step and the newest is named."""
    assert f"step {head()}" in run(instance, "migrate").stdout


def test_records_of_a_newer_program_are_left_alone(instance: Path) -> None:
    """Downgrading is refused with a sentence; nothing is taken back."""
    spoil(instance, "UPDATE alembic_version SET version_num = '9999'")
    done = run(instance, "migrate")
    assert done.exit_code == 1
    assert "newer version" in done.stderr


def test_records_of_an_older_program_ask_for_migrate(instance: Path) -> None:
    """A command on older records names the command that brings them up to date."""
    spoil(instance, "UPDATE alembic_version SET version_num = '0001'")
    assert "trainer migrate" in run(instance, "audit").stderr


@pytest.mark.parametrize("command", [["audit"], ["migrate"], ["backup", "stick"]])
def test_nothing_is_made_where_nothing_is(tmp_path: Path, command: list[str]) -> None:
    """A mistyped instance folder is named with exit code 2, and not made."""
    done = run(tmp_path / "none", *command)
    assert (done.exit_code, str(tmp_path / "none") in done.stderr) == (2, True)
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize("command", [["backup", "stick"], ["restore", __file__]])
def test_records_elsewhere_have_tools_of_their_own(tmp_path: Path, command: list[str]) -> None:
    """With a database server in the settings, backup and restore do not pretend to cover it."""
    (tmp_path / "trainer.toml").write_text('database = "postgresql+psycopg://a@b/c"\n', encoding="utf-8")
    done = run(tmp_path, *command)
    assert "that database's tools" in done.stderr


def test_the_key_is_changed_with_an_introduction(instance: Path, tmp_path: Path) -> None:
    """`key rotate` writes the introduction and says what to do; `key show` tells the new key; the chain holds."""
    before = run(instance, "key", "show").stdout.strip()
    out = tmp_path / "new-key.json"
    done = run(instance, "key", "rotate", "--out", str(out))
    assert (done.exit_code, "safe place" in done.stdout) == (0, True), done.output
    after = run(instance, "key", "show").stdout.strip()
    assert (after == before, after in done.stdout) == (False, True)
    assert json.loads(out.read_text())["credentialSubject"]["id"] == after
    assert "links hold" in run(instance, "audit").stdout
    again = run(instance, "key", "rotate", "--out", str(out))
    assert (again.exit_code, run(instance, "key", "show").stdout.strip()) == (1, after)
    refused = run(instance, "key", "rotate", "--out", str(tmp_path / "no" / "such.json"))
    assert (refused.exit_code, "lies in" in refused.stderr) == (1, True)


def test_no_key_in_the_making_goes_into_a_backup(instance: Path, tmp_path: Path) -> None:
    """What a broken-off change of the key left behind is as secret as the key."""
    (instance / "signing.key.part").write_text("secret", encoding="utf-8")
    run(instance, "backup", str(tmp_path / "stick"))
    with tarfile.open(next((tmp_path / "stick").iterdir())) as archive:
        assert not [name for name in archive.getnames() if "signing.key" in name]
