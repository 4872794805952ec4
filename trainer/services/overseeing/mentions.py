"""Where the name of an erased person still stands: in texts about others, and in links of the chain.

Nothing of it is taken out by itself: a text about somebody else is that person's, and a link is for ever. What is
found is kept as places without the name, so that a person can look at each and decide.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, String, Table, cast, func, or_, select
from sqlalchemy.orm import Session

from trainer.languages import N_
from trainer.store.models import Link, Model, Person

MOST_SHOWN = 300
LEAST_LETTERS = 3  # a part of a name with fewer is found everywhere
# Where people write about people: the column and what it is. The tests name a column of text that is in no list.
SEARCHED = {
    "appeal.reason": N_("Reason of a decision on an appeal"),
    "appeal.says": N_("Grounds of an appeal"),
    "aside.texts": N_("Reason or address beside a note of the chain"),
    "draft_act.reason": N_("Reason beside an own item"),
    "draft_revision.text": N_("Own item"),
    "drill_set.title": N_("Title of a drill set"),
    "entry.body": N_("Ledger entry of somebody else"),
    "erasure.reason": N_("Reason of another erasure"),
    "evidence_file.name": N_("Name of an evidence file"),
    "export.body": N_("Signed record of somebody else"),
    "export.reason": N_("Reason why a record was withdrawn"),
    "incident.says": N_("Incident of an examination"),
    "meeting.subject": N_("Subject of a meeting"),
    "pack.name": N_("Name of a pack"),
    "panel.items": N_("Items of a panel"),
    "panel.title": N_("Title of a panel"),
    "panel_sheet.says": N_("Remark on a sheet of a panel"),
    "paper.extra_reason": N_("Reason of extra time"),
    "paper.void_reason": N_("Reason why a paper is void"),
    "personal_key.introduction": N_("Introduction of a personal key"),
    "pinned_issuer.name": N_("Name on the list of keys"),
    "practical_sheet.void_reason": N_("Reason why a practical is void"),
    "practice_decision.reason": N_("Reason of a decision on a written practice"),
    "practice_revision.overrides": N_("Written practice"),
    "sitting.title": N_("Title of an examination"),
    "specimen.private_map": N_("Map of a specimen"),
    "specimen.title": N_("Title of a specimen"),
    "taught_class.title": N_("Title of a class"),
}
NOTE = "link.event"
WORDS = {**SEARCHED, NOTE: N_("Note of the chain, which cannot be changed")}


@dataclass(frozen=True, slots=True)
class Mention:
    """One place as it stands now: which column, the number of its row, and what it says, long texts cut."""

    where: str
    key: str
    says: tuple[str, ...]


def find(session: Session, person: Person) -> list[list[str]]:
    """The places, as (column, number of the row), where a person is still named in their house.

    Call it once the person's own rows are gone and before the name is.
    """
    home, named = person.organisation_id, _pattern(person)
    places = []
    for where in SEARCHED:
        table, column = _column(where)
        wanted = select(_key(table), column).where(_of_house(table, home), _maybe(column, person))
        for key, value in session.execute(wanted):
            if any(named.search(text) for text in _texts(value)):
                places.append([where, str(key)])
    return places + [[NOTE, str(seq)] for seq in _notes(session, person, named)]


def shown(session: Session, places: Iterable[list[str]]) -> list[Mention]:
    """What stands in each of these places now; a row that has gone is left out."""
    found = []
    for where, key in places:
        table, column = _column(where)
        wanted = int(key) if _key(table).type.python_type is int else key
        row = session.execute(select(column).where(_key(table) == wanted)).first()
        texts = tuple(text[:MOST_SHOWN] for text in _texts(row[0]) if text.strip()) if row else ()
        if texts:
            found.append(Mention(where, key, texts))
    return found


def _notes(session: Session, person: Person, named: re.Pattern[str]) -> Iterator[int]:
    """Links that name the person, and those by or about them that hold an address or a reason in clear."""
    people = set(session.scalars(select(Person.id).where(Person.organisation_id == person.organisation_id)))
    for seq, event in session.execute(select(Link.seq, Link.event).order_by(Link.seq)).yield_per(500):
        facts, apart = event.get("facts") or {}, event.get("apart") or {}
        about = {event.get("who"), facts.get("person"), apart.get("of")}
        is_open = person.id in about and ("where" in event or "reason" in facts)
        texts = _texts([event.get("about"), event.get("where"), facts])
        if is_open or (about & people and any(named.search(text) for text in texts)):
            yield seq


def _pattern(person: Person) -> re.Pattern[str]:
    wanted = sorted(_names(person), key=len, reverse=True)
    return re.compile(rf"(?<!\w)(?:{'|'.join(map(re.escape, wanted))})(?!\w)", re.IGNORECASE)


def _names(person: Person) -> set[str]:
    """The name, each part of it that is long enough, the works number, the address."""
    parts = {part for part in re.split(r"[\s,.;-]+", person.name) if len(part) >= LEAST_LETTERS}
    return parts | {person.name, person.works_number, *([person.email] if person.email else [])}


def _maybe(column: ColumnElement[Any], person: Person) -> ColumnElement[bool]:
    """Whether the store finds the plain letters of a name in a column: a coarse sieve before each text is read."""
    runs = [max(re.findall(r"[a-z0-9]+", name.lower()) or [""], key=len) for name in _names(person)]
    text = func.lower(cast(column, String))
    return or_(*(text.like(f"%{run}%") for run in runs))


def _of_house(table: Table, home: int) -> ColumnElement[bool]:
    """Whether a row belongs to a house: by itself, or by the person or thing that it hangs on."""
    if "organisation_id" in table.c:
        return table.c.organisation_id == home
    fks = sorted(table.foreign_keys, key=lambda fk: (bool(fk.parent.nullable), fk.parent.name != "person_id"))
    target = fks[0].column
    return fks[0].parent.in_(select(target).where(_of_house(target.table, home)))


def _column(where: str) -> tuple[Table, ColumnElement[Any]]:
    table, column = where.split(".")
    found = Model.metadata.tables[table]
    return found, found.c[column]


def _key(table: Table) -> ColumnElement[Any]:
    """By what a row is found again: its id, else its number."""
    return table.c.id if "id" in table.c else next(iter(table.primary_key))


def _texts(value: object) -> Iterator[str]:
    """Every text in plain data, however deep."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from _texts(one)
    elif isinstance(value, list | tuple):
        for one in value:
            yield from _texts(one)
