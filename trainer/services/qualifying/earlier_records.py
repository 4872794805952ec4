"""Take over earlier records: check every one, then enter all of them or none.

They are entries like any other: they count for nothing until somebody entitled has countersigned them.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.languages import _
from trainer.services.admitting import entitlements
from trainer.services.keeping.spreadsheet import BadRow
from trainer.services.keeping.workbook import MOST_CELL
from trainer.services.qualifying import entry_plans, ledger, typed_entries
from trainer.services.qualifying.earlier_file import SPECIMENS, Row
from trainer.services.qualifying.entry_plans import Page, Planned
from trainer.services.qualifying.histories import BadEntry
from trainer.store.models import Entry, Person


@dataclass(frozen=True, slots=True)
class Line:
    """A row that can be entered, and about whom."""

    line: int
    person: Person
    planned: Planned


@dataclass(frozen=True, slots=True)
class Preview:
    """What taking the file over would enter, and every row that stands in the way."""

    lines: tuple[Line, ...]
    bad: tuple[BadRow, ...]


def check(
    session: Session, by_id: int, rows: Sequence[Row], now: datetime, schemes: Collection[str]
) -> Preview:
    """Look at every row; nothing is written."""
    desk = _Desk(session, by_id, rows, now, schemes)
    lines: list[Line] = []
    bad: list[BadRow] = []
    for row in rows:
        try:
            lines.append(desk.line(row))
        except (Refused, NotFound, NotAllowed, Conflict) as fault:
            bad.append(BadRow(row.line, says(fault)))
    return Preview(tuple(lines), tuple(bad))


def take(
    session: Session, by_id: int, rows: Sequence[Row], now: datetime, schemes: Collection[str]
) -> list[Entry]:
    """Enter every row. Raises Refused when any is bad: nothing is half taken."""
    preview = check(session, by_id, rows, now, schemes)
    if preview.bad:
        raise Refused(
            _(
                "Row %(line)s: %(says)s Nothing was entered.",
                line=preview.bad[0].line,
                says=preview.bad[0].says,
            )
        )
    return [ledger.write(session, line.planned, now) for line in preview.lines]


class _Desk:
    """Reads rows one after the other, over the pages of everybody whom they name."""

    def __init__(
        self, session: Session, by_id: int, rows: Sequence[Row], now: datetime, schemes: Collection[str]
    ) -> None:
        self.session, self.by_id, self.now, self.schemes = session, by_id, now, schemes
        self.seq = entry_plans.next_seq(session)
        self.asker = session.get(Person, by_id)  # held, so that each row's check finds it in the session
        named = {_number(row) for row in rows}
        reached = entitlements.overseen_people(session, by_id)
        found = session.scalars(reached.where(Person.id != by_id, Person.works_number.in_(named)))
        self.people = {person.works_number: person for person in found}
        self.pages = Page.of_all(session, [person.id for person in self.people.values()])

    def line(self, row: Row) -> Line:
        """The row as an entry to be. Raises Refused, NotFound, NotAllowed, Conflict."""
        person = self.people.get(_number(row))
        if person is None:
            raise NotFound(
                _(
                    "There is nobody with the works number %(works_number)s whom you may enter for.",
                    works_number=row.works_number[:40],
                )
            )
        long = next((name for name, text in row.typed.items() if len(text) > MOST_CELL), None)
        if long:
            raise BadEntry(
                _(
                    "more than %(most)s characters do not fit; shorten it",
                    most=MOST_CELL,
                ),
                long,
            )
        role = role_for(self.session, self.by_id, row.kind)
        ledger.may_enter(self.session, person.id, row.kind, self.by_id, role)
        body = typed_entries.body(row.kind, _with_specimen(row))
        unknown = sorted(row.typed.keys() - body.keys() - set(SPECIMENS if _is_practical(row) else ()))
        if unknown:
            raise BadEntry(
                _("an entry of kind %(kind)s has no such field; empty the cell", kind=row.kind), unknown[0]
            )
        page = self.pages[person.id]
        planned = page.plan(row.kind, body, self.by_id, role, self.seq, self.now, self.schemes)
        self.seq += 1
        return Line(row.line, person, planned)


def _number(row: Row) -> str:
    return "".join(row.works_number.upper().split())


def role_for(session: Session, by_id: int, kind: str) -> str:
    """The role in which somebody enters this kind about others, else one of theirs, whose refusal says why.

    Raises BadEntry for no such kind.
    """
    if kind not in entitlements.ENTERED_BY:
        known = ", ".join(sorted(entitlements.ENTERED_BY.keys() - {"practice"}))
        raise BadEntry(_("there is no such kind of entry; write one of %(known)s", known=known), "kind")
    able = entitlements.roles_of(session, by_id) - {"trainee"}
    return entitlements.first_of(able & entitlements.ENTERED_BY[kind]) or entitlements.first_of(able) or ""


def _is_practical(row: Row) -> bool:
    return row.kind == "examination" and row.typed.get("part") == "practical"


def _with_specimen(row: Row) -> dict[str, str]:
    """What was typed, a practical part's specimens under the names of the entry form."""
    typed = dict(row.typed)
    if _is_practical(row):
        for name, field in SPECIMENS.items():
            typed[field] = typed.pop(name, "")
    return typed


def says(fault: Exception) -> str:
    """The sentence with the column that it is about."""
    field = fault.field.replace("_", " ") if isinstance(fault, BadEntry) else ""
    return f"{field[:1].upper()}{field[1:]}: {fault}" if field else str(fault)
