"""The text of a draft, read and checked against the bank as if it stood in it already; nothing is written.

The text is a file of the bank that holds one item. It comes from a page, so its size is bounded here, its depth
by the reader, and the time for solving what is new in it by `formulas.apart`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace

from trainer.bank import Bank, Entry, PracticalEntry, QuestionEntry
from trainer.bank.checklists import Checklists
from trainer.bank.drill import Drill
from trainer.bank.entries import questions_in
from trainer.bank.practical import Practical
from trainer.bank.question import QuestionFile
from trainer.bank.reader import edition_of, read_model
from trainer.bank.yamltext import Located, read_yaml
from trainer.drills.shelf import Shelf
from trainer.errors import Busy, Fault, FaultyFiles, NotFound, Refused
from trainer.formulas.apart import SolvedApart
from trainer.formulas.solved import by_sympy
from trainer.languages import _
from trainer.services.authoring.banks import drill_faults, other_faults
from trainer.services.keeping import own_contents
from trainer.settings import bank_folder

LARGEST = 60_000  # characters; the longest drill of the shipped bank has about 8000
MOST_FAULTS = 50
FEW, MANY = 5, 60  # draws of each find: while somebody writes, and before anybody else is asked to read
NAME, STARTS = "draft", "starts"
_ORDER = ("drill", "question", "practical")  # the others are made of drills

Item = Entry | QuestionEntry | PracticalEntry


@dataclass(frozen=True, slots=True)
class Checked:
    """What a text turned out to be. ``shelf`` is the bank with the item in it.

    Without an item the text cannot be read. With faults it may still be looked at, as far as it can be drawn.
    """

    faults: tuple[Fault, ...]
    shelf: Shelf
    item: Item | None = None

    @property
    def sound(self) -> bool:
        """Whether it may be put forward."""
        return self.item is not None and not self.faults


def check(shelf: Shelf, kind: str, text: str, own: str = "", seeds: int = FEW) -> Checked:
    """Read and check a text; ``own`` is the id under which this draft stands in the bank already."""
    try:
        located = read_yaml(text, NAME, LARGEST)
        bank, item = _JOINED[kind](_without(shelf.bank, own), located)
    except FaultyFiles as faulty:
        return Checked(faulty.faults[:MOST_FAULTS], shelf)
    with SolvedApart() as solver:
        joined = shelf.over(bank, shelf.forms.apart(solver))
        faults = tuple(_faults(joined, item, own, seeds))[:MOST_FAULTS]
    return Checked(faults, joined, item)


def joined(shelf: Shelf, texts: Iterable[tuple[str, str]]) -> Shelf:
    """The bank with more items of these kinds and texts; one with faults is left out and told like any own item."""
    for kind, text in sorted(texts, key=lambda one: _ORDER.index(one[0])):
        found = check(shelf, kind, text, seeds=0)
        if found.sound:
            shelf = shelf.over(found.shelf.bank, found.shelf.forms.apart(by_sympy))
        else:
            told = (*shelf.bank.private_faults, *found.faults)
            shelf = shelf.over(replace(shelf.bank, private_faults=told), shelf.forms)
    return shelf


def is_for_examinations(kind: str, text: str) -> bool:
    """Whether a text is for examinations only; one that cannot be read yet may be."""
    try:
        located = read_yaml(text, NAME, LARGEST)
        read_model(_MODELS[kind], located)
    except FaultyFiles:
        return True
    return own_contents.content_is_for_examinations(located.data)


def start(kind: str) -> str:
    """A sound item of a kind to begin from. Raises NotFound for a kind there is none of."""
    if kind not in _MODELS:
        raise NotFound(_("There is no such kind of item. Choose one offered."))
    return (bank_folder() / STARTS / f"{kind}.yaml").read_text(encoding="utf-8")


def place_of(kind: str, text: str) -> str:
    """The file of the bank that a text is meant for; empty while it cannot be read."""
    try:
        return _place(read_model(_MODELS[kind], read_yaml(text, NAME, LARGEST)))
    except FaultyFiles:
        return ""


def _place(read: Drill | QuestionFile | Practical) -> str:
    if isinstance(read, Drill):
        return f"drills/{read.topic}/{read.id}.yaml"
    if isinstance(read, Practical):
        return f"practicals/{read.id}.yaml"
    ids = [one.id for one in (*read.questions, *read.numbers)]
    return f"questions/{read.topic}/{ids[0]}.yaml" if len(ids) == 1 else ""


def _faults(shelf: Shelf, item: Item, own: str, seeds: int) -> Iterator[Fault]:
    if own and item.id != own:
        yield item.located.fault(
            ("id",), _("this stands in the bank as '%(own)s'; keep the id, or begin another draft", own=own)
        )
    try:
        yield from drill_faults(seeds)(shelf, item.id)
        yield from other_faults(seeds)(shelf, item.id)
    except (Refused, Busy) as fault:
        yield Fault(NAME, 1, 1, str(fault).rstrip("."))


def _drill(bank: Bank, located: Located) -> tuple[Bank, Item]:
    drill = read_model(Drill, located)
    _new(bank, located, drill.id, ("id",))
    entry = Entry(drill, located, edition_of(located.data))
    return replace(bank, drills={**bank.drills, drill.id: entry}, private=bank.private | {drill.id}), entry


def _question(bank: Bank, located: Located) -> tuple[Bank, Item]:
    entries = list(questions_in(read_model(QuestionFile, located), located))
    if len(entries) != 1:
        says = _("write one question here, under 'questions' or 'numbers'; %(n)s found", n=len(entries))
        raise FaultyFiles((located.fault((), says),))
    entry = entries[0]
    _new(bank, located, entry.id, (*entry.place, "id"))
    return replace(
        bank, questions={**bank.questions, entry.id: entry}, private=bank.private | {entry.id}
    ), entry


def _practical(bank: Bank, located: Located) -> tuple[Bank, Item]:
    practical = read_model(Practical, located)
    _new(bank, located, practical.id, ("id",))
    base = bank.practicals.get(practical.builds_on or "")
    above = [one for one in bank.practicals.values() if one.own.builds_on == practical.id]
    lists = Checklists()
    for one in (base, *above):
        if one is not None:
            lists.add(one.own, replace(one.located, name=_file(one)))
    lists.add(practical, located)
    entries, faults = lists.joined(bank.cautions)
    own = [fault for fault in faults if fault.file == NAME]
    if not own:  # what builds on it must stay whole too, or it would fall out of the bank with the approval
        own = [located.fault(("id",), _breaks(one, faults)) for one in above if one.id not in entries]
    if own:
        raise FaultyFiles(tuple(own))
    entry = entries[practical.id]
    return replace(
        bank, practicals={**bank.practicals, entry.id: entry}, private=bank.private | {entry.id}
    ), entry


def _file(entry: PracticalEntry) -> str:
    return f"{entry.id}.yaml"


def _breaks(above: PracticalEntry, faults: Iterable[Fault]) -> str:
    says = next((fault.says for fault in faults if fault.file == _file(above)), _("it cannot be joined"))
    return _(
        "'%(above)s' builds on this checklist and would be out of order: %(says)s", above=above.id, says=says
    )


_MODELS: dict[str, type[Drill | QuestionFile | Practical]] = {
    "question": QuestionFile, "drill": Drill, "practical": Practical
}  # fmt: skip
_JOINED: dict[str, Callable[[Bank, Located], tuple[Bank, Item]]] = {
    "question": _question, "drill": _drill, "practical": _practical
}  # fmt: skip


def _new(bank: Bank, located: Located, item: str, place: tuple[str | int, ...]) -> None:
    """Refuse an id in use. Checklists count their ids apart, but a file of one's own must not be taken for two."""
    if item in _ids(bank):
        raise FaultyFiles(
            (located.fault(place, _("there is another item with the id '%(item)s'", item=item)),)
        )


def _ids(bank: Bank) -> set[str]:
    return {*bank.drills, *bank.jobs, *bank.questions, *bank.papers, *bank.practicals, *bank.techniques}


def _without(bank: Bank, own: str) -> Bank:
    """The bank without the item that this draft put there."""
    if own not in bank.private:
        return bank
    return replace(
        bank,
        drills={name: one for name, one in bank.drills.items() if name != own},
        questions={name: one for name, one in bank.questions.items() if name != own},
        practicals={name: one for name, one in bank.practicals.items() if name != own},
        private=bank.private - {own},
    )
