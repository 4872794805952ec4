"""How often somebody may try the door: so many times in any five minutes, counted in this process only.

Only the pages that let somebody in are counted, so no other page pays for it.
"""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable
from threading import Lock

from trainer.errors import Busy
from trainer.languages import N_, _

SECONDS = 300.0
TOO_MANY = N_("Too many tries in a short time. Wait five minutes, then try again.")


class Throttle:
    """Tries of each name (a machine, a works number) within the last ``SECONDS``, by a clock that is never set back."""

    def __init__(self, most: int, clock: Callable[[], float] = time.monotonic) -> None:
        """Let ``most`` tries of one name pass in any ``SECONDS``."""
        self._most, self._clock = most, clock
        self._tries: dict[str, deque[float]] = {}
        self._swept = clock()
        self._lock = Lock()

    def pass_by(self, name: str) -> None:
        """Count one try. Raises Busy for one too many, which is not counted: waiting always helps."""
        with self._lock:
            now = self._clock()
            self._sweep(now)
            tries = self._tries.setdefault(name, deque())
            while tries and now - tries[0] >= SECONDS:
                tries.popleft()
            if len(tries) >= self._most:
                raise Busy(_(TOO_MANY))
            tries.append(now)

    def _sweep(self, now: float) -> None:
        """Forget the names that were not tried of late, so that made-up ones fill no memory."""
        if now - self._swept >= SECONDS:
            self._tries = {name: tries for name, tries in self._tries.items() if now - tries[-1] < SECONDS}
            self._swept = now
