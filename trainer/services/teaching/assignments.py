"""Assignments: a drill set given to a class or to one person, and how far each of them is with it."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import Select, func, or_, select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import _
from trainer.services.admitting import accounts
from trainer.services.keeping import audit
from trainer.services.teaching import classes, sets
from trainer.services.teaching.sets import Chosen
from trainer.store.models import (
    Answer,
    Assignment,
    ClassMember,
    DrillSet,
    Exercise,
    Person,
    PersonRole,
    SkillState,
    TaughtClass,
)

MOST_RIGHT = 20


@dataclass(frozen=True, slots=True)
class OpenSet:
    """One assignment as the trainee sees it. ``done`` of ``of`` right answers, or skills proven; ``left`` is still to do."""

    assignment_id: int
    title: str
    set_by: str
    due_on: date | None
    rule: str
    right_needed: int | None
    lines: tuple[Chosen, ...]
    left: tuple[Chosen, ...]
    done: int
    of: int


@dataclass(frozen=True, slots=True)
class Measure:
    """How far one person is: done of each line (right answers up to what is needed, or 1 for proven)."""

    person: Person
    by_line: tuple[int, ...]
    each: int

    @property
    def done(self) -> int:
        """All lines together."""
        return sum(self.by_line)

    @property
    def of(self) -> int:
        """What ends the set."""
        return self.each * len(self.by_line)


def give(
    session: Session, instructor_id: int, set_id: int, now: datetime, class_id: int | None = None,
    person_id: int | None = None, due_on: date | None = None, right_needed: int | None = None,
) -> Assignment:  # fmt: skip
    """Give an own set to an own class or to a colleague; ``right_needed`` None means: until proven.

    Raises NotFound for what is not the asker's, Refused and Conflict with a sentence.
    """
    wanted = sets.own_set(session, instructor_id, set_id)
    if wanted.retired_at is not None:
        raise Conflict(_("This set is put away. Take it up again first."))
    if (class_id is None) == (person_id is None):
        raise Refused(_("Choose a class, or one person."))
    if right_needed is not None and not 1 <= right_needed <= MOST_RIGHT:
        raise Refused(_("Ask for 1 to %(most)s right answers of each drill.", most=MOST_RIGHT))
    _check_whom(session, instructor_id, class_id, person_id)
    if any(
        (row.class_id, row.person_id) == (class_id, person_id)
        for row in given(session, instructor_id, [set_id])
    ):
        raise Conflict(_("This set is given there already. Take that back first if something is to change."))
    made = Assignment(
        set_id=set_id, class_id=class_id, person_id=person_id, due_on=due_on,
        rule="proven" if right_needed is None else "right", right_needed=right_needed,
        assigned_by_id=instructor_id, assigned_at=now,
    )  # fmt: skip
    session.add(made)
    session.flush()  # its number is needed for the note
    audit.note(session, instructor_id, "set given", made.id, now)
    return made


def takers(instructor_id: int) -> Select[Person]:
    """The question for the colleagues who can be given a set by themselves: trainees who are here."""
    trainee = Person.role_rows.any(PersonRole.role == "trainee")
    return accounts.house(instructor_id, with_left=False).where(trainee)


def own(session: Session, instructor_id: int, assignment_id: int) -> Assignment:
    """An assignment this instructor made. Raises NotFound for anybody else's."""
    row = session.get(Assignment, assignment_id)
    if row is None or row.assigned_by_id != instructor_id:
        raise NotFound(_("There is no such assignment."))
    return row


def given(
    session: Session, instructor_id: int, set_ids: Collection[int] = (), class_id: int | None = None
) -> list[Assignment]:
    """What an instructor has given out and not taken back, of some sets or to one class, newest first."""
    wanted = select(Assignment).where(
        Assignment.assigned_by_id == instructor_id, Assignment.withdrawn_at.is_(None)
    )
    if set_ids:
        wanted = wanted.where(Assignment.set_id.in_(set_ids))
    if class_id is not None:
        wanted = wanted.where(Assignment.class_id == class_id)
    return list(session.scalars(wanted.order_by(Assignment.id.desc())))


def withdraw(session: Session, instructor_id: int, assignment_id: int, now: datetime) -> Assignment:
    """Take a set back; what was answered stays. A second time changes nothing."""
    row = own(session, instructor_id, assignment_id)
    if row.withdrawn_at is None:
        row.withdrawn_at = now
        audit.note(session, instructor_id, "set taken back", assignment_id, now)
    return row


def whose(session: Session, instructor_id: int, row: Assignment) -> tuple[str, list[Person]]:
    """For whom an assignment is, in words, and the people who are to do it."""
    said = for_whom(session, instructor_id, row)
    if row.class_id is not None:
        return said, classes.members(session, instructor_id, row.class_id)
    return said, [accounts.colleague(session, instructor_id, row.person_id or 0)]


