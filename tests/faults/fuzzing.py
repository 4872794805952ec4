"""Throw made-up typed answers and spoilt signed files at the trainer, and count what breaks. Run by hand:

python -m tests.faults.fuzzing answers|credentials TIMES [SEED]

Requests are made up in test_fuzzing. A crash is any exception that is no sentence of ours; a false "valid"
is a signed file whose meaning was changed and which is believed all the same.
"""

from __future__ import annotations

import json
import random
import sys
from collections import Counter
from collections.abc import Callable
from pathlib import Path

from tests.records.record_cases import DAY, ISSUERS, make_signed
from trainer.drills.marking import mark
from trainer.drills.shelf import Shelf
from trainer.records.verification import verify

PIECES = (
    "1", "0", "4.95", "1,8", "1e9", "9" * 40, "kA", "A", "in", "mm", '"', "1/2", "3 1/2", "-", "−", "+", "*",
    "/", "^", "**", "(", ")", "e", "E", ".", ",", " ", "\t", "%", "pi", "π", "sqrt", "__import__('os')", "\0", "µ",
    "²", "\u202e", "∞", "nan", "inf", "½", "{}", "{{7*7}}", "<b>", "'", ";", "--", "Ⅻ", "١٢", "０", "ft", "h", "min",
)  # fmt: skip


def answer_text(chance: random.Random) -> str:
    """A typed answer of some pieces, now and then of any characters at all."""
    if chance.random() < 0.1:
        return "".join(chr(chance.randrange(1, 0xD800)) for _ in range(chance.randrange(40)))
    return "".join(chance.choice(PIECES) for _ in range(chance.randrange(1, 9)))


def answers(chance: random.Random) -> Callable[[], str]:
    """Mark one made-up answer."""
    shelf = Shelf.of_folder(Path(__file__).parents[1] / "small_bank")
    drill = "coil-low-fill-wall"
    mould, drawn = shelf.mould(drill, "I"), shelf.draw(drill, 1, "I")
    return lambda: mark(mould, drawn, answer_text(chance), chance.choice(("point", "comma"))).kind


def credentials(chance: random.Random) -> Callable[[], str]:
    """Judge one spoilt credential."""
    good = make_signed()
    meant = json.loads(good)

    def one() -> str:
        spoilt = bytearray(good)
        for _ in range(chance.choice((1, 1, 1, 2, 5))):
            spoil(spoilt, chance)
        verdict = verify(bytes(spoilt), ISSUERS, DAY).verdict
        return "false valid" if verdict == "valid" and json.loads(spoilt) != meant else str(verdict)

    return one


def spoil(data: bytearray, chance: random.Random) -> None:
    """Turn a bit over, leave something out, put something in twice, or cut the end off."""
    place = chance.randrange(len(data) or 1)
    how = chance.randrange(4)
    if how == 0 and data:
        data[place] ^= 1 << chance.randrange(8)
    elif how == 1:
        del data[place : place + chance.randrange(1, 30)]
    elif how == 2:
        data[place:place] = data[place : place + chance.randrange(1, 30)]
    elif chance.random() < 0.2:
        del data[place:]


TARGETS = {"answers": answers, "credentials": credentials}


def outcomes(target: str, times: int, seed: int = 0) -> Counter[str]:
    """How often each outcome came; an exception counts under its name, with the turn at which it came."""
    one, found = TARGETS[target](random.Random(seed)), Counter[str]()
    for turn in range(times):
        try:
            found[one()] += 1
        except Exception as crash:
            found[f"crash at {turn}: {type(crash).__name__}: {crash}"] += 1
    return found


def main() -> None:
    """Say what came how often."""
    seed = int(sys.argv[3]) if len(sys.argv) > 3 else 0
    for outcome, times in outcomes(sys.argv[1], int(sys.argv[2]), seed).most_common():
        print(f"{times:9}  {outcome}")


if __name__ == "__main__":
    main()
