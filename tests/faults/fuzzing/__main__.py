"""Say what came how often: the way in from the command line."""

from __future__ import annotations

import resource
import sys

from tests.faults.fuzzing import BAD, bad, outcomes

TOLD_EVERY = 5000
MEMORY = 4 * 1024**3  # bytes: what wants more is a crash of that turn, not of the machine


def tell(turn: int, outcome: str) -> None:
    """What is bad, and how far it has come."""
    if outcome.startswith(BAD):
        print(outcome, flush=True)
    elif turn % TOLD_EVERY == TOLD_EVERY - 1:
        print(f"at {turn}", flush=True)


resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
target, times, *more = sys.argv[1:]
found = outcomes(target, int(times), *map(int, more), tell=tell)
for outcome, count in found.most_common():
    print(f"{count:9}  {outcome}")
sys.exit(1 if bad(found) else 0)
