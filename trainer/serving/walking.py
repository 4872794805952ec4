"""Walk the chain of notes through while the trainer runs, a little at a time, so that no page has to."""

from __future__ import annotations

import logging
import threading

from trainer.errors import TrainerError
from trainer.services.proving.ledger_check import Pace

log = logging.getLogger("trainer")
STRIDE = 250  # links: some milliseconds, so that nobody's answer waits for long
REST_SECONDS = 0.05
LOOK_SECONDS = 60


def keep_walking(pace: Pace, over: threading.Event) -> threading.Thread:
    """Walk from the start of the chain to its end, then after whatever is added, until ``over``."""

    def walk() -> None:
        while not over.wait(REST_SECONDS if _goes_on(pace) else LOOK_SECONDS):
            pass

    thread = threading.Thread(target=walk, name="chain", daemon=True)
    thread.start()
    return thread


def _goes_on(pace: Pace) -> bool:
    try:
        return pace.stride(STRIDE)
    except TrainerError as problem:
        log.error("the chain was not walked on: %s", problem)
        return False
