"""How long a warm start takes: `trainer --version`, and `trainer serve` of an existing instance to its first answer.

Seconds on the clock, the least of several (a busy machine only adds), beside those of a Python that does
nothing: the ratio holds on other machines too. Run by hand:

python -m tests.benchmarks.start
"""

from __future__ import annotations

import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.running import HOUSE, Guest, filled, trainer_running

TIMES = 10


def seconds(act: Callable[[], object]) -> float:
    """The least seconds of several tries."""
    found = []
    for _ in range(TIMES):
        began = time.perf_counter()
        act()
        found.append(time.perf_counter() - began)
    return min(found)


def run(*arguments: str) -> None:
    """Run this Python to its end."""
    subprocess.run([sys.executable, *arguments], cwd=HOUSE, check=True, stdout=subprocess.DEVNULL)


def first_answer(instance: Path) -> float:
    """Seconds from giving the command to having the front page, the least of several tries."""
    found = []
    for _ in range(TIMES):
        began = time.perf_counter()
        with trainer_running(instance) as (port, _):
            Guest(port).get("/sign-in")
            found.append(time.perf_counter() - began)
    return min(found)


def main() -> None:
    """Print the times and their ratios to a Python that does nothing."""
    nothing = seconds(lambda: run("-c", "pass"))
    version = seconds(lambda: run("-m", "trainer.cli", "--version"))
    with TemporaryDirectory() as folder:
        serve = first_answer(filled(Path(folder) / "instance"))
    print(f"a Python that does nothing: {nothing:.3f} s")
    print(f"trainer --version: {version:.3f} s, {version / nothing:.1f} times that")
    print(f"trainer serve to its first answer: {serve:.3f} s, {serve / nothing:.1f} times that")


if __name__ == "__main__":
    main()
