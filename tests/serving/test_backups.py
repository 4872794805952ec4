"""Backups that the running trainer makes by itself, and what the instructor reads about them."""

from __future__ import annotations

import errno
import shutil
import sqlite3
import threading
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from pathlib import Path
from typing import NoReturn

import pytest

from tests.conftest import Browser
from tests.make import NOW, Clock, People
from trainer.errors import Refused
from trainer.records.locked import is_locked, unlock
from trainer.services.keeping import backup_age
from trainer.serving import backups
from trainer.serving.backups import keep_backups, make_if_due
from trainer.settings import Settings
from trainer.store import Database, last_backup
from trainer.store.backup import DATABASE, PASSPHRASE, make, unpack

WORDS = "axle draw hook coil"
TODAY = f"The last backup of the records was made today. {backup_age.SAME_DISK}"


def sqlite_full() -> sqlite3.Error:
    """What SQLite says of a disk that has no room for the copy."""
    fault = sqlite3.OperationalError("database or disk is full")
    fault.sqlite_errorcode = sqlite3.SQLITE_FULL
    return fault


def raising(fault: Exception) -> Callable[..., NoReturn]:
    """Something that only raises."""

    def act(*_values: object, **_more: object) -> NoReturn:
        raise fault

    return act


pytestmark = pytest.mark.sqlite


@pytest.fixture
def scheduled(settings: Settings, database: Database, tmp_path: Path) -> Settings:
    """An instance whose settings name a folder for backups."""
    return replace(settings, backup_folder=str(tmp_path / "stick"), backup_hours=24)


def test_a_backup_is_made_when_one_is_due(scheduled: Settings) -> None:
    """The first at once, the next a day later, none in between; each is a file in the folder."""
    made = [make_if_due(scheduled, NOW + timedelta(hours=hours)) for hours in (0, 23, 24, 25)]
    assert [file is not None for file in made] == [True, False, True, False]
    assert len(list(Path(scheduled.backup_folder).iterdir())) == 2
    assert last_backup.last(scheduled.instance) == NOW + timedelta(hours=24)


def test_a_clock_set_back_does_not_put_backups_off(scheduled: Settings) -> None:
    """A last backup that lies in the future is not believed."""
    make_if_due(scheduled, NOW + timedelta(days=300))
    assert make_if_due(scheduled, NOW) is not None


def test_a_stick_that_is_away_is_told_in_the_log(
    scheduled: Settings, caplog: pytest.LogCaptureFixture
) -> None:
    """Nothing stops when the folder cannot be written; the log says so, and the age keeps growing."""
    Path(scheduled.backup_folder).write_text("a file in the way", encoding="utf-8")
    assert make_if_due(scheduled, NOW) is None
    assert "no backup was made" in caplog.text
    assert last_backup.last(scheduled.instance) is None


def test_a_stick_that_is_away_leaves_its_place_empty(scheduled: Settings, tmp_path: Path) -> None:
    """Nothing is laid where the stick is missing, which would be the disk of the records; once it is in, one is made."""
    folder = tmp_path / "media" / "stick" / "backups"
    away = replace(scheduled, backup_folder=str(folder))
    assert make_if_due(away, NOW) is None
    assert not (tmp_path / "media").exists()
    assert f"the folder {folder} is not there" in backup_age.sentence(away, NOW)
    folder.parent.mkdir(parents=True)
    assert make_if_due(away, NOW) is not None
    assert backup_age.sentence(away, NOW) == TODAY


@pytest.mark.parametrize(
    ("fault", "says"),
    [
        (OSError(errno.ENOSPC, "full"), "has no room for it"),
        (OSError(errno.EROFS, "read-only"), "cannot be written"),
        (OSError(errno.EIO, "pulled out"), "is not there"),
        (OSError(errno.EINVAL, "odd"), "The log in the instance folder says why"),
        (sqlite_full(), "has no room for it"),
        (RuntimeError("a fault of our own"), "The log in the instance folder says why"),
    ],
)
def test_what_keeps_a_backup_from_being_made_stands_on_the_page(
    scheduled: Settings, as_ian: Browser, monkeypatch: pytest.MonkeyPatch, fault: Exception, says: str
) -> None:
    """In a sentence that says what to do, beside the age of the last one; the next that is made ends it."""
    make_if_due(scheduled, NOW - timedelta(days=2))
    with monkeypatch.context() as spoilt:
        spoilt.setattr(sqlite3, "connect", raising(fault))
        assert make_if_due(scheduled, NOW) is None
    said = backup_age.sentence(scheduled, NOW)
    assert says in said
    assert f"The last backup of the records was made 2 days ago. {backup_age.SAME_DISK}" in said
    assert make_if_due(scheduled, NOW) is not None
    assert backup_age.sentence(scheduled, NOW) == TODAY