def for_whom(session: Session, instructor_id: int, row: Assignment) -> str:
    """For which class or person an assignment is, in words."""
    if row.class_id is not None:
        return classes.own_class(session, instructor_id, row.class_id).title
    person = accounts.colleague(session, instructor_id, row.person_id or 0)
    return f"{person.works_number} {person.name}"


def measure(session: Session, shelf: Shelf, row: Assignment, people: Sequence[Person]) -> tuple[Measure, ...]:
    """How far each of these people is with an assignment."""
    lines, ids = _lines(row.drill_set), [person.id for person in people]
    if row.rule == "right":
        right = _right(session, ids, row.id)
        need = row.right_needed or 1
        return tuple(
            Measure(p, tuple(min(need, _count(right.get(p.id, {}), line)) for line in lines), need)
            for p in people
        )
    proven = _proven(session, ids)
    return tuple(
        Measure(p, tuple(int(_family(shelf, d) in proven.get(p.id, ())) for d, _ in lines), 1) for p in people
    )


def open_for(session: Session, shelf: Shelf, person_id: int, today: date) -> list[OpenSet]:
    """Return the sets that are open for a person, those due first in front; sets of closed classes are not."""
    running = (
        select(ClassMember.class_id)
        .join(TaughtClass, TaughtClass.id == ClassMember.class_id)
        .where(
            ClassMember.person_id == person_id,
            ClassMember.left_at.is_(None),
            TaughtClass.closed_at.is_(None),
        )
    )
    wanted = (
        select(Assignment, Person.name)
        .join(Person, Person.id == Assignment.assigned_by_id)
        .where(
            Assignment.withdrawn_at.is_(None),
            or_(Assignment.person_id == person_id, Assignment.class_id.in_(running)),
        )
        .order_by(Assignment.due_on.is_(None), Assignment.due_on, Assignment.id)
    )
    rows = [(row[0], row[1]) for row in session.execute(wanted)]
    if not rows:
        return []
    person = session.get_one(Person, person_id)
    found = [_open(session, shelf, person, row, by) for row, by in rows]
    return [one for one in found if one.left]


def _open(session: Session, shelf: Shelf, person: Person, row: Assignment, by: str) -> OpenSet:
    (so_far,) = measure(session, shelf, row, [person])
    lines = _lines(row.drill_set)
    known = [drill in shelf.bank.drills for drill, _ in lines]
    left = tuple(
        line
        for line, done, asked in zip(lines, so_far.by_line, known, strict=True)
        if asked and done < so_far.each
    )
    return OpenSet(
        row.id, row.drill_set.title, by, row.due_on, row.rule, row.right_needed, lines, left,
        so_far.done, so_far.of,
    )  # fmt: skip


def _lines(drill_set: DrillSet) -> tuple[Chosen, ...]:
    return tuple((line.drill_id, line.find) for line in drill_set.lines)


def _check_whom(session: Session, instructor_id: int, class_id: int | None, person_id: int | None) -> None:
    if class_id is not None:
        if classes.own_class(session, instructor_id, class_id).closed_at is not None:
            raise Conflict(_("This class is closed. Open it again first."))
        return
    person = accounts.colleague(session, instructor_id, person_id or 0)
    if "trainee" not in person.roles or person.left_at is not None:
        raise Refused(_("Only a trainee of your house can be given a set."))


def _right(
    session: Session, people: Collection[int], assignment_id: int
) -> Mapping[int, Mapping[Chosen, int]]:
    """Count right, unaided answers of an assignment by person, drill and find."""
    wanted = (
        select(Exercise.person_id, Exercise.drill_id, Exercise.find, func.count())
        .join(Answer)
        .where(
            Exercise.person_id.in_(people), Exercise.assignment_id == assignment_id,
            Exercise.aided.is_(False), Answer.verdict == "right",
        )
        .group_by(Exercise.person_id, Exercise.drill_id, Exercise.find)
    )  # fmt: skip
    counts: dict[int, dict[Chosen, int]] = {}
    for person_id, drill, find, count in session.execute(wanted):
        counts.setdefault(person_id, {})[(drill, find)] = count
    return counts


def _count(right: Mapping[Chosen, int], line: Chosen) -> int:
    """Right answers that count for a line: of its find, or of any where the line names none."""
    drill, find = line
    return sum(n for (d, f), n in right.items() if d == drill and find in {None, f})


def _proven(session: Session, people: Collection[int]) -> Mapping[int, Collection[str]]:
    wanted = select(SkillState.person_id, SkillState.family).where(
        SkillState.person_id.in_(people), SkillState.state == "proven"
    )
    proven: dict[int, set[str]] = {}
    for person_id, family in session.execute(wanted):
        proven.setdefault(person_id, set()).add(family)
    return proven


def _family(shelf: Shelf, drill: str) -> str:
    entry = shelf.bank.drills.get(drill)
    return entry.drill.skill if entry is not None else ""
