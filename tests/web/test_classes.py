"""Class and meeting pages: works for the own instructor, is not there for anybody else."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

import pytest

from tests.conftest import Browser
from tests.make import NOW, People, make_class, make_meeting, make_person
from trainer.services.teaching import classes, meetings
from trainer.store import Database
from trainer.store.models import Meeting

CLASS = {"title": "MT-1 November", "level": "I", "starts_on": "2026-11-02"}
MEETING = {
    "held_on": "2026-11-24",
    "starts_at": "08:00",
    "hours": "3.5",
    "level": "I",
    "content": "theory",
    "mode": "classroom",
    "subject": "Coil and cable wrap",
}
OF_A_CLASS = ("", "/members", "/members/1/remove", "/close", "/open", "/meetings")
OF_A_MEETING = ("", "/attendance", "/drop")


@pytest.fixture
def class_id(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


@pytest.fixture
def meeting_id(store: Database, people: People, class_id: int) -> int:
    """A meeting of 4 h of that class."""
    with store.writing() as session:
        return make_meeting(session, people.ian, class_id).id


def test_a_class_is_made(people: People, as_ian: Browser) -> None:
    """A class is made and stands in the list."""
    response = as_ian.send("/instructor/classes", CLASS)
    page = as_ian.get(response.location).get_data(as_text=True)
    assert (response.status_code, "MT-1 November" in page, "Nobody yet" in page) == (303, True, True)
    assert "1 running class<" in as_ian.get("/instructor/classes").get_data(as_text=True)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"title": ""}, "Write a title"),
        ({"title": "x" * 150}, "more than 100 characters"),
        ({"level": "III"}, "I or II"),
        ({"level": ""}, "I or II"),
        ({"starts_on": ""}, "year, month, day"),
        ({"starts_on": "2026-02-30"}, "year, month, day"),
        ({"starts_on": "0001-01-01"}, "too far away"),
        ({"title": "mt-1 november"}, "another title"),
    ],
)
def test_a_bad_class_is_named(
    people: People, class_id: int, as_ian: Browser, change: dict[str, str], says: str
) -> None:
    """Each fault has its sentence, making a class as changing one; what was typed is kept."""
    response = as_ian.send("/instructor/classes", {**CLASS, "title": "MT-2", **change})
    page = response.get_data(as_text=True)
    assert (response.status_code, says in page) == (422, True)
    assert ('value="MT-2"' in page) == ("title" not in change)


def test_a_class_is_changed_closed_and_opened(people: People, class_id: int, as_ian: Browser) -> None:
    """Title, level and first day can be written anew; a closed class can be opened again."""
    path = f"/instructor/classes/{class_id}"
    assert as_ian.send(path, {**CLASS, "title": "MT-1 December"}).status_code == 303
    assert as_ian.send(path, {**CLASS, "starts_on": "x"}).status_code == 422
    assert as_ian.send(f"{path}/close").status_code == 303
    assert "Closed on 25 Nov 2026" in as_ian.get(path).get_data(as_text=True)
    assert as_ian.send(f"{path}/open").status_code == 303
    page = as_ian.get(path).get_data(as_text=True)
    assert ("MT-1 December" in page, "Close the class" in page) == (True, True)


def test_people_come_and_go(store: Database, people: People, class_id: int, as_ian: Browser) -> None:
    """People of the house are put on the roster and taken off; strangers are not found, then nobody comes."""
    path = f"/instructor/classes/{class_id}"
    assert as_ian.send(f"{path}/members", {"person": [people.emma, people.omar]}).status_code == 404
    for wrong in ("x", "-1", "9" * 30, "٣"):
        assert as_ian.send(f"{path}/members", {"person": [str(people.emma), wrong]}).status_code == 404
    assert as_ian.send(f"{path}/members", {"person": [people.emma]}).status_code == 303
    assert as_ian.send(f"{path}/members/{people.tess}/remove").status_code == 303
    assert as_ian.send(f"{path}/members/{people.tess}/remove").status_code == 404
    with store.reading() as session:
        assert [one.id for one in classes.members(session, people.ian, class_id)] == [people.emma]


def test_a_meeting_is_entered_and_changed(
    store: Database, people: People, class_id: int, as_ian: Browser
) -> None:
    """A meeting is entered with exact hours, shown, and can be written anew."""
    response = as_ian.send(f"/instructor/classes/{class_id}/meetings", MEETING)
    page = as_ian.get(response.location).get_data(as_text=True)
    assert (response.status_code, "3.5 h" in page) == (303, True)
    assert as_ian.send(response.location, {**MEETING, "hours": "7,25"}).status_code == 303
    with store.reading() as session:
        found = session.get_one(Meeting, int(response.location.rsplit("/", 1)[1]))
    assert (found.hours, found.starts_at.hour, found.subject) == (Decimal("7.25"), 8, "Coil and cable wrap")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"held_on": "24.11.2026"}, "year, month, day"),
        ({"starts_at": "8 o'clock"}, "hours and minutes"),
        ({"starts_at": "25:00"}, "hours and minutes"),
        ({"hours": "0"}, "more than 0"),
        ({"hours": "a few"}, "as a number"),
        ({"hours": "20"}, "past midnight"),
        ({"level": "x"}, "level of a meeting"),
        ({"content": "x"}, "content of a meeting"),
        ({"mode": "x"}, "place of a meeting"),
        ({"subject": ""}, "Write what it is about"),
    ],
)
def test_a_bad_meeting_is_named(
    people: People, class_id: int, meeting_id: int, as_ian: Browser, change: dict[str, str], says: str
) -> None:
    """Each fault has its sentence, entering a meeting as changing one; what was typed is kept."""
    for path in (f"/instructor/classes/{class_id}/meetings", f"/instructor/meetings/{meeting_id}"):
        response = as_ian.send(path, {**MEETING, **change})
        page = response.get_data(as_text=True)
        assert (response.status_code, says in page) == (422, True)
        assert ('value="Coil and cable wrap"' in page) == ("subject" not in change)


def test_attendance_is_noted(store: Database, people: People, meeting_id: int, as_ian: Browser) -> None:
    """Attendance is noted, shown again, and can be mended until it is confirmed."""
    path, key = f"/instructor/meetings/{meeting_id}", f"presence-{people.tess}"
    assert as_ian.send(f"{path}/attendance", {key: "present"}).status_code == 303
    part = {key: "part", f"hours-{people.tess}": "1.5"}
    assert as_ian.send(f"{path}/attendance", part).status_code == 303
    with store.reading() as session:
        shown = classes.attendance(session, people.ian, meeting_id)
    assert [(one.presence, one.hours) for one in shown] == [("part", Decimal("1.5"))]
    page = as_ian.get(path).get_data(as_text=True)
    assert ('value="part" selected' in page, 'value="1.5"' in page) == (True, True)


def test_all_others_are_noted_at_once(
    store: Database, people: People, class_id: int, meeting_id: int, as_ian: Browser
) -> None:
    """One button notes everybody not noted yet as present, and leaves what was chosen by hand."""
    with store.writing() as session:
        ada = make_person(session, "TV-21", "Ada").id
        classes.add_members(session, people.ian, class_id, [ada], NOW)
    assert ">All present<" in as_ian.get(f"/instructor/meetings/{meeting_id}").get_data(as_text=True)
    data = {f"presence-{people.tess}": "absent", "others": "present"}
    assert as_ian.send(f"/instructor/meetings/{meeting_id}/attendance", data).status_code == 303
    with store.reading() as session:
        shown = classes.attendance(session, people.ian, meeting_id)
    assert {one.person.id: one.presence for one in shown} == {people.tess: "absent", ada: "present"}
    page = as_ian.get(f"/instructor/meetings/{meeting_id}").get_data(as_text=True)
    assert ("all others present" in page, ">All present<" in page) == (False, False)


@pytest.mark.parametrize(
    ("presence", "hours", "says"),
    [
        ("part", "", "as a number"),
        ("part", "4", "less than 4"),
        ("maybe", "", "one of"),
        ("part", "x" * 999, "number"),
    ],
)
def test_bad_attendance_is_named(
    store: Database, people: People, meeting_id: int, as_ian: Browser, presence: str, hours: str, says: str
) -> None:
    """A fault in one line keeps all of them in the form, and notes none."""
    data = {f"presence-{people.tess}": presence, f"hours-{people.tess}": hours}
    response = as_ian.send(f"/instructor/meetings/{meeting_id}/attendance", data)
    assert (response.status_code, says in response.get_data(as_text=True)) == (422, True)
    with store.reading() as session:
        assert classes.attendance(session, people.ian, meeting_id)[0].presence is None


def test_a_confirmed_meeting_is_only_shown(
    store: Database, people: People, meeting_id: int, as_ian: Browser
) -> None:
    """Once confirmed there is nothing to change, and what is sent all the same is refused with 409."""
    path = f"/instructor/meetings/{meeting_id}"
    with store.writing() as session:
        meetings.own_meeting(session, people.ian, meeting_id).confirmed_at = NOW
    page = as_ian.get(path).get_data(as_text=True)
    assert ("in the ledger since 25 Nov 2026" in page, "Note the attendance" in page) == (True, False)
    assert as_ian.send(f"{path}/attendance", {f"presence-{people.tess}": "present"}).status_code == 409
    assert as_ian.send(f"{path}/drop").status_code == 409
    changed = as_ian.send(path, MEETING)
    assert (changed.status_code, "in the ledger" in changed.get_data(as_text=True)) == (422, True)


def test_a_meeting_is_taken_away(people: People, class_id: int, meeting_id: int, as_ian: Browser) -> None:
    """A meeting that did not take place goes, and the class page is shown."""
    response = as_ian.send(f"/instructor/meetings/{meeting_id}/drop")
    assert (response.status_code, response.location) == (303, f"/instructor/classes/{class_id}")
    assert as_ian.get(f"/instructor/meetings/{meeting_id}").status_code == 404


def test_another_instructors_class_is_not_there(
    store: Database, people: People, class_id: int, meeting_id: int, signed_in: Callable[[int], Browser]
) -> None:
    """A fellow instructor, of the same house or another, finds neither class nor meeting."""
    with store.writing() as session:
        fellow = make_person(session, "TV-01", "Fellow", {"instructor"}).id
        stranger = make_person(session, "HK-01", "Stranger", {"instructor"}, house="Hook and Chain Works").id
    for person in (fellow, stranger):
        browser = signed_in(person)
        assert "MT-1 November" not in browser.get("/instructor/classes").get_data(as_text=True)
        for base, pages, form in (
            (f"/instructor/classes/{class_id}", OF_A_CLASS, {**CLASS, **MEETING, "title": "Other"}),
            (f"/instructor/meetings/{meeting_id}", OF_A_MEETING, MEETING),
        ):
            assert browser.get(base).status_code == 404
            assert [browser.send(base + page, form).status_code for page in pages] == [404] * len(pages)


def test_classes_are_for_instructors(
    people: People, class_id: int, as_tess: Browser, as_emma: Browser
) -> None:
    """Neither a trainee of the class nor the employer opens its pages."""
    for browser in (as_tess, as_emma):
        assert browser.get("/instructor/classes").status_code == 403
        assert browser.get(f"/instructor/classes/{class_id}").status_code == 403
        assert browser.send(f"/instructor/classes/{class_id}", CLASS).status_code == 403
