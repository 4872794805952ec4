"""A job done in the browser by keyboard, with scripts and without, on a phone and on a wide screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.fitting import fits
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.jobs.casting import JobShelf
from trainer.jobs.draw import remade
from trainer.store import Database
from trainer.store.models import JobSheet

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1366, True), (390, False)])
def test_a_job_by_keyboard(
    page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf, width: int, scripts: bool
) -> None:
    """Begun, three steps answered with a slip in the first, judged: nothing sideways, axe content, no request out."""
    from axe_playwright_python.sync_playwright import Axe

    page = page_of(people.tess, width, scripts)

    def sound() -> None:
        assert fits(page), page.url
        if scripts:
            found = Axe().run(page, options=WCAG).response["violations"]
            assert not found, [f"{one['id']}: {one['nodes'][0]['html'][:160]}" for one in found]

    def press(button: Any) -> None:
        button.focus()
        with page.expect_navigation():
            page.keyboard.press("Enter")

    def answer(text: str) -> None:
        page.locator("#answer").focus()
        page.keyboard.type(text)
        with page.expect_navigation():
            page.keyboard.press("Enter")
        sound()

    page.goto("/trainee/drills")
    page.get_by_text("All jobs").focus()
    page.keyboard.press("Enter")
    press(page.get_by_role("button", name="Verdict after each step"))
    sheet = int(page.url.rsplit("/", 1)[1])
    with store.reading() as session:
        drawn = remade(JobShelf(shelf).job("job-small-coil"), session.get_one(JobSheet, sheet).snapshot)
    sound()
    slipped = drawn.exercises[0].answer * 1.7
    answer(f"{slipped:.1f} A-turn")
    assert "your answer to step 1" in page.locator("table.parts").first.inner_text()
    answer(f"{slipped / drawn.given['N']:.1f} A")
    answer(str(int(-(-slipped // drawn.given["I2"]))))
    assert page.locator("h1").inner_text() == "3 of 4 marks"
    assert (page.left, page.faults) == ([], [])
