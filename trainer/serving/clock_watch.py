"""See while the trainer runs whether its clock is set back, against one that never is."""

from __future__ import annotations

import logging
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

from trainer.errors import TrainerError
from trainer.services.examining.clock import set_back
from trainer.store import Database

log = logging.getLogger("trainer")
LOOK_SECONDS = 1.0  # a paper that is begun between the two is taken for one of the clock before
LEAST = timedelta(seconds=20)  # less is how clocks are kept right


@dataclass
class ClockWatch:
    """The two clocks at the last look. A machine that slept is no fault: the steady one may stand still in the meantime."""

    database: Database
    clock: Callable[[], datetime]
    steady: Callable[[], float] = time.monotonic

    def __post_init__(self) -> None:
        self._seen = self.clock(), self.steady()

    def look(self) -> timedelta:
        """By how much the clock was set back since the last look, nothing if it was not; running papers follow it."""
        (before, then), (now, at) = self._seen, (self.clock(), self.steady())
        back = before + timedelta(seconds=at - then) - now
        if back < LEAST:
            self._seen = now, at
            return timedelta()
        with self.database.writing() as session:
            moved = set_back(session, back, now)
        self._seen = now, at  # not before: what could not be written is seen again at the next look
        log.warning("the clock was set back by %s; running papers that end earlier by it: %s", back, moved)
        return back


def keep_watch(watch: ClockWatch, over: threading.Event) -> threading.Thread:
    """Look every second until ``over``."""

    def look() -> None:
        while not over.wait(LOOK_SECONDS):
            try:
                watch.look()
            except TrainerError as problem:
                log.error("the clock was set back, and running papers do not follow yet: %s", problem)

    thread = threading.Thread(target=look, name="clock", daemon=True)
    thread.start()
    return thread
