"""A panel's sheet on its pages: worked out without being kept, kept when that is pressed, added to, seen when planning."""

from __future__ import annotations

import html

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import People, make_class
from trainer.store import Database
from trainer.store.models import Panel, PanelSheet

SHEET = {
    "ratings": "80 65\n70 60",
    "title": "General, November",
    "plan": "small-1",
    "names": "",
    "says": "ours",
}


def keep(browser: Browser, **changes: str) -> str:
    """Keep a panel; the address of its page."""
    reply = browser.send("/instructor/panel", SHEET | {"do": "keep"} | changes)
    assert reply.status_code == 303, reply.get_data(as_text=True)
    return str(reply.location)


def test_worked_out_is_not_kept(people: People, as_ian: Browser, store: Database) -> None:
    """The first press shows the figures and keeps nothing; what was typed stays in the form."""
    page = as_ian.send("/instructor/panel", SHEET).get_data(as_text=True)
    assert "Pass mark 1.38 of 2 items" in page
    assert "General, November" in page
    with store.reading() as session:
        assert session.scalars(select(Panel)).all() == []


def test_kept_and_added_to(people: People, as_ian: Browser, store: Database) -> None:
    """Its own page with mark and history; a second round counts, the first stays; the list leads to it."""
    there = keep(as_ian)
    assert "General, November: 1.38 of 2 items" in as_ian.get(there).get_data(as_text=True)
    assert as_ian.send(there, {"ratings": "60 50\n50 40", "says": "", "which": "next"}).status_code == 303
    page = as_ian.get(there).get_data(as_text=True)
    for words in (
        "General, November: 1.00 of 2 items",
        "2, counts",
        "1.38 of 2, 68.75 %",
        "ours",
        "not given",
    ):
        assert words in page
    assert there in as_ian.get("/instructor/panel").get_data(as_text=True)
    with store.reading() as session:
        assert [one.round for one in session.scalars(select(PanelSheet))] == [1, 2]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"title": ""}, "Write a title to keep it under"),
        ({"ratings": ""}, "Write one line for each judge"),
        ({"ratings": "80 65\n75"}, "Line 2 has 1 ratings"),
        ({"names": "one"}, "1 items are named and each judge has 2 ratings"),
        ({"names": "one two"}, "The bank has no question or drill one"),
        ({"says": "x" * 301}, "at most 300 characters"),
        ({"plan": "nothing"}, "nothing"),
    ],
)
def test_a_faulty_panel_is_not_kept(
    people: People, as_ian: Browser, store: Database, changes: dict[str, str], says: str
) -> None:
    """422 with a sentence, everything typed still there, nothing kept."""
    reply = as_ian.send("/instructor/panel", SHEET | {"do": "keep"} | changes)
    page = html.unescape(reply.get_data(as_text=True))
    assert (reply.status_code, says in page) == (422, True)
    assert (SHEET | changes)["ratings"].split("\n")[-1] in page
    with store.reading() as session:
        assert session.scalars(select(Panel)).all() == []


def test_a_faulty_further_sheet(people: People, as_ian: Browser) -> None:
    """It comes back with its sentence, and the page of the panel stays whole around it."""
    there = keep(as_ian)
    reply = as_ian.send(there, {"ratings": "60 50 40", "which": "same"})
    page = reply.get_data(as_text=True)
    assert reply.status_code == 422
    assert "This panel is about 2 items" in page
    assert "60 50 40" in page


def test_seen_where_an_examination_is_planned(people: People, as_ian: Browser, store: Database) -> None:
    """The plan's page names the newest mark of a panel about it, beside the scheme's."""
    with store.writing() as session:
        class_id = make_class(session, people.ian, people.tess).id
    address = f"/instructor/classes/{class_id}/examinations/written?plan=small-1"
    assert "Your panel" not in as_ian.get(address).get_data(as_text=True)
    keep(as_ian, title="Another", plan="")
    assert "Your panel" not in as_ian.get(address).get_data(as_text=True)
    keep(as_ian)
    assert "68.75 % of 2 items by 2 judges" in as_ian.get(address).get_data(as_text=True)


def test_not_yours(people: People, as_ian: Browser, as_tess: Browser) -> None:
    """No such panel is not found; a trainee is refused."""
    there = keep(as_ian)
    assert as_ian.get("/instructor/panel/999").status_code == 404
    assert as_ian.send("/instructor/panel/999", {"ratings": "60 50"}).status_code == 404
    assert as_tess.get(there).status_code == 403
