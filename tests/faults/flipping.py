"""Turn single bits of a database over, and see whether each is found by the checks or does no harm.

By hand: python -m tests.faults.flipping 2000
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

from tests.make import NOW, make_people
from trainer.errors import TrainerError
from trainer.services import countersigning, ledger, ledger_check
from trainer.store import Database
from trainer.store.backup import check_database
from trainer.store.migrations import migrate, pending
from trainer.store.moving import contents

FACT = {"method": "MT", "date": "2026-11-20", "hours": "7.5", "task": "Draw hooks"}


@dataclass(frozen=True, slots=True)
class Flip:
    """One bit: where it was, and what became of it: named, harmless, or silent in some tables."""

    place: int
    bit: int
    outcome: str


def ledger_file(folder: Path) -> Path:
    """A database with a chain, entries and countersignatures."""
    file = folder / "trainer.sqlite"
    database = Database(f"sqlite:///{file.as_posix()}")
    migrate(database)
    with database.writing() as session:
        people = make_people(session)
        for number in range(40):
            fact = {**FACT, "task": f"Draw hooks {number}"}
            row = ledger.enter(session, people.tess, "experience", fact, people.tess, "trainee", NOW)
            countersigning.countersign(session, [row.id], people.emma, NOW)
    database.close()
    return file


def flips(folder: Path, times: int, seed: int = 0) -> list[Flip]:
    """Turn one bit after the other, each in a copy of its own."""
    whole = ledger_file(folder).read_bytes()
    chance, copy = random.Random(seed), folder / "copy.sqlite"
    database = Database(f"sqlite:///{(folder / 'trainer.sqlite').as_posix()}")
    good = content_of(database)
    database.close()
    used = [place for place, byte in enumerate(whole) if byte]  # room that was never written holds nothing
    found = []
    for _ in range(times):
        place, bit = chance.choice(used), chance.randrange(8)
        spoilt = bytearray(whole)
        spoilt[place] ^= 1 << bit
        for rest in folder.glob("copy.sqlite*"):
            rest.unlink()
        copy.write_bytes(spoilt)
        found.append(Flip(place, bit, outcome(copy, good)))
    return found


def outcome(file: Path, good: dict[str, str]) -> str:
    """What a start, the check of the file and the walk along the chain make of a spoilt database."""
    database = Database(f"sqlite:///{file.as_posix()}")
    try:
        steps = pending(database)
        check_database(file)
        now = content_of(database)
        with database.reading() as session:
            walk = ledger_check.walk(session)
    except TrainerError:
        return "named"
    except Exception as fault:  # what `trainer selfcheck` shows as a finding, with these words
        return f"found: {type(fault).__name__}"
    finally:
        database.close()
    if steps or walk.broken is not None:
        return "named"
    changed = sorted(name for name, digest in now.items() if good.get(name) != digest)
    return f"silent in {', '.join(changed)}" if changed else "harmless"


def content_of(database: Database) -> dict[str, str]:
    """The digest of every table."""
    with database.connection() as connection:
        return {content.table: content.digest for content in contents(connection)}


def main() -> None:
    """Say how many bits were named, harmless, silent."""
    with tempfile.TemporaryDirectory(prefix="flipping-") as folder:
        found = flips(Path(folder), int(sys.argv[1]))
    for said, times in Counter(flip.outcome for flip in found).most_common():
        print(f"{times:6}  {said}")


if __name__ == "__main__":
    main()
