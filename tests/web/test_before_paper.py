"""Before the time runs: instructions and a trial item, of which nothing is kept."""

from __future__ import annotations

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import People, make_class
from tests.web.test_sittings import planned, started
from trainer.store import Database
from trainer.store.models import Paper, Sitting


@pytest.fixture
def code(store: Database, people: People, as_ian: Browser) -> str:
    """The code of an open drill examination of 30 minutes for Tess."""
    with store.writing() as session:
        own_class = make_class(session, people.ian, people.tess).id
    planned(as_ian, own_class)
    with store.reading() as session:
        return session.scalars(select(Sitting.code)).one()


def test_the_time_does_not_run_while_instructions_are_read(
    as_tess: Browser, code: str, store: Database
) -> None:
    """The code shows items, minutes and mark, starts no paper, and the button of the page starts it."""
    page = as_tess.send("/trainee/examination/before", {"code": code.lower()}).get_data(as_text=True)
    assert "2 items in 30 minutes" in page
    assert "50 % must be right" in page
    with store.reading() as session:
        assert session.scalars(select(Paper)).all() == []
    paper = started(as_tess, store, 1)
    back = as_tess.send("/trainee/examination/before", {"code": code})
    assert (back.status_code, back.location) == (303, f"/trainee/papers/{paper}")


@pytest.mark.parametrize(
    ("typed", "status", "says"),
    [
        ("1800 A", 200, "Read as 1800 A."),
        ("1.8 kA", 200, "Read as 1.8 kA."),
        ("1800", 200, "Read as 1800 without a unit."),
        ("", 200, "Try it as often as you like"),
        ("<b>lots</b>", 422, "An answer cannot hold"),
    ],
)
def test_the_trial_item_is_read_as_in_the_paper(
    as_tess: Browser, code: str, typed: str, status: int, says: str
) -> None:
    """What was typed comes back with how it is read, or with the sentence that the paper would give."""
    reply = as_tess.send("/trainee/examination/before", {"code": code, "do": "try", "answer": typed})
    page = reply.get_data(as_text=True)
    assert (reply.status_code, says in page, "<b>lots" in page) == (status, True, False)


def test_a_code_that_opens_nothing(as_tess: Browser, as_omar: Browser, code: str) -> None:
    """A wrong code, or one of somebody else's class, comes back at its field."""
    for browser, typed in ((as_tess, "WRONG1"), (as_tess, ""), (as_omar, code)):
        reply = browser.send("/trainee/examination/before", {"code": typed})
        assert (reply.status_code, "No examination is open for you" in reply.get_data(as_text=True)) == (
            422, True,
        )  # fmt: skip
