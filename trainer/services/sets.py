"""Drill sets that are set for a person or their class: what they hold, until when, how far one is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import func, or_, select
from sqlalchemy.orm import Session

from trainer.store.models import Answer, Assignment, ClassMember, DrillSet, Exercise, Person, SkillState


@dataclass(frozen=True, slots=True)
class OpenSet:
    """One assignment as the trainee sees it. ``done`` of ``of`` right answers, or skills proven."""

    assignment_id: int
    title: str
    set_by: str
    due_on: date | None
    rule: str
    right_needed: int | None
    lines: tuple[tuple[str, str | None], ...]
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
    if given.rule == "right":
        counts = _right(session, person_id, given.id)
        need = given.right_needed or 1
        done, of = (
            sum(min(need, counts.get(d, 0)) for d in {d for d, _ in lines}),
            need * len({d for d, _ in lines}),
        )
    else:
        done, of = _proven(session, person_id, [d for d, _ in lines]), len({d for d, _ in lines})
    return OpenSet(
        given.id, drill_set.title, by, given.due_on, given.rule, given.right_needed, lines, done, of
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
    return {drill: count for drill, count in session.execute(wanted)}


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
