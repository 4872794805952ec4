"""A bad network in real Chromium: slow and broken lines, two phones, a phone asleep, an address that changes."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from datetime import timedelta
from typing import Any

import pytest

from tests.browser.bad_line import BadLine
from tests.browser.test_practice_story import count, newest
from tests.make import Clock, People, make_token
from trainer.drills.shelf import Shelf
from trainer.store import Database
from trainer.web.access import COOKIE

pytestmark = pytest.mark.browser
PATIENCE = 90_000  # milliseconds: a line of 50 kbit/s on a busy machine


@pytest.fixture
def line(server: str) -> Iterator[BadLine]:
    """The server behind a line of 50 kbit/s with 0.2 s each way."""
    line = BadLine(int(server.rsplit(":", 1)[1])).open()
    yield line
    line.close()


def begin(page: Any, at: str = "") -> None:
    """Open one's next exercise, at another address of the same server if one is named."""
    page.set_default_timeout(PATIENCE)
    page.goto(f"{at}/trainee/")
    page.get_by_role("button", name="Start: 1 exercise").click()
    page.wait_for_url("**/practice/*")


def answer(page: Any, text: str) -> None:
    """Write an answer and press."""
    page.get_by_label("with its unit").fill(text)
    page.get_by_role("button", name="Mark my answer").click()


def test_an_answer_over_a_bad_line_is_kept_once(
    page_of: Callable[..., Any], line: BadLine, people: People, store: Database, shelf: Shelf
) -> None:
    """Two tries are lost on the way and one reply on the way back: the verdict comes once, one answer is stored."""
    page, asked = page_of(people.tess), []
    page.on("request", lambda one: asked.append(one.url) if one.url.endswith("/verdict") else None)
    begin(page, line.url)
    line.before, line.after, line.delay = 2, 1, 5
    answer(page, newest(store, shelf)[0])
    page.get_by_text("1 answer is not sent yet").wait_for()
    assert line.before == 2, "it is told while the first try is on its way"
    line.delay = 0.2
    page.wait_for_url("**/verdict")
    assert (line.before, line.after, count(store), len(asked)) == (0, 0, 1, 1)
    assert len([path for path in line.arrived if re.search(r"/practice/\d+$", path)]) == 2


def test_answers_wait_in_sight(
    page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf
) -> None:
    """Two answers written without network stand in the count on every page of theirs; both arrive, the count goes."""
    page = page_of(people.tess)
    begin(page)
    right = newest(store, shelf)[0]
    other = page.context.new_page()
    other.goto("/trainee/questions")
    other.get_by_role("button", name="Practise").first.click()
    other.wait_for_url(re.compile(r"/questions/\d+$"))
    page.context.set_offline(True)
    other.locator("#answer-A").check()
    other.get_by_role("button", name="Mark my answer").click()
    other.get_by_text("1 answer is not sent yet").wait_for()
    answer(page, right)
    page.get_by_text("2 answers are not sent yet").wait_for()
    page.context.set_offline(False)
    page.locator("#kept").wait_for(state="hidden")
    page.goto("/trainee/")
    assert page.locator("#kept").is_hidden()
    assert count(store) == 1


def test_two_phones_of_one_person(
    page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf
) -> None:
    """Both have the same exercise open; the first answer counts, the second phone is told and shows the verdict next."""
    one, two = page_of(people.tess), page_of(people.tess)
    begin(one)
    two.goto(one.url)
    right, slips = newest(store, shelf)
    answer(one, next(iter(slips.values())))
    one.wait_for_url("**/verdict")
    answer(two, right)
    two.get_by_text("answered already").wait_for()
    assert count(store) == 1
    two.goto(one.url)
    assert two.locator("h1").inner_text() == one.locator("h1").inner_text()
    assert two.locator("#kept").is_hidden()


def test_a_phone_asleep(
    page_of: Callable[..., Any], server: str, people: People, store: Database, shelf: Shelf, clock: Clock
) -> None:
    """After an hour the sign-in holds. After a night it does not: the page says so, and the answer goes after signing in."""
    page = page_of(people.tess)
    begin(page)
    clock.now += timedelta(hours=1)
    answer(page, newest(store, shelf)[0])
    page.wait_for_url("**/verdict")
    begin(page)
    clock.now += timedelta(hours=13)
    answer(page, newest(store, shelf)[0])
    page.get_by_text("kept on this device: you are signed out").wait_for()
    assert count(store) == 1
    with store.writing() as session:
        token = make_token(session, people.tess, clock())
    page.context.add_cookies([{"name": COOKIE, "value": token, "url": server}])
    page.goto("/trainee/drills")
    for _ in range(100):
        if count(store) == 2:
            break
        page.wait_for_timeout(100)
    assert count(store) == 2
    page.locator("#kept").wait_for(state="hidden")


def test_the_address_changes(
    page_of: Callable[..., Any], line: BadLine, people: People, store: Database, shelf: Shelf
) -> None:
    """Nobody answers at the old address: the page tells what to do and shows what was typed; at the new one it counts."""
    line.rate, line.delay = 10**7, 0
    page = page_of(people.tess)
    begin(page, line.url)
    old = line.url.removeprefix("http://")
    line.close()
    right = newest(store, shelf)[0]
    answer(page, right)
    page.get_by_text("If the trainer has got another address").wait_for()
    kept = page.locator("#kept").inner_text()
    assert right in kept
    assert f"can only reach {old}" in kept
    begin(page)
    answer(page, right)
    page.wait_for_url("**/verdict")
    assert count(store) == 1
