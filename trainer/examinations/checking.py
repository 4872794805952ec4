"""Check paper plans beyond their spelling: topics and drills that the bank has and that may be scored."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.bank import Bank, PaperEntry
from trainer.bank.yamltext import Place
from trainer.errors import Fault
from trainer.languages import _


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
                _(
                    "the bank has no question on '%(topic)s'; it has %(known)s",
                    topic=topic,
                    known=", ".join(sorted(known)),
                ),
            )
    for index, line in enumerate(plan.drills):
        place = ("drills", index)
        held = bank.drills.get(line.drill)
        if held is None:
            yield (*place, "drill"), _("there is no drill '%(drill)s' in the bank", drill=line.drill)
        elif line.find not in held.drill.finds:
            yield (
                (*place, "find"),
                _("%(drill)s does not ask for '%(find)s'", drill=line.drill, find=line.find),
            )
        elif held.drill.unconfirmed:
            yield (
                (*place, "drill"),
                _("%(drill)s rests on memory and is never scored; choose another", drill=line.drill),
            )
        elif (held.drill.level, plan.level) == ("II", "I"):
            yield (*place, "drill"), _("%(drill)s is of Level II; choose one of Level I", drill=line.drill)
