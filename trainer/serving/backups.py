"""Make a backup from time to time while the trainer runs, where the settings name a folder for it."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

from trainer.errors import TrainerError
from trainer.settings import Settings
from trainer.store.last_backup import last

log = logging.getLogger("trainer")
LOOK_SECONDS = 300


def keep_backups(
    settings: Settings, clock: Callable[[], datetime], over: threading.Event
) -> threading.Thread | None:
    """Look now and every few minutes whether a backup is due, until ``over``; None where no folder is named."""
    if not settings.backup_folder or settings.database:
        return None

    def watch() -> None:
        while True:
            make_if_due(settings, clock())
            if over.wait(LOOK_SECONDS):
                return

    thread = threading.Thread(target=watch, name="backups", daemon=True)
    thread.start()
    return thread


def make_if_due(settings: Settings, moment: datetime) -> Path | None:
    """Make a backup if the last one is older than wanted. A folder that is away (a stick) is told in the log."""
    before = last(settings.instance)
    if before is not None and timedelta(0) <= moment - before < timedelta(hours=settings.backup_hours):
        return None
    from trainer.store.backup import make  # not at the start, where nothing is packed yet

    try:
        return make(settings.instance, Path(settings.backup_folder), moment.astimezone())
    except TrainerError as problem:
        log.error("no backup was made: %s", problem)
        return None
