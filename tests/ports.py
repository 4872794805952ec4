"""Ports for the servers of tests: each process tries numbers of its own, below those that the system gives away itself.

Whoever knocks at a port that the system gives away may be given that very port to knock from, and meet nobody but
himself: he seems to be let in, and whoever comes next is refused.
"""

from __future__ import annotations

import os

from trainer.serving.server import next_free

FIRST, LANES, WIDTH = 20_000, 240, 50  # the system gives away 32,768 and more


def own_port(host: str = "127.0.0.1") -> int:
    """A free port for this process."""
    return next_free(host, FIRST + os.getpid() % LANES * WIDTH)
