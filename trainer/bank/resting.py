"""What in a bank rests on an item: take the item away, and these fall out with it."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.bank.bank import Bank
from trainer.bank.question import NumberQuestion


def resting_on(bank: Bank, item: str) -> list[str]:
    """The ids of what is drawn from a drill or builds on a checklist, in order."""
    return sorted(name for name, base in _pairs(bank) if base == item and name != item)


def _pairs(bank: Bank) -> Iterator[tuple[str, str]]:
    """Each item with something that it rests on."""
    for question in bank.questions.values():
        if isinstance(question.question, NumberQuestion):
            yield question.id, question.question.drill
    for job in bank.jobs.values():
        yield from ((job.id, drill) for drill in {part.drill for part in job.job.parts})
    for paper in bank.papers.values():
        yield from ((paper.id, drill) for drill in {line.drill for line in paper.plan.drills})
    for technique in bank.techniques.values():
        drills = {case.drill for case in technique.technique.cases if case.drill is not None}
        yield from ((technique.id, drill) for drill in drills)
    for practical in bank.practicals.values():
        if practical.own.builds_on is not None:
            yield practical.id, practical.own.builds_on
