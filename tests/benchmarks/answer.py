"""An answer against a bare durable INSERT: both over HTTP, on the same server, acknowledged when on the disk.

An answer is looked up, made again, marked, kept, moves a skill and adds a link to the chain; the bare form
adds one row. Their ratio is the share of the bare rate that is left. The second pair is run in a folder of
memory, where the disk costs nothing, so that the program's own work is seen. Run by hand:

python -m tests.benchmarks.answer
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.running import (
    Guest,
    Took,
    bare_running,
    compared,
    filled,
    in_turn,
    offered,
    trainer_running,
)

WARM, TIMES = 30, 300
MEMORY = Path("/dev/shm")


def compare(folder: Path) -> tuple[Took, Took]:
    """Seconds of an answer and of a bare INSERT, taken in turn."""
    sign_in, waiting = offered(filled(folder / "instance"), WARM + TIMES)
    with trainer_running(folder / "instance") as (port, _), bare_running(folder) as bare_port:
        tess, bare = Guest(port, sign_in), Guest(bare_port)
        tess.enter(waiting[0])

        def answer(turn: int) -> float:
            return tess.send(waiting.pop(), answer="1500 A", key=f"{turn}-{len(waiting)}")

        def insert(turn: int) -> float:
            return bare.send("/", answer="1500 A")

        in_turn(WARM, answer, insert)
        ours, theirs = in_turn(TIMES, answer, insert)
    return ours, theirs


def main() -> None:
    """Print both times and their ratio, on the disk and in memory."""
    for name, place in (("on the disk", None), ("in memory", MEMORY)):
        if place is not None and not place.is_dir():
            continue
        with TemporaryDirectory(dir=place) as folder:
            ours, theirs = compare(Path(folder))
        print(f"{name}, answer against bare INSERT: {compared(ours, theirs)}")


if __name__ == "__main__":
    main()
