"""Check paper plans beyond their spelling: topics and drills that the bank has and that may be scored."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.bank import Bank, PaperEntry
from trainer.bank.yamltext import Place
from trainer.errors import Fault


def check_paper(bank: Bank, entry: PaperEntry) -> list[Fault]:
    """Return every fault of one plan, each with its place."""
    return [entry.located.fault(place, says) for place, says in _faults(bank, entry)]


def _faults(bank: Bank, entry: PaperEntry) -> Iterator[tuple[Place, str]]:
    plan = entry.plan
    known = {one.topic for one in bank.questions.values()}
    for topic in plan.topics:
        if topic not in known:
            yield (
                ("topics", topic),
                f"the bank has no question on '{topic}'; it has {', '.join(sorted(known))}",
            )
    for index, line in enumerate(plan.drills):
        place = ("drills", index)
        held = bank.drills.get(line.drill)
        if held is None:
            yield (*place, "drill"), f"there is no drill '{line.drill}' in the bank"
        elif line.find not in held.drill.finds:
            yield (*place, "find"), f"{line.drill} does not ask for '{line.find}'"
        elif held.drill.unconfirmed:
            yield (*place, "drill"), f"{line.drill} rests on memory and is never scored; choose another"
        elif (held.drill.level, plan.level) == ("II", "I"):
            yield (*place, "drill"), f"{line.drill} is of Level II; choose one of Level I"
