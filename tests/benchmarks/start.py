"""How long a warm start takes: `trainer --version`, and `trainer serve` of an existing instance to its first answer.

Seconds on the clock, the least of several, since a busy machine only adds; beside them those that the process
had on the core, which is what a machine with nothing else to do would need. Run by hand:

python -m tests.benchmarks.start
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.running import AS_USUAL, HOUSE, Guest, filled, trainer_running

TIMES = 10


def least(act: Callable[[], float]) -> tuple[float, float]:
    """The least seconds of several tries: on the clock as the act tells them, and on the core."""
    found = []
    for _ in range(TIMES):
        before = os.times()
        clock = act()
        after = os.times()
        core = after.children_user + after.children_system - before.children_user - before.children_system
        found.append((clock, core))
    return min(clock for clock, _ in found), min(core for _, core in found)


def run(*arguments: str) -> float:
    """Run this Python to its end; the seconds it took."""
    began = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments], cwd=HOUSE, check=True, stdout=subprocess.DEVNULL, env=AS_USUAL
    )
    return time.perf_counter() - began


def first_answer(instance: Path) -> float:
    """Seconds from giving the command to having a page."""
    began = time.perf_counter()
    with trainer_running(instance) as (port, _):
        Guest(port).get("/sign-in")
        return time.perf_counter() - began


def main() -> None:
    """Print the times."""
    with TemporaryDirectory() as folder:
        instance = filled(Path(folder) / "instance")
        for name, act in (
            ("a Python that does nothing", lambda: run("-c", "pass")),
            ("trainer --version", lambda: run("-m", "trainer.cli", "--version")),
            ("trainer serve to its first answer", lambda: first_answer(instance)),
        ):
            clock, core = least(act)
            print(f"{name}: {clock:.3f} s on the clock, {core:.3f} s on the core")


if __name__ == "__main__":
    main()
