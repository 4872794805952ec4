"""Knowledge questions in real Chromium: practised by keyboard on a phone, sat in a written examination."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.fitting import fits
from tests.browser.test_every_page import WCAG
from tests.make import People, make_class
from trainer.store import Database

pytestmark = pytest.mark.browser


def look(page: Any, width: int) -> None:
    """Nothing for axe to complain of, nothing sideways, no fault of a script."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, options=WCAG)
    assert not [f"{v['id']}: {v['nodes'][0]['html'][:160]}" for v in found.response["violations"]]
    assert fits(page)
    assert (page.left, page.faults) == ([], [])


@pytest.mark.parametrize("scripts", [True, False])
def test_a_question_by_keyboard(page_of: Callable[..., Any], people: People, scripts: bool) -> None:
    """Topic, question, an arrow key and Enter: the verdict with the reason of every option."""
    page = page_of(people.tess, 390, scripts)
    page.goto("/trainee/questions")
    page.get_by_role("button", name="Practise").first.press("Enter")
    page.wait_for_url(re.compile(r"/questions/\d+$"))
    if scripts:
        look(page, 390)
    page.locator("#answer-A").focus()
    page.keyboard.press("Space")
    page.keyboard.press("ArrowDown")
    assert page.locator("#answer-B").is_checked()
    page.keyboard.press("Enter")
    page.wait_for_url("**/verdict")
    assert page.locator(".reasons li").count() == 4
    assert re.match(r"(Right: B|Not right: [ACD] is, not B)$", page.locator("h1").inner_text())
    if scripts:
        look(page, 390)


def test_a_written_examination(page_of: Callable[..., Any], people: People, store: Database) -> None:
    """Planned from a scheme on a laptop, sat on a phone; a chosen letter is kept without a press."""
    with store.writing() as session:
        class_id = make_class(session, people.ian, people.tess).id
    ian, tess = page_of(people.ian, 1366), page_of(people.tess, 390)
    ian.goto(f"/instructor/classes/{class_id}/examinations/written")
    look(ian, 1366)
    ian.get_by_label("Questions beside the drills").fill("4")
    ian.get_by_role("button", name="Try these numbers").click()
    ian.wait_for_selector("text=The bank can fill these papers")
    ian.get_by_role("button", name="Plan it").click()
    with ian.expect_navigation():
        ian.get_by_role("button", name="Open without a passphrase").click()
    code = ian.locator("h1").inner_text().rsplit(" ", 1)[1]
    tess.goto("/trainee/examination")
    tess.locator("input[name=code]").fill(code)
    tess.keyboard.press("Enter")
    tess.get_by_role("button", name="Start: my time begins now").click()
    tess.get_by_role("link", name="Begin with item 1").click()
    for _ in range(5):
        if tess.locator("input[type=radio]").count():
            break
        with tess.expect_navigation():
            tess.get_by_role("button", name="Keep and go on").click()
    look(tess, 390)
    here = tess.url
    tess.locator("#answer-C").check()
    tess.wait_for_selector("text=Kept.")
    tess.goto(here)
    assert tess.locator("#answer-C").is_checked()