@pytest.mark.parametrize("line", ["", "nonsense", "\udcff"])
def test_a_spoilt_note_of_trouble_is_trouble(scheduled: Settings, line: str) -> None:
    """Whatever stands there, the log is named."""
    (scheduled.instance / last_backup.TROUBLE).write_bytes(line.encode("utf-8", "surrogateescape"))
    assert "The log in the instance folder says why" in backup_age.sentence(scheduled, NOW)
    assert backup_age.sentence(replace(scheduled, backup_folder=""), NOW) == backup_age.NONE_YET


def test_only_so_many_are_kept(scheduled: Settings) -> None:
    """The oldest that the trainer made goes with each new one; a backup by hand and other files stay."""
    stick = Path(scheduled.backup_folder)
    by_hand = make(scheduled.instance, stick, NOW - timedelta(days=90))
    (stick / "trainer-notes.txt").write_text("mine", encoding="utf-8")
    few = replace(scheduled, backup_keep=3)
    made = [make_if_due(few, NOW + timedelta(days=days)) for days in range(1, 6)]
    assert {file.name for file in stick.iterdir()} == {
        by_hand.name,
        "trainer-notes.txt",
        *(file.name for file in made[2:] if file is not None),
    }


def test_a_clock_that_jumps_takes_the_earliest_made(scheduled: Settings) -> None:
    """What was made first is deleted first, whatever its name says."""
    few = replace(scheduled, backup_keep=2)
    days = (300, 0, 1)
    made = [make_if_due(few, NOW + timedelta(days=day)) for day in days]
    assert all(made)
    assert sorted(Path(scheduled.backup_folder).iterdir()) == sorted(file for file in made[1:] if file)


def test_backups_of_another_trainer_stay(scheduled: Settings, tmp_path: Path) -> None:
    """Two trainers may share a folder: each deletes only what it made."""
    stick = Path(scheduled.backup_folder)
    other = tmp_path / "other"
    shutil.copytree(scheduled.instance, other)
    theirs = make_if_due(replace(scheduled, instance=other), NOW - timedelta(days=200))
    for days in range(4):
        make_if_due(replace(scheduled, backup_keep=2), NOW + timedelta(days=days))
    assert theirs is not None
    assert theirs.exists()
    assert len(list(stick.iterdir())) == 3


@pytest.mark.parametrize(
    "line", ["../trainer.sqlite", "/etc/passwd", "trainer.toml", "x" * 300_000, "\udcff"]
)
def test_a_spoilt_list_deletes_nothing_else(scheduled: Settings, line: str) -> None:
    """A line that is no name of a backup is passed over."""
    (scheduled.instance / last_backup.OWN).write_bytes(f"{line}\n".encode("utf-8", "surrogateescape"))
    before = {file: file.read_bytes() for file in scheduled.instance.glob("trainer.*")}
    few = replace(scheduled, backup_keep=2)
    made = [make_if_due(few, NOW + timedelta(days=days)) for days in range(3)]
    assert all(made)
    assert {file for file in before if file.exists()} == {*before}
    assert last_backup.made_by_itself(scheduled.instance) == [file.name for file in made[1:] if file]


