"""A class taught again: days move together, people and records stay with the old one."""

from __future__ import annotations

from datetime import date

from sqlalchemy import select

from tests.conftest import Browser
from tests.make import NOW, People, make_class, make_meeting
from trainer.drills.shelf import Shelf
from trainer.services.teaching import assignments, classes, sets
from trainer.store import Database
from trainer.store.models import Meeting, TaughtClass


def test_meetings_and_sets_move_with_the_first_day(
    as_ian: Browser, people: People, store: Database, shelf: Shelf
) -> None:
    """From 2 November to 1 March everything moves by 119 days; a set put away is not given again."""
    with store.writing() as session:
        old = make_class(session, people.ian, people.tess).id
        make_meeting(session, people.ian, old, held_on=date(2026, 11, 24))
        for title in ("First currents", "Old ones"):
            made = sets.make(session, shelf, people.ian, title, [("coil-low-fill-wall", None)], NOW).id
            assignments.give(session, people.ian, made, NOW, old, due_on=date(2026, 12, 2), right_needed=3)
        sets.set_retired(session, people.ian, made, True, NOW)
    form = {"title": "MT-1 March", "level": "I", "starts_on": "2027-03-01"}
    reply = as_ian.send(f"/instructor/classes/{old}/again", form)
    assert reply.status_code == 303
    with store.reading() as session:
        new = session.scalars(select(TaughtClass).where(TaughtClass.title == "MT-1 March")).one()
        (meeting,) = new.meetings
        (given,) = assignments.given(session, people.ian, class_id=new.id)
        assert (meeting.held_on, meeting.confirmed_at) == (date(2027, 3, 23), None)
        assert (given.drill_set.title, given.due_on, given.right_needed) == (
            "First currents", date(2027, 3, 31), 3,
        )  # fmt: skip
        assert classes.members(session, people.ian, new.id) == []


def test_a_first_day_that_leaves_the_calendar_keeps_nothing(
    as_ian: Browser, people: People, store: Database
) -> None:
    """A title in use and a day too far away are said at the form, which keeps what was typed; no class is made."""
    with store.writing() as session:
        old = make_class(session, people.ian).id
        make_meeting(session, people.ian, old)
    path = f"/instructor/classes/{old}/again"
    for form in (
        {"title": "MT-1 November", "level": "I", "starts_on": "2027-03-01"},
        {"title": "MT-1 March", "level": "I", "starts_on": "2999-01-01"},
    ):
        reply = as_ian.send(path, form)
        assert (reply.status_code, form["starts_on"] in reply.get_data(as_text=True)) == (422, True)
    with store.reading() as session:
        assert len(session.scalars(select(TaughtClass)).all()) == 1
        assert len(session.scalars(select(Meeting)).all()) == 1


def test_somebody_elses_class_is_not_there(as_ian: Browser) -> None:
    """Neither the form nor the press finds a class that is not the asker's."""
    assert as_ian.get("/instructor/classes/9/again").status_code == 404
    form = {"title": "Mine", "level": "I", "starts_on": "2027-03-01"}
    assert as_ian.send("/instructor/classes/9/again", form).status_code == 404
