"""Make a backup from time to time while the trainer runs, where the settings name a folder for it."""

from __future__ import annotations

import logging
import os
import secrets
import threading
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING, Any

from trainer.errors import Refused, TrainerError
from trainer.settings import Settings
from trainer.store.last_backup import end_trouble, keep_list, last, made_by_itself, note_trouble

if TYPE_CHECKING:
    from trainer.store.backup import Seal

log = logging.getLogger("trainer")
LOOK_SECONDS = 300
LONGEST_LINE = 1000


def keep_backups(
    settings: Settings, clock: Callable[[], datetime], over: threading.Event
) -> threading.Thread | None:
    """Look now and every few minutes whether a backup is due, until ``over``; None where no folder is named.

    Raises Refused where backups are to be locked and there is no passphrase.
    """
    if not settings.backup_folder or settings.database:
        return None
    if settings.backup_locked:
        passphrase(settings.instance)

    def watch() -> None:
        while True:
            make_if_due(settings, clock())
            if over.wait(LOOK_SECONDS):
                return

    thread = threading.Thread(target=watch, name="backups", daemon=True)
    thread.start()
    return thread


def make_if_due(settings: Settings, moment: datetime) -> Path | None:
    """Make a backup if the last one is older than wanted. What keeps it from being made is told in the log and noted."""
    before = last(settings.instance)
    if before is not None and timedelta(0) <= moment - before < timedelta(hours=settings.backup_hours):
        return None
    from trainer.store.backup import make  # not at the start, where nothing is packed yet

    try:
        seal = sealing(passphrase(settings.instance)) if settings.backup_locked else None
        file = make(settings.instance, Path(settings.backup_folder), moment.astimezone(), seal=seal)
    except Exception as problem:  # whatever it was, the next one is tried
        log.error("no backup was made: %s", problem, exc_info=not isinstance(problem, TrainerError))
        _noted(note_trouble, settings.instance, problem)
        return None
    _noted(end_trouble, settings.instance)
    prune(settings, file)
    return file


def _noted(note: Callable[..., None], *facts: Any) -> None:
    try:
        note(*facts)
    except OSError as problem:
        log.error("how the backup went cannot be noted: %s", problem)


def prune(settings: Settings, newest: Path) -> None:
    """Note a backup as made by the trainer itself, and delete the oldest such ones beyond those to be kept.

    Only what this instance noted itself is ever deleted: a backup made by hand, or by another trainer into the
    same folder, stays. One that cannot be deleted now is tried again next time.
    """
    names = [*made_by_itself(settings.instance), newest.name]
    beyond = names[: -settings.backup_keep]
    kept = [name for name in beyond if not _deleted(newest.with_name(name))]
    _noted(keep_list, settings.instance, [*kept, *names[-settings.backup_keep :]])


def _deleted(file: Path) -> bool:
    try:
        file.unlink(missing_ok=True)
    except OSError as problem:
        log.error("an old backup cannot be deleted: %s", problem)
        return False
    return True


def passphrase(instance: Path) -> str:
    """The words that lock the backups of a running trainer. Raises Refused where there are none, or too few."""
    from trainer.records.locked import LEAST_PASSPHRASE
    from trainer.store.backup import PASSPHRASE

    file = instance / PASSPHRASE
    try:
        with file.open(encoding="utf-8") as lines:
            words = lines.readline(LONGEST_LINE).strip()
    except (OSError, ValueError):
        words = ""
    if len(words) < LEAST_PASSPHRASE:
        raise Refused(
            f"The setting backup_locked needs a passphrase: write {LEAST_PASSPHRASE} characters or more, for "
            f"instance four words, into the first line of {file}, or switch the setting off."
        )
    return words


def sealing(words: str) -> Seal:
    """The way to lock a backup with a passphrase. Raises Refused for one that is too short."""
    from trainer.records.locked import SALT_BYTES, check, lock

    check(words)

    def seal(plain: Path, locked: Path) -> None:
        with plain.open("rb") as source, locked.open("xb") as out:
            lock(source, out, words, secrets.token_bytes(SALT_BYTES))
            out.flush()
            os.fsync(out.fileno())

    return seal
