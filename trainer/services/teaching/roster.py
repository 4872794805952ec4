"""Take a roster from a spreadsheet: check every row, then enter all of it or nothing."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from trainer.errors import Refused
from trainer.languages import _
from trainer.services.admitting import accounts, joining, particulars
from trainer.services.admitting.roster_file import Row
from trainer.services.keeping.spreadsheet import BadRow
from trainer.services.teaching import classes
from trainer.store.models import Person, PersonRole


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A row that can be taken. ``person_id`` is set for somebody who is here already."""

    line: int
    name: str
    works_number: str
    email: str
    class_id: int | None
    class_title: str
    person_id: int | None


@dataclass(frozen=True, slots=True)
class Preview:
    """What taking the roster would do, and every row that stands in the way."""

    people: tuple[Newcomer, ...]
    bad: tuple[BadRow, ...]

    @property
    def new(self) -> int:
        """How many people would be entered."""
        return sum(person.person_id is None for person in self.people)


@dataclass(frozen=True, slots=True)
class Slip:
    """One join slip to print: the code is shown this once."""

    name: str
    works_number: str
    code: str


def check(session: Session, by_id: int, rows: Sequence[Row]) -> Preview:
    """Look at every row; nothing is written."""
    known = _Known.of(session, by_id)
    people: list[Newcomer] = []
    bad: list[BadRow] = []
    for row in rows:
        try:
            people.append(known.newcomer(row))
        except Refused as fault:
            bad.append(BadRow(row.line, str(fault)))
    return Preview(tuple(people), tuple(bad))


def take(session: Session, by_id: int, rows: Sequence[Row], now: datetime) -> list[int]:
    """Enter everybody of a roster and put them into their classes; return the ids in order.

    Raises Refused when any row is bad: nothing is half taken.
    """
    preview = check(session, by_id, rows)
    if preview.bad:
        raise Refused(
            _("Row %(line)s: %(says)s Nothing was taken.", line=preview.bad[0].line, says=preview.bad[0].says)
        )
    fresh = [one for one in preview.people if one.person_id is None]
    entered = iter(
        accounts.add_trainees(session, by_id, [(one.works_number, one.name, one.email) for one in fresh], now)
    )
    ids = [one.person_id or next(entered) for one in preview.people]
    placed = [one.class_id for one in preview.people]
    for class_id in dict.fromkeys(one for one in placed if one is not None):
        chosen = [person_id for person_id, place in zip(ids, placed, strict=True) if place == class_id]
        classes.add_members(session, by_id, class_id, chosen, now)
    return ids


def slips(session: Session, by_id: int, person_ids: Sequence[int], now: datetime, days: int) -> list[Slip]:
    """A fresh join slip for each of these people. Raises NotFound and NotAllowed as joining does."""
    return [slip(session, by_id, person_id, now, days) for person_id in dict.fromkeys(person_ids)]


def slip(session: Session, by_id: int, person_id: int, now: datetime, days: int) -> Slip:
    """A fresh join slip for one person; it ends an earlier one. Raises NotFound, NotAllowed."""
    person = accounts.colleague(session, by_id, person_id)
    code = joining.join_code(session, by_id, person_id, now, days)
    return Slip(person.name, person.works_number, code)


def waiting(session: Session, by_id: int, people: Select[Person]) -> Select[Person]:
    """The question for those of them who have not joined yet, have not left, and may have a slip from the asker."""
    out_of_reach = PersonRole.role.not_in(accounts.grantable(session, by_id))
    return people.where(
        Person.passphrase_hash.is_(None), Person.left_at.is_(None), ~Person.role_rows.any(out_of_reach)
    )


@dataclass(frozen=True)
class _Known:
    """What a roster is checked against: people here, numbers anywhere, the asker's classes."""

    organisation_id: int
    people: dict[str, Person]
    classes: dict[str, tuple[int, str]]
    lines: dict[str, int]

    @classmethod
    def of(cls, session: Session, by_id: int) -> _Known:
        own = accounts.colleague(session, by_id, by_id)
        running = (one for one in classes.classes_of(session, by_id) if one.closed_at is None)
        return cls(
            own.organisation_id,
            {person.works_number: person for person in session.scalars(select(Person))},
            {one.title.lower(): (one.id, one.title) for one in running},
            {},
        )

    def newcomer(self, row: Row) -> Newcomer:
        """The row as a newcomer. Raises Refused with every fault of the row."""
        faults: list[str] = []
        name = _or_fault(faults, particulars.person_name, row.name) or ""
        number = _or_fault(faults, particulars.works_number, row.works_number) or ""
        email = _or_fault(faults, particulars.email, row.email) or ""
        class_id, title = self._class(faults, row.class_title)
        here = self.people.get(number)
        self._check_person(faults, number, name, here, row.line)
        if faults:
            raise Refused(" ".join(faults))
        return Newcomer(row.line, name, number, email, class_id, title, here.id if here else None)

    def _class(self, faults: list[str], title: str) -> tuple[int | None, str]:
        plain = " ".join(title.split())
        if plain and plain.lower() not in self.classes:
            faults.append(
                _(
                    "You have no running class called %(title)s. Make it first, or leave the cell empty.",
                    title=plain,
                )
            )
        return self.classes.get(plain.lower(), (None, ""))

    def _check_person(
        self, faults: list[str], number: str, name: str, here: Person | None, line: int
    ) -> None:
        if not number:
            return
        if number in self.lines:
            faults.append(
                _(
                    "The works number %(number)s stands in row %(row)s too. Mend one of them.",
                    number=number,
                    row=self.lines[number],
                )
            )
        self.lines.setdefault(number, line)
        if here is None:
            return
        if here.organisation_id != self.organisation_id:
            faults.append(
                _(
                    "The works number %(number)s is in use. Put letters in front, for instance TV-%(number)s.",
                    number=number,
                )
            )
        elif here.left_at is not None:
            faults.append(
                _(
                    "%(number)s is marked as gone. Mark %(name)s as back on the person's page first.",
                    number=number,
                    name=here.name,
                )
            )
        elif name and here.name.lower() != name.lower():
            faults.append(
                _(
                    "%(number)s is %(name)s here. Mend the name or the works number.",
                    number=number,
                    name=here.name,
                )
            )


def _or_fault(faults: list[str], read: Callable[[str], str | None], text: str) -> str | None:
    try:
        return read(text)
    except Refused as fault:
        faults.append(str(fault))
        return None
