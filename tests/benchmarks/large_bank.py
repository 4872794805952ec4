"""The bank at ten times its size beside the bank as it is: check, start, pages, memory. Linux only. By hand:

python -m tests.benchmarks.large_bank [TIMES]

Drills, questions, jobs and checklists are written that often under other ids, in a copy of the house; what refers to
one refers to its copy. Seconds are those on the core, so that a busy machine disturbs little. Linear is TIMES.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import yaml

from tests.benchmarks.memory import megabytes
from tests.benchmarks.running import AS_USUAL, HOUSE, Guest, filled, offered, trainer_running

ROOMS = ("drills", "questions", "jobs", "practicals")
PAGES = {
    "the trainee's first page": "/trainee/",
    "all drills": "/trainee/drills",
    "topics of questions": "/trainee/questions",
    "an exercise": "",
}
KEPT = ("topic", "kind")  # words that may happen to be an id
VISITS = 30
TICK = os.sysconf("SC_CLK_TCK")
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


def copied(folder: Path, times: int) -> Path:
    """A house of its own whose bank is ``times`` as large."""
    for name in ("trainer", "templates", "question_bank"):
        shutil.copytree(HOUSE / name, folder / name)
    bank = folder / "question_bank"
    files = [path for room in ROOMS for path in sorted((bank / room).rglob("*.yaml"))]
    written = {path: yaml.load(path.read_text(encoding="utf-8"), Loader=_LOADER) for path in files}
    ids = {found for data in written.values() for found in _ids(data)}
    for turn in range(2, times + 1):
        for path, data in written.items():
            there = _place(path, bank, turn)
            there.parent.mkdir(exist_ok=True)
            text = yaml.dump(_renamed(data, ids, turn), Dumper=_DUMPER, allow_unicode=True, sort_keys=False)
            there.write_text(text, encoding="utf-8")
    return folder


def _ids(data: dict[str, Any]) -> Iterator[str]:
    """The ids that a file gives to its items."""
    listed = (
        [*data.get("questions", []), *data.get("numbers", [])]
        if "topic" in data and "id" not in data
        else [data]
    )
    yield from (one["id"] for one in listed)


def _place(path: Path, bank: Path, turn: int) -> Path:
    """Where a copy lies: beside its original, or for a topic's questions in the topic's folder."""
    if path.parent == bank / "questions":
        return path.with_suffix("") / f"{turn}.yaml"
    return path.with_stem(f"{path.stem}-x{turn}")


def _renamed(data: Any, ids: set[str], turn: int) -> Any:
    if isinstance(data, dict):
        return {name: value if name in KEPT else _renamed(value, ids, turn) for name, value in data.items()}
    if isinstance(data, list):
        return [_renamed(value, ids, turn) for value in data]
    return f"{data}-x{turn}" if isinstance(data, str) and data in ids else data


def checked(house: Path) -> dict[str, float]:
    """The check of the whole bank, with one draw of each find; a warm second one is measured."""
    command = [sys.executable, "-m", "trainer.cli", "bank", "check", "--seeds", "1"]
    for _ in range(2):
        process = subprocess.Popen(
            command, cwd=house, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, env=AS_USUAL
        )
        _, _, used = os.wait4(process.pid, 0)
    return {"check, s": used.ru_utime + used.ru_stime, "check, MB": used.ru_maxrss / 1024}


def served(house: Path, instance: Path, sign_in: str, waiting: str) -> dict[str, float]:
    """From a warm start to the first page, then each page of PAGES, and what is held at the end."""
    found: dict[str, float] = {}
    with trainer_running(instance, house) as (port, process_id):
        guest = Guest(port, sign_in)
        guest.get("/sign-in")
        found["start, s"] = core(process_id)
        found["start, MB"] = megabytes(process_id)
        for name, path in PAGES.items():
            found[f"{name}, ms"] = (
                1000 * of_one(process_id, lambda at=path or waiting: guest.get(at)) / VISITS
            )
        found["after the pages, MB"] = megabytes(process_id)
    return found


def of_one(process_id: int, ask: Callable[[], object]) -> float:
    """Seconds on the core for VISITS of a page; one before them fills what is remembered."""
    ask()
    before = core(process_id)
    for _ in range(VISITS):
        ask()
    return core(process_id) - before


def core(process_id: int) -> float:
    """Seconds that a process has had on the core."""
    user, system = Path(f"/proc/{process_id}/stat").read_text().rpartition(")")[2].split()[11:13]
    return (int(user) + int(system)) / TICK


@contextmanager
def houses(times: int) -> Iterator[tuple[Path, Path, Path]]:
    """The house as it is, the one with the large bank, and an instance for both."""
    with TemporaryDirectory(prefix="large-bank-") as folder:
        place = Path(folder)
        yield copied(place / "normal", 1), copied(place / "large", times), filled(place / "instance")


def main() -> None:
    """Print both sides and their ratio."""
    times = int(sys.argv[1]) if len(sys.argv) > 1 else 10
    with houses(times) as (normal, large, instance):
        sign_in, waiting = offered(instance, 1)
        one, many = (
            {**checked(house), **served(house, instance, sign_in, waiting[0])} for house in (normal, large)
        )
    for name, value in one.items():
        print(f"{name:28} {value:10.2f} {many[name]:10.2f}   x {many[name] / max(value, 0.01):.1f}")


if __name__ == "__main__":
    main()
