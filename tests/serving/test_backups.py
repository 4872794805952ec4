"""Backups that the running trainer makes by itself, and what the instructor reads about them."""

from __future__ import annotations

import threading
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest

from tests.conftest import Browser
from tests.make import NOW, Clock, People
from trainer.services import backup_age
from trainer.serving.backups import keep_backups, make_if_due
from trainer.settings import Settings
from trainer.store import Database, last_backup

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
