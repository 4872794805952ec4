"""Read a whole history, one person's ledger in writing, and write it again."""

from __future__ import annotations

import json
import re
from bisect import bisect_right
from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from math import inf

from trainer.errors import Fault, Unreadable
from trainer.qualification.entries import Entry
from trainer.qualification.reading.entry import read_entry
from trainer.qualification.reading.fields import Amiss, Fields, quoted
from trainer.qualification.reading.heading import Known
from trainer.qualification.reading.notation import Branch, Leaf, Listing, Node, read_written
from trainer.qualification.reading.writing import entry_as_data

MOST_ENTRIES = 20_000
# Characters that YAML takes as line breaks or refuses; written as escapes they come back unchanged.
_UNSAFE = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class History:
    """One person's entries in the order in which the ledger took them up.

    ``practice`` is the written practice as it stands in the file, not yet read: it is read only when
    it builds on the scheme that is asked for.
    """

    person: str | None
    entries: tuple[Entry, ...]
    practice: Branch | None = field(default=None, compare=False, repr=False)
    name: str = field(default="history", compare=False)


class FaultyHistory(Unreadable):
    """A history or written practice cannot be judged. The sentence is about the first fault; all are kept."""

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(sorted(faults, key=lambda fault: (fault.line, fault.column)))
        first = self.faults[0]
        super().__init__(f"{first.file}:{first.line}: {first.says}")


def read_history(source: str | bytes, name: str, schemes: Collection[str] | None = None) -> History:
    """Read a history from YAML or JSON text; ``schemes`` are the ids that entries may name (none: any).

    Raises FaultyHistory with one sentence ``FILE:LINE: entry ID: what is wrong and what to write``.
    """
    written = read_written(source, name)
    faults = list(written.faults)
    if written.root is None:
        raise FaultyHistory(faults)
    try:
        root = Fields(written.root, "a history")
        root.only(("person", "written_practice", "history"), "a history")
    except Amiss as amiss:
        raise FaultyHistory([*faults, Fault(name, amiss.line, amiss.column, amiss.says)]) from None
    return history_from(root, name, faults, schemes)


def history_from(
    root: Fields, name: str, faults: Sequence[Fault], schemes: Collection[str] | None, who: str = ""
) -> History:
    """Read person, entries and written practice from a mapping that is already known to be one.

    ``who`` begins the sentence about a fault that lies in no entry.
    """
    found: list[Fault] = []
    person, nodes, practice = None, [], None
    try:
        person = root.text("person") if root.has("person") else None
        nodes = _nodes(root)
        practice = _practice(root)
    except Amiss as amiss:
        found.append(Fault(name, amiss.line, amiss.column, f"{who}{amiss.says}"))
    end = _end_of_history(root)
    holders = [_holder(fault, nodes) if (fault.line, fault.column) < end else None for fault in faults]
    entries = _entries(nodes, name, found, Known(schemes, {}), holders)
    found.extend(_placed(fault, nodes, holder, who) for fault, holder in zip(faults, holders, strict=True))
    if found:
        raise FaultyHistory(found)
    return History(person, tuple(entries), practice, name)


def _nodes(root: Fields) -> list[Node]:
    if "history" not in root.node.pairs:
        root.get("history")
    node = root.node.pairs["history"]
    if isinstance(node, Leaf) and node.empty:
        return []
    if not isinstance(node, Listing):
        raise root.amiss("history", "history must be a list of entries, each on a line that begins with '- '")
    if len(node.nodes) > MOST_ENTRIES:
        raise root.amiss("history", f"more than {MOST_ENTRIES:,} entries; judge them in two files")
    return node.nodes


def _end_of_history(root: Fields) -> tuple[float, float]:
    """Return where the key after the list begins: what stands from there on lies in no entry."""
    begin = root.node.places.get("history", (0, 0))
    return min((place for place in root.node.places.values() if place > begin), default=(inf, inf))


def _practice(root: Fields) -> Branch | None:
    if not root.has("written_practice"):
        return None
    node = root.get("written_practice")
    if not isinstance(node, Branch):
        raise root.amiss("written_practice", "written_practice must be a mapping with based_on and overrides")
    return node if node.pairs else None


def _entries(
    nodes: list[Node], name: str, found: list[Fault], known: Known, spoiled: list[int | None]
) -> list[Entry]:
    """Read the entries; of one that is spoiled by its notation only the notation is complained about."""
    entries: list[Entry] = []
    for place, node in enumerate(nodes):
        try:
            entry = read_entry(node, known)
        except Amiss as amiss:
            if place not in spoiled:
                found.append(Fault(name, amiss.line, amiss.column, f"{_who(place, nodes)}: {amiss.says}"))
            continue
        known.before[entry.id] = entry
        entries.append(entry)
    return entries


def _holder(fault: Fault, nodes: list[Node]) -> int | None:
    """Return the place of the entry within which a fault of notation lies; none if before all entries."""
    place = bisect_right(nodes, (fault.line, fault.column), key=lambda node: (node.line, node.column)) - 1
    return place if place >= 0 else None


def _placed(fault: Fault, nodes: list[Node], holder: int | None, who: str) -> Fault:
    prefix = who if holder is None else f"{_who(holder, nodes)}: "
    return Fault(fault.file, fault.line, fault.column, f"{prefix}{fault.says}")


def _who(place: int, nodes: list[Node]) -> str:
    node = nodes[place]
    identity = node.pairs.get("id") if isinstance(node, Branch) else None
    if isinstance(identity, Leaf) and identity.text.strip():
        return f"entry {quoted(identity.text.strip())[1:-1]}"
    return f"entry number {place + 1} (it has no id)"


def write_history(history: History) -> str:
    """Write a history so that reading it gives the same entries; the text is YAML, one entry a line.

    A written practice is not written: it is the employer's own document.
    """
    lines = [f"person: {_json(history.person)}"] if history.person is not None else []
    lines.append("history:" if history.entries else "history: []")
    lines += [f"- {_json(entry_as_data(entry))}" for entry in history.entries]
    return "\n".join(lines) + "\n"


def _json(data: object) -> str:
    text = json.dumps(data, ensure_ascii=False)
    return _UNSAFE.sub(lambda match: f"\\u{ord(match[0]):04x}", text)
