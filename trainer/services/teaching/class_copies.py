"""A class taught again: its meetings and the sets it was given, moved to a new first day. Nobody is on it yet."""

from __future__ import annotations

from datetime import date, datetime

from sqlalchemy.orm import Session

from trainer.errors import Refused
from trainer.languages import _
from trainer.services.teaching import assignments, classes, meetings
from trainer.services.teaching.meetings import MeetingPlan
from trainer.store.models import TaughtClass


def teach_again(
    session: Session, instructor_id: int, class_id: int, title: str, level: str, starts_on: date, now: datetime
) -> TaughtClass:  # fmt: skip
    """Make a class like an own one: every day moves by as much as the first day does.

    Meetings keep their hour, length and subject; of the sets that are given to the old class, those in use are given
    again. Roster, attendance and answers stay with the old class. Raises as classes.make, and Refused where a
    day would leave the calendar.
    """
    like = classes.own_class(session, instructor_id, class_id)
    shift = starts_on - like.starts_on
    made = classes.make(session, instructor_id, title, level, starts_on, now)
    try:
        for one in like.meetings:
            plan = MeetingPlan(
                one.held_on + shift, one.starts_at, one.hours, one.level, one.content, one.mode, one.subject
            )
            meetings.add(session, instructor_id, made.id, plan, now)
        for given in reversed(assignments.given(session, instructor_id, class_id=class_id)):
            if given.drill_set.retired_at is None:
                due = given.due_on + shift if given.due_on else None
                assignments.give(
                    session, instructor_id, given.set_id, now, made.id, due_on=due, right_needed=given.right_needed
                )  # fmt: skip
    except OverflowError:
        raise Refused(_("This first day moves a meeting out of the calendar. Check the year.")) from None
    return made
