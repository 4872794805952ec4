"""Throw made-up input at the trainer and count what breaks.

By hand: python -m tests.faults.fuzzing answers|credentials|files|requests COUNT [SEED] [FIRST]. Each turn has a chance
of its own made from seed and turn, so `COUNT 1`, the seed and the number of a turn make that turn again (requests
build on what earlier ones left behind: they come again only from a turn that begins a house).

A crash is any exception that is no sentence of ours, or a page with status 500; false is whatever is believed
though it was made up; slow is more than a second of processor time.
"""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory

Target = Callable[[random.Random], str]
TARGETS = ("answers", "credentials", "files", "requests")
BAD = ("crash", "false", "slow")
SLOW = 1.0


def outcomes(
    target: str, times: int, seed: int = 0, first: int = 0, tell: Callable[[int, str], None] = lambda *_: None
) -> Counter[str]:
    """How often each outcome came; what is bad is named with the turn at which it came, and told at once."""
    found: Counter[str] = Counter()
    with TemporaryDirectory(prefix="fuzzing-") as folder, _begun(target)(Path(folder)) as one:
        for turn, outcome in _each(one, times, seed, first):
            found[outcome] += 1
            tell(turn, outcome)
    return found


def bad(found: Counter[str]) -> list[str]:
    """What must not come even once."""
    return [outcome for outcome in found if outcome.startswith(BAD)]


def _begun(target: str) -> Callable[[Path], AbstractContextManager[Target]]:
    """The way in of a target's module."""
    begun: Callable[[Path], AbstractContextManager[Target]] = import_module(f"{__name__}.{target}").begun
    return begun


def _each(one: Target, times: int, seed: int, first: int) -> Iterator[tuple[int, str]]:
    for turn in range(first, first + times):
        begun = time.process_time()
        try:
            outcome = one(random.Random(f"{seed} {turn}"))
        except Exception as crash:
            outcome = f"crash: {type(crash).__name__}: {crash}"[:300]
        seconds = time.process_time() - begun
        if seconds > SLOW:
            outcome = f"slow: {seconds:.1f} s, {outcome}"
        yield turn, f"{outcome} at {turn}" if outcome.startswith(BAD) else outcome
