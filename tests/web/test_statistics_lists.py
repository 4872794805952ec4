"""The lists of the statistics with all that is shipped: page by page, searched by word, the hardest first."""

from __future__ import annotations

import html
import re
from urllib.parse import urlencode

import pytest

from tests.answering import make_crowd, practise
from tests.banks import shipped_shelf
from tests.conftest import Browser
from tests.make import NOW, People
from trainer.bank import QuestionEntry
from trainer.drills.shelf import Shelf
from trainer.questions.ask import ask
from trainer.services.practising import questions
from trainer.store import Database
from trainer.store.models import QuestionSheet

PAGE = "/instructor/statistics"
MET, HARD = 50, 45  # questions that ten people met, and the one that they missed


@pytest.fixture
def shelf() -> Shelf:
    """The shipped bank: a page holds twenty rows, and the small one has fewer."""
    return shipped_shelf()


@pytest.fixture
def met(store: Database, shelf: Shelf, people: People) -> list[QuestionEntry]:
    """Ten people of the instructor answer fifty questions, all rightly but one, and two families of drills."""
    pool = [one for one in shelf.bank.questions.values() if one.question.pool == "practice"][:MET]
    with store.writing() as session:
        _, crowd = make_crowd(session, people.ian, 10)
        for number, entry in enumerate(pool):
            asked = ask(shelf, entry, 1)
            edition = questions.keep(session, shelf, asked, NOW)
            letter = next(choice.letter for choice in asked.choices if choice.right is (number != HARD))
            for person in crowd:
                sheet = QuestionSheet(
                    person_id=person, edition_hash=edition, question_id=entry.id, topic=entry.topic, seed=1,
                    snapshot=asked.snapshot(), reason="a test", asked_at=NOW,
                )  # fmt: skip
                session.add(sheet)
                session.flush()
                questions.take(session, shelf, person, sheet.id, letter, None, NOW)
        for person in crowd:
            practise(session, shelf, person, True, 1, drill="prod-current-asme")
            practise(session, shelf, person, False, 1)
    return pool


def listed(browser: Browser, query: str = "") -> list[str]:
    """The ids of drills and questions that stand on a page of the lists, in their order."""
    page = html.unescape(browser.get(f"{PAGE}{query}").get_data(as_text=True))
    return re.findall(rf'href="{PAGE}/(?:questions/)?([\w-]+)\?of=practice"', page)


def test_twenty_on_a_page_the_hardest_first(met: list[QuestionEntry], as_ian: Browser) -> None:
    """Both drills and the first twenty; the rest on the pages after it, where the drills stay."""
    first, *others = (listed(as_ian, f"?questions-page={number}") for number in (1, 2, 3))
    assert first[:3] == ["coil-low-fill-wall", "prod-current-asme", met[HARD].id]
    assert all(page[:2] == first[:2] for page in others)
    assert [len(page) for page in (first, *others)] == [2 + 20, 2 + 20, 2 + 10]
    assert {one for page in (first, *others) for one in page[2:]} == {one.id for one in met}


def test_a_word_narrows_one_list(met: list[QuestionEntry], as_ian: Browser) -> None:
    """The drills by their names, the questions by their words, each by itself; what has no such words says so."""
    assert listed(as_ian, "?drills-words=PROD+current")[:2] == ["prod-current-asme", met[HARD].id]
    title = re.search(rf"{met[HARD].id}[^>]*>([^<]+)<", as_ian.get(PAGE).get_data(as_text=True))
    assert title
    found = listed(as_ian, f"?{urlencode({'questions-words': html.unescape(title[1]).rstrip('…').upper()})}")
    assert found == ["coil-low-fill-wall", "prod-current-asme", met[HARD].id]
    page = as_ian.get(f"{PAGE}?drills-words=nowhere").get_data(as_text=True)
    assert "Nothing has these words" in page
    assert "Hardest first: Coil" in page
