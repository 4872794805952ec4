"""Classes: made by an instructor, with members from the same organisation."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from datetime import date, datetime

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import accounts, particulars
from trainer.services.keeping import audit, paging
from trainer.services.keeping.paging import Page, Wish
from trainer.services.teaching import meetings
from trainer.services.teaching.meetings import Presence
from trainer.store.models import ClassMember, Person, TaughtClass
from trainer.store.models.classes import LEVELS


def own_class(session: Session, instructor_id: int, class_id: int) -> TaughtClass:
    """A class of this instructor. Raises NotFound for anybody else's."""
    found = session.get(TaughtClass, class_id)
    if found is None or found.instructor_id != instructor_id:
        raise NotFound(_("There is no such class."))
    return found


def classes_of(session: Session, instructor_id: int) -> list[TaughtClass]:
    """The classes of an instructor: those still running first, then the newest."""
    return list(session.scalars(_of(instructor_id)))


def page(session: Session, instructor_id: int, wish: Wish) -> Page[TaughtClass]:
    """A page of the classes of an instructor, in the same order."""
    return paging.page(session, _of(instructor_id), wish, TaughtClass.title)


def how_many_run(session: Session, instructor_id: int) -> int:
    """How many classes of an instructor are running."""
    return paging.count(session, _of(instructor_id).where(TaughtClass.closed_at.is_(None)))


def classes_with(session: Session, person_id: int) -> list[TaughtClass]:
    """The running classes that a person is a member of."""
    wanted = (
        select(TaughtClass)
        .join(ClassMember, ClassMember.class_id == TaughtClass.id)
        .where(
            ClassMember.person_id == person_id,
            ClassMember.left_at.is_(None),
            TaughtClass.closed_at.is_(None),
        )
    )
    return list(session.scalars(wanted.order_by(TaughtClass.starts_on.desc(), TaughtClass.id.desc())))


def class_now(session: Session, instructor_id: int, day: date) -> int | None:
    """The class an instructor has before them: the only one running, or the only one that meets on this day."""
    running = [one for one in classes_of(session, instructor_id) if one.closed_at is None]
    if len(running) > 1:
        running = [one for one in running if any(meeting.held_on == day for meeting in one.meetings)]
    return running[0].id if len(running) == 1 else None


def make(
    session: Session, instructor_id: int, title: str, level: str, starts_on: date, now: datetime
) -> TaughtClass:
    """Make a class. Raises Refused for a level that is none and Conflict for a title in use."""
    name = particulars.title(title, N_("The title of the class"))
    _check(session, instructor_id, name, level, None)
    person = accounts.colleague(session, instructor_id, instructor_id)
    made = TaughtClass(
        organisation_id=person.organisation_id,
        instructor_id=instructor_id,
        title=name,
        level=level,
        starts_on=starts_on,
        created_at=now,
        closed_at=None,
    )
    session.add(made)
    session.flush()  # its number is needed for the note
    audit.note(session, instructor_id, "class made", made.id, now)
    return made


def change(
    session: Session, instructor_id: int, class_id: int, title: str, level: str, starts_on: date
) -> TaughtClass:
    """Write another title, level or first day on a class. Raises as own_class and make do."""
    found = own_class(session, instructor_id, class_id)
    name = particulars.title(title, N_("The title of the class"))
    _check(session, instructor_id, name, level, class_id)
    found.title, found.level, found.starts_on = name, level, starts_on
    return found


def set_closed(session: Session, instructor_id: int, class_id: int, closed: bool, now: datetime) -> None:
    """Close a class (it leaves the trainees' pages; its records stay) or open it again."""
    found = own_class(session, instructor_id, class_id)
    if (found.closed_at is not None) != closed:
        found.closed_at = now if closed else None
        audit.note(session, instructor_id, "class closed" if closed else "class opened", class_id, now)


def members(session: Session, instructor_id: int, class_id: int) -> list[Person]:
    """The people on the roster of a class today, by works number."""
    own_class(session, instructor_id, class_id)
    return list(session.scalars(on_roster(class_id)))


