"""Many histories in one file: a YAML list, each case judged by itself."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trainer.errors import Fault, Refused
from trainer.qualification.reading.fields import Amiss, Fields
from trainer.qualification.reading.history import FaultyHistory, history_from
from trainer.qualification.reading.notation import Branch, Leaf, Listing, Node, Written, read_written
from trainer.qualification.scheme import Scheme
from trainer.qualification.standing import Standing, standing

MAX_BYTES = 16_000_000
MOST_CASES = 10_000
JUDGED = ("id", "scheme", "level", "on", "history", "person", "written_practice")
# What a file of test cases may say besides; labels are never judged.
LABELS = ("route", "expect", "overall", "reason", "depends_on", "figures", "note")


@dataclass(frozen=True, slots=True)
class Outcome:
    """One case of a batch: its id, and its standing or the sentence that says what is wrong."""

    id: str
    standing: Standing | None
    error: str | None


def judge_batch(source: str | bytes, name: str, schemes: Mapping[str, Scheme]) -> Iterator[Outcome]:
    """Judge each case of a list in order; a faulty case gets a sentence and the others go on.

    Raises FaultyHistory if the file as a whole cannot be read as a list.
    """
    written = read_written(source, name, MAX_BYTES)
    if written.root is None:
        raise FaultyHistory(written.faults)
    if not isinstance(written.root, Listing):
        says = "a batch is one list: begin each case with '- id: ...'"
        raise FaultyHistory([Fault(name, written.root.line, written.root.column, says)])
    nodes = written.root.nodes
    if len(nodes) > MOST_CASES:
        raise FaultyHistory([Fault(name, 1, 1, f"more than {MOST_CASES:,} cases; split the file")])
    by_case = _faults_by_case(written, nodes)
    seen: set[str] = set()
    for place, node in enumerate(nodes):
        outcome = _judge(node, place + 1, name, by_case[place], schemes)
        if outcome.id in seen and outcome.error is None:
            error = f"{name}:{node.line}: case {outcome.id}: this id was used before; give each case its own"
            outcome = Outcome(outcome.id, None, error)
        seen.add(outcome.id)
        yield outcome


def _faults_by_case(written: Written, nodes: list[Node]) -> list[list[Fault]]:
    """Share out the faults of notation to the case in which each lies."""
    shares: list[list[Fault]] = [[] for _ in nodes]
    case = 0
    for fault in written.faults:
        while case + 1 < len(nodes) and (nodes[case + 1].line, nodes[case + 1].column) <= (
            fault.line,
            fault.column,
        ):
            case += 1
        if shares:
            shares[case].append(fault)
    return shares


def _judge(node: Node, number: int, name: str, faults: list[Fault], schemes: Mapping[str, Scheme]) -> Outcome:
    identity = _identity(node, number)
    try:
        return Outcome(identity, _standing(node, identity, name, faults, schemes), None)
    except (FaultyHistory, Refused) as error:
        says = (
            str(error)
            if isinstance(error, FaultyHistory)
            else f"{name}:{node.line}: case {identity}: {error}"
        )
        return Outcome(identity, None, says)


def _identity(node: Node, number: int) -> str:
    written = node.pairs.get("id") if isinstance(node, Branch) else None
    return written.text.strip() if isinstance(written, Leaf) and written.text.strip() else f"number {number}"


def _standing(
    node: Node, identity: str, name: str, faults: list[Fault], schemes: Mapping[str, Scheme]
) -> Standing:
    try:
        case = Fields(node, "a case")
        case.only((*JUDGED, *LABELS), "a case")
        case.text("id")
        scheme, level, on = (
            schemes[case.choice("scheme", sorted(schemes))],
            case.level("level"),
            case.day("on"),
        )
    except Amiss as amiss:
        fault = Fault(name, amiss.line, amiss.column, f"case {identity}: {amiss.says}")
        raise FaultyHistory([fault, *faults]) from None
    return standing(history_from(case, name, faults, schemes, f"case {identity}: "), scheme, level, on)
