"""The exercise page against a bare "hello" on the same server: what share of the bare rate is left.

Every exercise is opened once, so that nothing is known of it yet, by a browser that keeps its cookies. Run by hand:

python -m tests.benchmarks.page
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.running import Guest, bare_running, compared, filled, in_turn, offered, trainer_running

WARM, TIMES = 30, 1000


def main() -> None:
    """Print both times and their ratio."""
    with TemporaryDirectory() as folder:
        instance = filled(Path(folder) / "instance")
        sign_in, waiting = offered(instance, WARM + TIMES)
        with trainer_running(instance) as (port, _), bare_running(Path(folder)) as bare_port:
            tess, bare = Guest(port, sign_in), Guest(bare_port)
            tess.enter(waiting[0])

            def exercise(_turn: int) -> float:
                return tess.get(waiting.pop())

            def hello(_turn: int) -> float:
                return bare.get("/")

            in_turn(WARM, exercise, hello)
            ours, theirs = in_turn(TIMES, exercise, hello)
    print(f"exercise page against hello: {compared(ours, theirs)}")


if __name__ == "__main__":
    main()
