"""Drill sets: made by an instructor, set for a class, done by its people."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import func, or_, select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.errors import NotFound, Refused
from trainer.services import accounts, audit, classes, particulars
from trainer.store.models import (
    Answer,
    Assignment,
    ClassMember,
    DrillSet,
    DrillSetLine,
    Exercise,
    Person,
    SkillState,
)


@dataclass(frozen=True, slots=True)
class OpenSet:
    """One assignment as the trainee sees it. ``done`` of ``of`` right answers, or skills proven; ``left`` is still to do."""

    assignment_id: int
    title: str
    set_by: str
    due_on: date | None
    rule: str
    right_needed: int | None
    lines: tuple[tuple[str, str | None], ...]
    left: tuple[tuple[str, str | None], ...]
    done: int
    of: int


def open_for(session: Session, person_id: int, today: date) -> list[OpenSet]:
    """Return the sets that are open for a person, those due first in front."""
    classes = select(ClassMember.class_id).where(
        ClassMember.person_id == person_id, ClassMember.left_at.is_(None)
    )
    wanted = (
        select(Assignment, DrillSet, Person.name)
        .join(DrillSet, DrillSet.id == Assignment.set_id)
        .join(Person, Person.id == Assignment.assigned_by_id)
        .where(
            Assignment.withdrawn_at.is_(None),
            or_(Assignment.person_id == person_id, Assignment.class_id.in_(classes)),
        )
        .order_by(Assignment.due_on.is_(None), Assignment.due_on, Assignment.id)
    )
    found = [_open_set(session, person_id, *row) for row in session.execute(wanted)]
    return [one for one in found if one.done < one.of]


def _open_set(session: Session, person_id: int, given: Assignment, drill_set: DrillSet, by: str) -> OpenSet:
    lines = tuple((line.drill_id, line.find) for line in drill_set.lines)
    drills = list(dict.fromkeys(drill for drill, _ in lines))
    left = lines
    if given.rule == "right":
        need, counts = given.right_needed or 1, _right(session, person_id, given.id)
        left = tuple(line for line in lines if counts.get(line[0], 0) < need)
        done, of = sum(min(need, counts.get(d, 0)) for d in drills), need * len(drills)
    else:
        done, of = _proven(session, person_id, drills), len(drills)
    return OpenSet(
        given.id, drill_set.title, by, given.due_on, given.rule, given.right_needed, lines, left, done, of
    )


def _right(session: Session, person_id: int, assignment_id: int) -> dict[str, int]:
    """Count right, unaided answers of an assignment by drill."""
    wanted = (
        select(Exercise.drill_id, func.count())
        .join(Answer)
        .where(
            Exercise.person_id == person_id,
            Exercise.assignment_id == assignment_id,
            Exercise.aided.is_(False),
            Answer.verdict == "right",
        )
        .group_by(Exercise.drill_id)
    )
    return {row[0]: row[1] for row in session.execute(wanted)}


def _proven(session: Session, person_id: int, drills: Sequence[str]) -> int:
    """Count the drills of a set whose skill is proven."""
    families = (
        select(Exercise.family)
        .where(Exercise.drill_id.in_(drills), Exercise.person_id == person_id)
        .distinct()
    )
    wanted = (
        select(func.count())
        .select_from(SkillState)
        .where(
            SkillState.person_id == person_id, SkillState.state == "proven", SkillState.family.in_(families)
        )
    )
    return session.scalar(wanted) or 0


MOST_DRILLS = 60


def set_for_class(
    session: Session, shelf: Shelf, instructor_id: int, class_id: int, title: str, drills: Sequence[str],
    due_on: date | None, right_needed: int | None, now: datetime,
) -> Assignment:  # fmt: skip
    """Make a set of drills and set it for a class; ``right_needed`` None means: until proven.

    Raises NotFound for somebody else's class or a drill that is not in the bank, Refused with a sentence.
    """
    found = classes.own_class(session, instructor_id, class_id)
    name = particulars.title(title, "The name of the set")
    wanted = list(dict.fromkeys(drills))
    if not wanted:
        raise Refused("Tick at least one drill.")
    if len(wanted) > MOST_DRILLS:
        raise Refused(f"A set holds at most {MOST_DRILLS} drills; make two of them.")
    if right_needed is not None and not 1 <= right_needed <= 20:
        raise Refused("Ask for 1 to 20 right answers of each drill.")
    for drill in wanted:
        shelf.bank.drill(drill)
    person = accounts.colleague(session, instructor_id, instructor_id)
    lines = [DrillSetLine(position=i, drill_id=drill) for i, drill in enumerate(wanted)]
    made = DrillSet(
        organisation_id=person.organisation_id, made_by_id=instructor_id, title=name, made_at=now, lines=lines
    )
    session.add(made)
    session.flush()
    given = Assignment(
        set_id=made.id, class_id=found.id, due_on=due_on, rule="proven" if right_needed is None else "right",
        right_needed=right_needed, assigned_by_id=instructor_id, assigned_at=now,
    )  # fmt: skip
    session.add(given)
    session.flush()
    audit.note(session, instructor_id, "set given to a class", given.id, now)
    return given


@dataclass(frozen=True, slots=True)
class GivenSet:
    """One assignment of a class as the instructor sees it: how far each member is."""

    assignment_id: int
    title: str
    due_on: date | None
    rule: str
    right_needed: int | None
    drills: tuple[str, ...]
    people: tuple[tuple[Person, int, int], ...]
    withdrawn: bool


def of_class(session: Session, instructor_id: int, class_id: int) -> list[GivenSet]:
    """Return the sets of an own class, the newest first."""
    members = classes.members(session, instructor_id, class_id)
    wanted = select(Assignment).where(Assignment.class_id == class_id).order_by(Assignment.id.desc())
    return [_given(session, row, members) for row in session.scalars(wanted)]


def withdraw(session: Session, instructor_id: int, assignment_id: int, now: datetime) -> Assignment:
    """Take a set back; what was answered stays. Raises NotFound for somebody else's."""
    row = session.get(Assignment, assignment_id)
    if row is None or row.class_id is None:
        raise NotFound("There is no such set.")
    classes.own_class(session, instructor_id, row.class_id)
    if row.withdrawn_at is None:
        row.withdrawn_at = now
        audit.note(session, instructor_id, "set taken back", assignment_id, now)
    return row


def _given(session: Session, row: Assignment, members: Sequence[Person]) -> GivenSet:
    people = []
    for person in members:
        one = _open_set(session, person.id, row, row.drill_set, "")
        people.append((person, one.done, one.of))
    drills = tuple(line.drill_id for line in row.drill_set.lines)
    return GivenSet(
        row.id, row.drill_set.title, row.due_on, row.rule, row.right_needed, drills, tuple(people),
        row.withdrawn_at is not None,
    )  # fmt: skip