def test_one_that_cannot_be_deleted_is_tried_again(
    scheduled: Settings, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    """A file that somebody has open on Windows stays listed until it can go; the new backup counts."""
    few = replace(scheduled, backup_keep=2)
    with monkeypatch.context() as held:
        held.setattr(Path, "unlink", _held_open)
        made = [make_if_due(few, NOW + timedelta(days=days)) for days in range(3)]
    assert "cannot be deleted" in caplog.text
    assert all(file is not None and file.exists() for file in made)
    assert make_if_due(few, NOW + timedelta(days=3)) is not None
    assert len(list(Path(few.backup_folder).iterdir())) == 2


def _held_open(_file: Path, missing_ok: bool = False) -> None:
    raise PermissionError("somebody has it open")


def test_an_empty_database_is_not_backed_up(scheduled: Settings, caplog: pytest.LogCaptureFixture) -> None:
    """Nothing is made of a file of 0 bytes, so nothing good is pruned for it."""
    good = make_if_due(replace(scheduled, backup_keep=2), NOW)
    (scheduled.instance / DATABASE).write_bytes(b"")
    for days in range(1, 5):
        assert make_if_due(replace(scheduled, backup_keep=2), NOW + timedelta(days=days)) is None
    assert list(Path(scheduled.backup_folder).iterdir()) == [good]
    assert "nothing is left of the records" in caplog.text


def test_locked_backups_open_with_the_passphrase_only(
    scheduled: Settings, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Only locked bytes ever reach the folder, and the passphrase is not in them."""
    seen: list[set[str]] = []
    seal = backups.sealing(WORDS)

    def watched(plain: Path, locked: Path) -> None:
        seen.append({file.name for file in Path(scheduled.backup_folder).iterdir()})
        seal(plain, locked)

    monkeypatch.setattr(backups, "sealing", lambda words: watched if words == WORDS else None)
    (scheduled.instance / PASSPHRASE).write_text(f"  {WORDS} \nanother line\n", encoding="utf-8")
    file = make_if_due(replace(scheduled, backup_locked=True), NOW)
    assert file is not None
    assert (file.name[-14:], seen) == (".tar.gz.locked", [set()])
    assert is_locked(file.read_bytes())
    plain = scheduled.instance.parent / "plain.tar.gz"
    with file.open("rb") as source, plain.open("wb") as out:
        unlock(source, out, WORDS)
    contents = unpack(plain, scheduled.instance.parent / "there")
    assert DATABASE in contents.files
    assert PASSPHRASE not in contents.files
    assert not [path for path in scheduled.instance.iterdir() if path.is_dir()]


def test_locked_ones_are_pruned_like_others(scheduled: Settings) -> None:
    """The number counts for both kinds together."""
    (scheduled.instance / PASSPHRASE).write_text(WORDS, encoding="utf-8")
    few = replace(scheduled, backup_keep=2)
    make_if_due(few, NOW)
    made = [make_if_due(replace(few, backup_locked=True), NOW + timedelta(days=days)) for days in (1, 2)]
    assert sorted(Path(few.backup_folder).iterdir()) == made


@pytest.mark.parametrize("text", [None, b"", b"too short", b"\n" + WORDS.encode(), b"\xff" * 40])
def test_without_a_passphrase_nothing_starts(scheduled: Settings, text: bytes | None) -> None:
    """The start says which file wants what; no plain backup is made instead."""
    if text is not None:
        (scheduled.instance / PASSPHRASE).write_bytes(text)
    locked = replace(scheduled, backup_locked=True)
    with pytest.raises(Refused, match="12 characters or more"):
        keep_backups(locked, lambda: NOW, threading.Event())
    assert make_if_due(locked, NOW) is None
    assert not Path(scheduled.backup_folder).exists()


def test_a_lock_that_fails_leaves_nothing(scheduled: Settings) -> None:
    """A stick that is full at the last moment holds no half of a backup, and none is noted."""

    def full(_plain: Path, locked: Path) -> None:
        locked.write_bytes(b"half")
        raise OSError(28, "No space left on device")

    with pytest.raises(Refused, match="No space left"):
        make(scheduled.instance, Path(scheduled.backup_folder), NOW, seal=full)
    assert list(Path(scheduled.backup_folder).iterdir()) == []
    assert last_backup.last(scheduled.instance) is None


def test_the_watch_ends_with_the_trainer(scheduled: Settings) -> None:
    """The first look comes at once, and nothing is left running afterwards."""
    over = threading.Event()
    over.set()
    thread = keep_backups(scheduled, lambda: NOW, over)
    assert thread is not None
    thread.join(30)
    assert (thread.is_alive(), len(list(Path(scheduled.backup_folder).iterdir()))) == (False, 1)


def test_no_folder_means_no_watch(settings: Settings) -> None:
    """Without the setting nothing is made."""
    assert keep_backups(settings, lambda: NOW, threading.Event()) is None


@pytest.mark.parametrize(
    ("days", "says"),
    [
        (0, "made today."),
        (1, "made yesterday."),
        (3, "3 days ago."),
        (9, "Make another one"),
        (-2, "made on 2026"),
    ],
)
def test_the_age_in_words(settings: Settings, days: int, says: str) -> None:
    """Today, yesterday, days ago; an old one asks for the next."""
    last_backup.note(settings.instance, NOW - timedelta(days=days))
    assert says in backup_age.sentence(settings, NOW)


@pytest.mark.parametrize("text", ["", "soon", "2026-11-25T10:00:00", "x" * 10_000])
def test_a_spoilt_note_is_none(settings: Settings, text: str) -> None:
    """A note that is no moment with a zone counts as no backup."""
    (settings.instance / last_backup.FILE).write_text(text, encoding="utf-8")
    assert backup_age.sentence(settings, NOW) == backup_age.NONE_YET


def test_the_instructor_reads_it(settings: Settings, people: People, as_ian: Browser, clock: Clock) -> None:
    """The page of the classes says how old the last backup is."""
    assert "No backup of the records" in as_ian.get("/instructor/classes").get_data(as_text=True)
    last_backup.note(settings.instance, NOW - timedelta(days=1))
    assert "made yesterday" in as_ian.get("/instructor/classes").get_data(as_text=True)
