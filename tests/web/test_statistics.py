"""Pages of statistics: nothing below the least numbers, plain words beside each figure, own people only."""

from __future__ import annotations

import html
import re

import pytest

from tests.answering import DRILL, make_crowd, practise, sit
from tests.conftest import Browser
from tests.make import People
from tests.services.examining.test_question_statistics import held
from trainer.bank.question import Question
from trainer.drills.shelf import Shelf
from trainer.services.examining.item_statistics import PAPERS
from trainer.services.examining.question_statistics import by_question
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
    assert "from 10 people on" in page
    with store.writing() as session:
        practise(session, shelf, crowd[9], True, 9)
    page = as_ian.get("/instructor/statistics").get_data(as_text=True)
    assert page.count('class="answer-dot"') == 1
    assert "Hardest first" in page
    assert "40\u202f% to 89\u202f%" in page
    assert "from 10 people on" not in page
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


def test_a_question_shows_its_options_from_ten_people_on(
    store: Database, shelf: Shelf, people: People, as_ian: Browser
) -> None:
    """Below ten first answers a count; then its share, each option with whoever chose it, and those nobody chose."""
    with store.writing() as session:
        made = held(session, shelf, people.ian, 30)
        shares = by_question(session, people.ian, PAPERS)
    often, seldom = max(shares, key=lambda one: shares[one].of), "no-such-question"
    assert shares[often].of >= 10
    listed = words(as_ian, "/instructor/statistics?of=papers")
    assert "Questions" in listed
    assert f"/instructor/statistics/questions/{often}?of=papers" in as_ian.get(
        f"/instructor/sittings/{made}/statistics"
    ).get_data(as_text=True)
    page = words(as_ian, f"/instructor/statistics/questions/{often}?of=papers")
    for says in (
        "Chosen first, of all who answered",
        "1, right",
        "A good wrong option is chosen",
        "right elsewhere",
    ):
        assert says in page
    question = shelf.bank.question(often).question
    assert isinstance(question, Question)
    assert all(option.text in page for option in question.options)
    early = words(as_ian, f"/instructor/statistics/questions/{often}")
    assert "Shown from 10 first answers on" in early
    assert as_ian.get(f"/instructor/statistics/questions/{seldom}").status_code == 404
    sitting = words(as_ian, f"/instructor/sittings/{made}/statistics")
    assert "KR-21" in sitting
    assert "Everybody had questions of their own" in sitting
