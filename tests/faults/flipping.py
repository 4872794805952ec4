"""Harm a database by a turned bit, a spoilt page or a cut, and see whether the checks find it or it does no harm.

By hand: python -m tests.faults.flipping 2000 [SEED]
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from tests.make import NOW, make_people
from trainer.errors import TrainerError
from trainer.services.proving import ledger_check
from trainer.services.qualifying import countersigning, ledger
from trainer.store import Database
from trainer.store.database_file import check_database
from trainer.store.migrations import migrate, pending
from trainer.store.moving import contents

FACT = {"method": "MT", "date": "2026-11-20", "hours": "7.5", "task": "Draw hooks"}


PAGE = 4096  # bytes of one page of SQLite


@dataclass(frozen=True, slots=True)
class Harm:
    """What was done, where, and what became of it: named, found, harmless, or silent in some tables."""

    how: str
    place: int
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


def flipped(whole: bytearray, chance: random.Random) -> int:
    """Turn one bit over that is not in room that was never written, which holds nothing."""
    place = chance.choice([place for place, byte in enumerate(whole) if byte])
    whole[place] ^= 1 << chance.randrange(8)
    return place


def spoilt_page(whole: bytearray, chance: random.Random) -> int:
    """Fill a page with what a bad disk gives: zeros, anything at all, or another page."""
    pages = len(whole) // PAGE
    place, other = (PAGE * chance.randrange(pages) for _ in range(2))
    whole[place : place + PAGE] = chance.choice(
        (bytes(PAGE), chance.randbytes(PAGE), whole[other : other + PAGE])
    )
    return place


def cut(whole: bytearray, chance: random.Random) -> int:
    """Cut the end off, within a page or between two."""
    place = chance.choice((chance.randrange(len(whole)), PAGE * chance.randrange(len(whole) // PAGE)))
    del whole[place:]
    return place


HARMS: dict[str, Callable[[bytearray, random.Random], int]] = {
    "bit": flipped,
    "page": spoilt_page,
    "cut": cut,
}


def harmed(folder: Path, times: int, seed: int = 0, harms: tuple[str, ...] = tuple(HARMS)) -> list[Harm]:
    """Do each harm ``times`` times, each in a copy of its own."""
    whole = ledger_file(folder).read_bytes()
    chance, copy = random.Random(seed), folder / "copy.sqlite"
    database = Database(f"sqlite:///{(folder / 'trainer.sqlite').as_posix()}")
    good = content_of(database)
    database.close()
    found = []
    for how in (how for how in harms for _ in range(times)):
        spoilt = bytearray(whole)
        place = HARMS[how](spoilt, chance)
        for rest in folder.glob("copy.sqlite*"):
            rest.unlink()
        copy.write_bytes(spoilt)
        found.append(Harm(how, place, "harmless" if spoilt == whole else outcome(copy, good)))
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
    """Say of each harm how often it was named, harmless, silent."""
    times, seed = (int(sys.argv[n]) if len(sys.argv) > n else standard for n, standard in ((1, 2000), (2, 0)))
    with tempfile.TemporaryDirectory(prefix="flipping-") as folder:
        found = harmed(Path(folder), times, seed)
    for (how, said), count in sorted(Counter((harm.how, harm.outcome) for harm in found).items()):
        print(f"{count:6}  {how}: {said}")


if __name__ == "__main__":
    main()
