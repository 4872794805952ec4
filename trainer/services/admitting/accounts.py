"""Organisations, people, and what each may do."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.languages import _
from trainer.services.admitting import particulars, sign_in
from trainer.services.keeping import audit, paging
from trainer.services.keeping.paging import Page, Wish
from trainer.store.models import ROLES, Organisation, Person, PersonRole

MOST_NAMED = 500  # more people than this are not named one by one in a question to the store
# Who may give and take which roles. Level III and examiner are functions that only an employer grants.
GRANTS: dict[str, frozenset[str]] = {
    "instructor": frozenset({"trainee", "instructor"}),
    "employer": frozenset(ROLES),
}


def organisation(session: Session, name: str, now: datetime) -> Organisation:
    """The organisation of this name, made if there is none yet."""
    wanted = particulars.title(name, _("The name of the employer or school"))
    found = session.scalar(select(Organisation).where(func.lower(Organisation.name) == wanted.lower()))
    if found is None:
        found = Organisation(name=wanted, created_at=now)
        session.add(found)
        session.flush()  # its number is needed for its people
    return found


def organisations(session: Session) -> list[Organisation]:
    """Every organisation, by name, for the machine's owner at the command line."""
    return list(session.scalars(select(Organisation).order_by(Organisation.name)))


def add_person(
    session: Session,
    organisation_id: int,
    works_number: str,
    name: str,
    roles: frozenset[str],
    now: datetime,
    email: str = "",
    by_id: int | None = None,
    passphrase_hash: str | None = None,
) -> Person:
    """Enter a person; ``by_id`` None means the machine's owner at the command line.

    Raises Refused for particulars that cannot be taken and Conflict for a number that is in use.
    """
    number = particulars.works_number(works_number)
    if not roles or not roles <= set(ROLES):
        raise Refused(_("A person needs one role or more out of: %(roles)s.", roles=", ".join(ROLES)))
    if by_id is not None and not roles <= grantable(session, by_id):
        raise NotAllowed(_("You may not give this role. An employer can."))
    if session.scalar(select(Person.id).where(Person.works_number == number)):
        raise Conflict(
            _(
                "The works number %(number)s is in use. Put letters in front, for instance TV-%(number)s.",
                number=number,
            )
        )
    person = _person(organisation_id, number, name, email, roles, now, by_id)
    person.passphrase_hash = passphrase_hash
    session.add(person)
    session.flush()  # its number is needed for the note
    audit.note(session, by_id, "person entered", person.id, now, facts={"roles": " ".join(sorted(roles))})
    return person


def add_trainees(
    session: Session, by_id: int, people: Sequence[tuple[str, str, str]], now: datetime
) -> list[int]:
    """Enter many (number, name, e-mail) at once as trainees of the asker's organisation; return their ids.

    The numbers must be checked before: one in use lets all of them fail. One note covers all.
    """
    if "trainee" not in grantable(session, by_id):
        raise NotAllowed(_("You may not enter people. An instructor can."))
    home, roles = colleague(session, by_id, by_id).organisation_id, frozenset({"trainee"})
    rows = [
        _person(home, particulars.works_number(number), name, email, roles, now, by_id)
        for number, name, email in people
    ]
    session.add_all(rows)
    session.flush()  # their numbers are needed for the classes and the note
    ids = [row.id for row in rows]
    if ids:
        facts = {"count": len(ids), "first": min(ids), "last": max(ids)}
        audit.note(session, by_id, "people entered", home, now, facts=facts)
    return ids


def house(by_id: int, with_left: bool = True, with_erased: bool = False) -> Select[Person]:
    """The question for everybody of the asker's organisation, by works number; `paging` asks it page by page."""
    wanted = select(Person).where(Person.organisation_id == _organisation_of(by_id))
    if not with_erased:
        wanted = wanted.where(Person.erased_at.is_(None))
    if not with_left:
        wanted = wanted.where(Person.left_at.is_(None))
    return wanted.order_by(Person.works_number)


def people_of(
    session: Session, by_id: int, with_left: bool = True, with_erased: bool = False
) -> list[Person]:
    """Everybody of the asker's organisation, by works number."""
    return list(session.scalars(house(by_id, with_left, with_erased)))


def page(session: Session, people: Select[Person], wish: Wish) -> Page[Person]:
    """A page of these people, searched by works number and name."""
    return paging.page(session, people, wish, Person.works_number, Person.name)


@dataclass(frozen=True, slots=True)
class Named:
    """Who somebody is, for a line of a list."""

    id: int
    works_number: str
    name: str

    @property
    def told(self) -> str:
        """Number and name, as a line says them."""
        return f"{self.works_number} {self.name}"


