"""The ledger of a person as the history that the qualification room judges, and back to text.

Entries are read by that room's own reader, so its rules stand once. Persons are named by works number.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Refused, Unreadable
from trainer.languages import _
from trainer.qualification import Entry as Fact
from trainer.qualification import History, write_history
from trainer.qualification.reading.entry import ALWAYS, KEPT, KINDS, RANGED, read_entry
from trainer.qualification.reading.fields import Amiss
from trainer.qualification.reading.heading import Known
from trainer.qualification.reading.notation import Branch, Leaf, Listing, Node
from trainer.services.admitting.accounts import MOST_NAMED
from trainer.store.models import Entry, Person

MOST_CHARACTERS = 20_000
MOST_DEPTH = 6


class BadEntry(Refused):
    """An entry cannot be taken as it stands; ``field`` names the field that is wrong, if it is one."""

    def __init__(self, says: str, field: str = "") -> None:
        super().__init__(f"{says[:1].upper()}{says[1:].rstrip('.')}.")
        self.field = field


def history_of(session: Session, person_id: int) -> History:
    """The history of one person in the order in which the ledger took the entries up.

    Raises NotFound for no person, Unreadable for rows that were changed behind the program's back.
    """
    return histories_of(session, [person_id])[person_id]


def histories_of(session: Session, person_ids: Collection[int]) -> dict[int, History]:
    """The histories of several people, read together."""
    rows: dict[int, list[Entry]] = {person_id: [] for person_id in person_ids}
    wanted = select(Entry).options(selectinload(Entry.countersignatures)).order_by(Entry.seq)
    if len(rows) < MOST_NAMED:
        wanted = wanted.where(Entry.person_id.in_(rows))
    for row in session.scalars(wanted):
        if row.person_id in rows:
            rows[row.person_id].append(row)
    numbers = _numbers(session, rows)
    return {
        person_id: History(numbers[person_id], tuple(_facts(found, numbers)), None, numbers[person_id])
        for person_id, found in rows.items()
    }


def history_text(session: Session, person_id: int) -> str:
    """The history of one person as the YAML text of the history format."""
    return write_history(history_of(session, person_id))


def check(data: Mapping[str, object], before: Iterable[Fact], schemes: Collection[str] | None) -> Fact:
    """Read one new entry in the form of the history format. Raises BadEntry with the field."""
    _within_bounds(data)
    kind = data.get("kind")
    if not isinstance(kind, str) or kind not in KINDS:
        raise BadEntry(_("There is no such kind of entry. Choose one of those offered"), "kind")
    names = names_of(kind)
    node = _tree(data, names)
    try:
        return read_entry(node, Known(schemes, {fact.id: fact for fact in before}))
    except Amiss as amiss:
        field = names[amiss.line - 2] if 2 <= amiss.line < len(names) + 2 else ""
        named = f"'{field}'"
        absent = _("%(name)s is missing from %(what)s; add it", name=named, what=_("the entry"))
        says = amiss.says.replace(absent, _("this is missing; write it"))
        raise BadEntry(says, field) from None


def as_data(row: Entry, numbers: Mapping[int, str]) -> dict[str, object]:
    """A row of the ledger in the form of the history format, its countersignature folded in."""
    data: dict[str, object] = {"id": row.id, "kind": row.kind, **row.body}
    data["entered_by"] = {"person": numbers[row.entered_by_id], "role": row.entered_role}
    if row.countersignatures:
        signed = row.countersignatures[0]
        data["countersigned_by"] = {"person": numbers[signed.person_id], "role": signed.role}
    return data


def _facts(rows: Iterable[Entry], numbers: Mapping[int, str]) -> Iterable[Fact]:
    known = Known(None, {})
    for row in rows:
        try:
            fact = read_entry(_tree(as_data(row, numbers), names_of(row.kind)), known)
        except (Amiss, KeyError) as fault:
            raise Unreadable(
                _(
                    "Entry %(id)s of the ledger cannot be read: it was changed outside the program. Run "
                    "'trainer audit' and bring a backup back.",
                    id=row.id,
                )
            ) from fault
        known.before[fact.id] = fact
        yield fact


def _numbers(session: Session, rows: Mapping[int, list[Entry]]) -> dict[int, str]:
    """The works numbers of the people concerned and of all hands, by id."""
    ids = set(rows)
    for row in (row for found in rows.values() for row in found):
        ids |= {row.entered_by_id, *(signed.person_id for signed in row.countersignatures)}
    wanted = select(Person.id, Person.works_number)
    if len(ids) < MOST_NAMED:
        wanted = wanted.where(Person.id.in_(ids))
    return {row.id: row.works_number for row in session.execute(wanted)}


def names_of(kind: str) -> list[str]:
    """The names of all fields of a kind, in the order of the format."""
    _reader, judged, kept = KINDS[kind]
    days = ("from", "to") if kind in RANGED else ()
    return [*ALWAYS, *KEPT, *days, *judged.split(), *kept.split()]


def _tree(data: Mapping[str, object], names: list[str]) -> Branch:
    """Plain data as the tree that the reader takes; the "line" of each field is its place in ``names``."""
    branch = Branch(1, 1, places={name: (line, 1) for line, name in enumerate(names, start=2)})
    for name, value in data.items():
        line = branch.places.setdefault(name, (1, 1))[0]
        branch.pairs[name] = node(value, line)
    return branch


def node(value: object, line: int) -> Node:
    if isinstance(value, Mapping):
        places = {str(name): (line, 1) for name in value}
        return Branch(line, 1, {str(name): node(one, line) for name, one in value.items()}, places)
    if isinstance(value, list | tuple):
        return Listing(line, 1, [node(one, line) for one in value])
    if isinstance(value, bool):
        return Leaf("true" if value else "false", True, line, 1)
    if value is None:
        return Leaf("", True, line, 1)
    return Leaf(str(value), False, line, 1)


def _within_bounds(value: object, depth: int = 0) -> int:
    """The characters of plain data; raises BadEntry for too many, too deep, or another kind of thing."""
    if depth > MOST_DEPTH:
        raise BadEntry(_("this entry is nested too deep; write it flatter"))
    if isinstance(value, Mapping):
        parts = [*value.keys(), *value.values()]
    elif isinstance(value, list | tuple):
        parts = list(value)
    elif value is None or isinstance(value, str | bool | int):
        return len(str(value))
    else:
        raise BadEntry(_("this entry holds something that is neither text, number, list nor mapping"))
    count = sum(_within_bounds(part, depth + 1) for part in parts) + len(parts)
    if count > MOST_CHARACTERS:
        raise BadEntry(
            _(
                "this entry is longer than %(most)s characters; shorten it",
                most=format(MOST_CHARACTERS, ","),
            )
        )
    return count
