"""How much work the pages of practice ask of the store: counted, since a busy machine makes every clock wrong."""

from __future__ import annotations

import re

import pytest

from tests.conftest import Browser
from tests.web.test_practice import begin, key_of
from tests.work import statements_in
from trainer.store import Database

DRILL = {"drill": "coil-low-fill-wall", "find": "I"}


def tables(statement: str) -> str:
    """What a statement does, and to which table first: "SELECT exercise"."""
    words = re.sub(r"\(.*?\)", "", re.sub(r"\([^()]*\)", "", statement)).split()
    place = {"SELECT": "FROM", "INSERT": "INTO", "UPDATE": "UPDATE"}.get(words[0])
    return f"{words[0]} {words[words.index(place) + 1]}" if place else " ".join(words)


@pytest.mark.sqlite
def test_an_exercise_is_shown_after_two_looks_into_the_store(as_tess: Browser, store: Database) -> None:
    """One says who is asking and whether they sit a paper, one fetches the exercise with all that the sheet needs."""
    path = f"/trainee/practice/{begin(as_tess, **DRILL)}"
    asked = statements_in(store, lambda: as_tess.get(path))
    assert [tables(one) for one in asked] == ["SELECT sign_in_session", "SELECT exercise"]


@pytest.mark.sqlite
def test_an_answer_writes_three_rows_and_reads_four(as_tess: Browser, store: Database) -> None:
    """Who asks, the exercise, the skill and the chain's end are read; skill, answer and link are written, all or none."""
    first, second = (answering(as_tess, store) for _ in range(2))
    read = ["SELECT sign_in_session", "SELECT exercise", "SELECT skill_state"]
    kept = ["INSERT answer", "SELECT link", "INSERT link"]
    assert first == [*read, "INSERT skill_state", *kept]
    assert second == [*read, "UPDATE skill_state", *kept]


def answering(browser: Browser, store: Database) -> list[str]:
    """What one answer asks of the store, without the offer and the sheet before it."""
    path = f"/trainee/practice/{begin(browser, **DRILL)}"
    key = key_of(browser.get(path).get_data(as_text=True))
    form = {"answer": "4.95 kA", "key": key, "csrf_token": browser.token()}
    return [tables(one) for one in statements_in(store, lambda: browser.post(path, data=form))]
