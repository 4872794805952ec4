"""How much memory the server holds: after its start, and after every drill and thousands of pages (Linux only).

Run by hand:

python -m tests.benchmarks.memory
"""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

from tests.benchmarks.running import Guest, filled, offered, trainer_running

PAGES = 2000


def megabytes(process_id: int, what: str = "VmRSS") -> float:
    """Memory of a process: what it holds now, or with VmHWM the most it ever held."""
    for line in Path(f"/proc/{process_id}/status").read_text().splitlines():
        if line.startswith(f"{what}:"):
            return int(line.split()[1]) / 1024
    raise LookupError(f"this system does not tell {what}")


def main() -> None:
    """Print what is held at the start, after a class's work, and at most."""
    with TemporaryDirectory() as folder:
        instance = filled(Path(folder) / "instance")
        sign_in, waiting = offered(instance, 50)
        with trainer_running(instance) as (port, process_id):
            tess = Guest(port, sign_in)
            tess.get("/trainee/")
            print(f"after the first page: {megabytes(process_id):.0f} MB")
            tess.enter(waiting[0])
            for turn in range(PAGES):
                tess.get(waiting[turn % len(waiting)])
            for one in waiting:
                tess.send(one, answer="1500 A")
                tess.get(f"{one}/verdict")
            held, most = megabytes(process_id), megabytes(process_id, "VmHWM")
            print(f"after {PAGES} pages: {held:.0f} MB, at most {most:.0f} MB")


if __name__ == "__main__":
    main()