def on_roster(class_id: int) -> Select[Person]:
    """The question for the people on the roster of a class today, by works number."""
    return select(Person).where(Person.id.in_(_ids_on(class_id))).order_by(Person.works_number)


def off_roster(instructor_id: int, class_id: int) -> Select[Person]:
    """The question for the instructor's colleagues who could be put on the roster of a class."""
    return accounts.house(instructor_id, with_left=False).where(Person.id.not_in(_ids_on(class_id)))


def sizes(session: Session, class_ids: Collection[int]) -> dict[int, int]:
    """How many people are on the roster of each of these classes that has any."""
    wanted = (
        select(ClassMember.class_id, func.count())
        .where(ClassMember.class_id.in_(class_ids), ClassMember.left_at.is_(None))
        .group_by(ClassMember.class_id)
    )
    return {row[0]: row[1] for row in session.execute(wanted)}


def add_members(
    session: Session, instructor_id: int, class_id: int, person_ids: Iterable[int], now: datetime
) -> int:
    """Put colleagues on the roster; who is on it already stays. Return how many came new.

    Raises NotFound for a class or a person that is not the asker's.
    """
    found = own_class(session, instructor_id, class_id)
    wanted = list(dict.fromkeys(person_ids))
    colleagues = select(Person.id).where(Person.organisation_id == found.organisation_id)
    if set(wanted) - set(session.scalars(colleagues)):
        raise NotFound(_("There is no such person."))
    on_it = {row.person_id: row for row in session.scalars(_rows_of(class_id))}
    added = [person_id for person_id in wanted if _put(session, on_it, class_id, person_id, now)]
    if added:
        audit.note(session, instructor_id, "class members added", class_id, now, facts={"count": len(added)})
    return len(added)


def remove_member(session: Session, instructor_id: int, class_id: int, person_id: int, now: datetime) -> None:
    """Take a person off the roster; what they did in the class stays. Raises NotFound."""
    own_class(session, instructor_id, class_id)
    row = session.get(ClassMember, (class_id, person_id))
    if row is None or row.left_at is not None:
        raise NotFound(_("There is no such person in this class."))
    row.left_at = now
    audit.note(session, instructor_id, "class member removed", class_id, now, facts={"person": person_id})


def attendance(session: Session, instructor_id: int, meeting_id: int) -> list[Presence]:
    """Who was at a meeting of this instructor, member by member. Raises NotFound for anybody else's."""
    meeting = meetings.own_meeting(session, instructor_id, meeting_id)
    return meetings.presences(session, meeting, members(session, instructor_id, meeting.class_id))


def _of(instructor_id: int) -> Select[TaughtClass]:
    wanted = select(TaughtClass).where(TaughtClass.instructor_id == instructor_id)
    order = (TaughtClass.closed_at.is_not(None), TaughtClass.starts_on.desc(), TaughtClass.id.desc())
    return wanted.order_by(*order)


def _ids_on(class_id: int) -> Select[int]:
    return select(ClassMember.person_id).where(
        ClassMember.class_id == class_id, ClassMember.left_at.is_(None)
    )


def _rows_of(class_id: int) -> Select[ClassMember]:
    return select(ClassMember).where(ClassMember.class_id == class_id)


def _put(
    session: Session, on_it: dict[int, ClassMember], class_id: int, person_id: int, now: datetime
) -> bool:
    row = on_it.get(person_id)
    if row is None:
        session.add(ClassMember(class_id=class_id, person_id=person_id, joined_at=now, left_at=None))
        return True
    if row.left_at is None:
        return False
    row.left_at = None
    return True


def _check(session: Session, instructor_id: int, title: str, level: str, but: int | None) -> None:
    if level not in LEVELS:
        raise Refused(_("The level of a class is %(levels)s.", levels=_(" or ").join(LEVELS)))
    same = select(TaughtClass.id).where(
        TaughtClass.instructor_id == instructor_id,
        func.lower(TaughtClass.title) == title.lower(),
        TaughtClass.closed_at.is_(None),
    )
    if any(found != but for found in session.scalars(same)):
        raise Conflict(
            _("You have a running class called %(title)s already. Give this one another title.", title=title)
        )
