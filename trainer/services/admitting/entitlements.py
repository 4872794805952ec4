"""Who may enter what about whom, and who may countersign it.

Countersigning follows the history format (section 3): the roles stand with each kind of entry in the
qualification room. Who may enter is this house's own rule: everybody about themselves what they know best,
and for colleagues those whose work it is.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

from sqlalchemy import Select, false, select
from sqlalchemy.orm import Session

from trainer.errors import NotAllowed, NotFound
from trainer.languages import _
from trainer.qualification.entries import (
    Absence,
    Application,
    Certificate,
    Decision,
    Education,
    Employment,
    Entry,
    Examination,
    Experience,
    Practice,
    Training,
    Vision,
    Work,
)
from trainer.services.admitting import accounts
from trainer.store.models import ClassMember, Person, TaughtClass

Fetch = Callable[[Session], Person]
"""Gives the person that a page is about, or raises NotFound."""

# A person who holds several of the entitled roles signs in the first of these.
ORDER = ("level_iii", "examiner", "employer", "instructor", "trainee")
FACTS: dict[str, type[Entry]] = {
    kind.kind: kind
    for kind in (
        Training,
        Practice,
        Experience,
        Work,
        Examination,
        Vision,
        Certificate,
        Employment,
        Absence,
        Education,
        Application,
        Decision,
    )
}
_EMPLOYING = frozenset({"level_iii", "employer"})
_OWN = frozenset({"trainee"})
ENTERED_BY: dict[str, frozenset[str]] = {
    "training": _EMPLOYING | {"instructor"},
    "practice": _OWN,
    "experience": _EMPLOYING | _OWN | {"instructor"},
    "work": _EMPLOYING | _OWN | {"instructor"},
    "examination": frozenset({"instructor", "examiner", "level_iii"}),
    "vision": _EMPLOYING | _OWN | {"examiner"},
    "certificate": _EMPLOYING | _OWN,
    "employment": _EMPLOYING,
    "absence": _EMPLOYING | _OWN,
    "education": _EMPLOYING | _OWN,
    "application": _EMPLOYING | _OWN,
    "decision": _EMPLOYING,
}
EXAMINING = ENTERED_BY["examination"]
"""The roles that examine: they enter examinations, and they alone read maps."""
# Whose word on these is the other person's to give: those who see the ledger of colleagues.
OVERSEEING = frozenset({"instructor", "examiner", "level_iii", "employer"})


def signing_roles(kind: str) -> frozenset[str]:
    """The roles that may countersign an entry of this kind; none for own practice, which never counts."""
    return FACTS[kind].entitled


def first_of(roles: Iterable[str]) -> str | None:
    """The role in which somebody acts who holds all of these, or None."""
    held = set(roles)
    return next((role for role in ORDER if role in held), None)


def roles_of(session: Session, person_id: int) -> frozenset[str]:
    """The roles that a person holds now."""
    found = session.get(Person, person_id)
    return found.roles if found is not None and found.left_at is None else frozenset()


def enterable(roles: frozenset[str], about_self: bool) -> list[str]:
    """The kinds that somebody with these roles may enter, about themselves or about a colleague."""
    able = roles if about_self else roles - _OWN
    return [kind for kind, entering in ENTERED_BY.items() if entering & able]


def person_concerned(session: Session, by_id: int, role: str, person_id: int, kind: str = "") -> Person:
    """The person about whom ``by_id`` may act in ``role``.

    A trainee: themselves. An instructor: who is or was in one of their classes; for an examination anybody
    of the house, since a sitting may be open to all. The others: anybody of their house. Raises NotFound
    for anybody else and NotAllowed for a role that is not held.
    """
    if role not in roles_of(session, by_id):
        raise NotAllowed(_("You do not hold this role. Act in one of your own."))
    if role == "trainee" and person_id != by_id:
        raise NotFound(_("There is no such person."))
    if role == "instructor" and kind != "examination" and person_id not in taught(session, by_id):
        raise NotFound(_("There is no such person in your classes."))
    return accounts.colleague(session, by_id, person_id)


def overseen(session: Session, by_id: int, person_id: int) -> Person:
    """A colleague whose ledger ``by_id`` may read in any of their roles. Raises NotFound."""
    roles = roles_of(session, by_id)
    if not roles & (OVERSEEING - {"instructor"}) and not (
        "instructor" in roles and person_id in taught(session, by_id)
    ):
        raise NotFound(_("There is no such person."))
    return accounts.colleague(session, by_id, person_id)


def overseen_people(session: Session, by_id: int) -> Select[Person]:
    """The question for everybody whose ledger ``by_id`` may read, by works number."""
    roles, house = roles_of(session, by_id), accounts.house(by_id)
    if roles & (OVERSEEING - {"instructor"}):
        return house
    return house.where(Person.id.in_(_taught(by_id)) if "instructor" in roles else false())


def taught(session: Session, instructor_id: int) -> set[int]:
    """The ids of everybody who is or was in a class of this instructor."""
    return set(session.scalars(_taught(instructor_id)))


def _taught(instructor_id: int) -> Select[int]:
    return (
        select(ClassMember.person_id)
        .join(TaughtClass, TaughtClass.id == ClassMember.class_id)
        .where(TaughtClass.instructor_id == instructor_id)
    )
