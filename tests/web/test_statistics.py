"""Pages of statistics: nothing below the least numbers, plain words beside each figure, own people only."""

from __future__ import annotations

import html
import re

import pytest

from tests.answering import DRILL, make_crowd, practise, sit
from tests.conftest import Browser
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.store import Database

SHEET = "80 65 70\n75 70 65\n85 60 75\n70 65 60\n80 75 70"


def words(browser: Browser, path: str) -> str:
    """The words of a page."""
    reply = browser.get(path)
    assert reply.status_code == 200, path
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", reply.get_data(as_text=True))).split())


def test_an_empty_house_has_nothing_to_show(people: People, as_ian: Browser) -> None:
    """No answer, no figure, and words that say so."""
    page = words(as_ian, "/instructor/statistics")
    assert "Not enough answers" in page
    assert "Nobody of your classes has answered" in page
    assert "No answer yet" in words(as_ian, f"/instructor/statistics/{DRILL}")


def test_nine_people_show_a_count_and_ten_a_share(
    store: Database, shelf: Shelf, people: People, as_ian: Browser
) -> None:
    """The tenth first answer brings the drawing and its sentence."""
    with store.writing() as session:
        _, crowd = make_crowd(session, people.ian, 10)
        for at, person in enumerate(crowd[:9]):
            practise(session, shelf, person, at < 6, at)
    page = as_ian.get("/instructor/statistics").get_data(as_text=True)
    assert 'class="answer-dot"' not in page
    assert "Fewer than 10 people" in page
    with store.writing() as session:
        practise(session, shelf, crowd[9], True, 9)
    page = as_ian.get("/instructor/statistics").get_data(as_text=True)
    assert page.count('class="answer-dot"') == 1
    assert "Hardest first" in page
    assert "between 40\u202f% and 89\u202f% would be right" in page
    one = words(as_ian, f"/instructor/statistics/{DRILL}")
    assert "70 % right" in one
    assert "not recognised" in one


def test_an_examination_says_how_far_to_trust_it(
    store: Database, shelf: Shelf, people: People, as_ian: Browser
) -> None:
    """From 30 papers on with KR-20, below it with the sentence why not; linked from its own page."""
    with store.writing() as session:
        class_id, crowd = make_crowd(session, people.ian, 30)
        many = sit(session, shelf, people.ian, class_id, crowd, 4, lambda i, j: (i + j) % 7 < i % 6)
        few = sit(session, shelf, people.ian, class_id, crowd[:3], 2, lambda i, j: i == j)
    assert f"/instructor/sittings/{many}/statistics" in as_ian.get(f"/instructor/sittings/{many}").get_data(
        as_text=True
    )
    page = words(as_ian, f"/instructor/sittings/{many}/statistics")
    assert "KR-20" in page
    assert "From 50 people on; there are 30" in page
    assert "too few to say" in words(as_ian, f"/instructor/sittings/{few}/statistics")
    assert "Right first answers" in as_ian.get("/instructor/statistics?of=papers").get_data(as_text=True)


def test_unknown_statistics_are_not_found(people: People, as_ian: Browser) -> None:
    """Another source, another drill, another's examination: 404."""
    for path in ("statistics?of=everything", "statistics/no-drill", "sittings/1/statistics"):
        assert as_ian.get(f"/instructor/{path}").status_code == 404, path


def test_a_panel_gets_its_pass_mark(people: People, as_ian: Browser) -> None:
    """Five judges: mark, error, each judge, each item; the sheet stays typed."""
    reply = as_ian.send("/instructor/panel", {"ratings": SHEET})
    page = reply.get_data(as_text=True)
    assert reply.status_code == 200
    assert "Pass mark 2.13 of 3 items" in page
    assert "19 times in 20" in page
    assert page.count('class="answer-dot"') == 3
    assert "85 60 75" in page


@pytest.mark.parametrize(
    ("typed", "says"),
    [("", "one line for each judge"), ("80 65\n75", "Line 2 has 1 ratings"), ("<b>", "no percentage")],
)
def test_a_sheet_that_cannot_be_read_comes_back(
    people: People, as_ian: Browser, typed: str, says: str
) -> None:
    """422 with one sentence, what was typed still there."""
    reply = as_ian.send("/instructor/panel", {"ratings": typed})
    page = html.unescape(reply.get_data(as_text=True))
    assert reply.status_code == 422
    assert says in page
    assert typed.split("\n")[0] in page