def named(session: Session, person_ids: Iterable[int | None]) -> dict[int, Named]:
    """Number, works number and name of these people, erased ones too, by the first; None is nobody."""
    ids, table = set(person_ids) - {None}, Person.table()
    wanted = select(table.c.id, table.c.works_number, table.c.name)
    if len(ids) < MOST_NAMED:
        wanted = wanted.where(table.c.id.in_(ids))
    return {row.id: Named(*row) for row in session.execute(wanted)}


def anybody(session: Session) -> bool:
    """Whether there is anybody at all: asked at every start, so of the plain table."""
    return session.scalar(select(Person.table().c.id).limit(1)) is not None


def everybody(session: Session) -> list[Person]:
    """Everybody of every organisation, for the machine's owner at the command line."""
    there = select(Person).where(Person.erased_at.is_(None))
    return list(session.scalars(there.order_by(Person.works_number)))


def person_numbered(session: Session, works_number: str) -> Person:
    """The person with this works number, for the command line. Raises NotFound."""
    number = particulars.works_number(works_number)
    found = session.scalar(select(Person).where(Person.works_number == number))
    if found is None:
        raise NotFound(_("There is nobody with the works number %(number)s.", number=number))
    return found


def colleague(session: Session, by_id: int, person_id: int) -> Person:
    """A person of the asker's own organisation. Raises NotFound for anybody else."""
    found = session.scalar(
        select(Person).where(
            Person.id == person_id,
            Person.organisation_id == _organisation_of(by_id),
            Person.erased_at.is_(None),
        )
    )
    if found is None:
        raise NotFound(_("There is no such person."))
    return found


def grantable(session: Session, by_id: int) -> frozenset[str]:
    """The roles that this person may give and take."""
    held = session.scalars(select(PersonRole.role).where(PersonRole.person_id == by_id))
    return frozenset[str]().union(*(GRANTS.get(role, frozenset()) for role in held))


def set_roles(session: Session, by_id: int, person_id: int, roles: frozenset[str], now: datetime) -> None:
    """Give a colleague exactly these roles, among those the asker may give and take; others stay.

    Raises NotFound, NotAllowed for a role out of reach, and Refused for what would lock the asker out.
    """
    person, may = colleague(session, by_id, person_id), grantable(session, by_id)
    given, taken = roles - person.roles, (person.roles & may) - roles
    if not given <= may:
        raise NotAllowed(_("You may not give this role. An employer can."))
    if by_id == person_id and taken & {"instructor", "employer"}:
        raise Refused(_("You cannot take your own role away. Ask a colleague who holds it too."))
    if person.roles <= taken and not given:
        raise Refused(_("A person needs one role or more. Somebody who has left can be marked so instead."))
    person.role_rows = [row for row in person.role_rows if row.role not in taken]
    person.role_rows += [PersonRole(role=role, granted_by_id=by_id, granted_at=now) for role in sorted(given)]
    if given or taken:
        facts = {"given": " ".join(sorted(given)), "taken": " ".join(sorted(taken))}
        audit.note(session, by_id, "roles changed", person_id, now, facts=facts)


def set_left(session: Session, by_id: int, person_id: int, left: bool, now: datetime) -> None:
    """Mark a colleague as gone (sign-ins end, records stay) or as back. Raises NotFound, Refused."""
    person = colleague(session, by_id, person_id)
    if person.id == by_id:
        raise Refused(_("You cannot mark yourself as gone. Ask a colleague."))
    if not person.roles <= grantable(session, by_id):
        raise NotAllowed(_("Only an employer may do this for somebody with this role."))
    if (person.left_at is not None) == left:
        return
    person.left_at = now if left else None
    if left:
        sign_in.end_others(session, person_id, now, by_id=by_id)
    audit.note(session, by_id, "person left" if left else "person back", person_id, now)


def _person(
    organisation_id: int,
    number: str,
    name: str,
    email: str,
    roles: frozenset[str],
    now: datetime,
    by_id: int | None,
) -> Person:
    person = Person(
        organisation_id=organisation_id,
        works_number=number,
        name=particulars.person_name(name),
        email=particulars.email(email),
        passphrase_hash=None,
        created_at=now,
        left_at=None,
        erased_at=None,
    )
    person.role_rows = [PersonRole(role=role, granted_by_id=by_id, granted_at=now) for role in sorted(roles)]
    return person


def end_sign_ins(session: Session, by_id: int, person_id: int, now: datetime) -> int:
    """End every sign-in of a colleague; return how many there were. Raises NotFound."""
    return sign_in.end_others(session, colleague(session, by_id, person_id).id, now, by_id=by_id)


def _organisation_of(person_id: int) -> object:
    return select(Person.organisation_id).where(Person.id == person_id).scalar_subquery()
