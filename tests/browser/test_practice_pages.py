"""The pages round an exercise on a phone and a laptop, light and dark: sound for everybody, nothing sideways."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.fitting import fits
from tests.browser.test_practice_story import newest
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.store import Database

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


@pytest.mark.parametrize(("width", "paper"), [(390, "light"), (1366, "dark")])
def test_hints_lesson_sheet_and_choices(
    page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf, width: int, paper: Any
) -> None:
    """A slip made twice, its lesson and first exercise, hints with the bench open, a sheet, the choices: axe content."""
    from axe_playwright_python.sync_playwright import Axe

    page = page_of(people.tess, width)
    page.emulate_media(color_scheme=paper)

    def sound() -> None:
        found = Axe().run(page, options=WCAG).response["violations"]
        assert not found, [f"{one['id']}: {one['nodes'][0]['html'][:160]}" for one in found]
        assert fits(page), page.url

    def answer(text: str) -> None:
        page.get_by_label("with its unit").fill(text)
        page.get_by_role("button", name="Mark my answer").click()
        page.wait_for_url("**/verdict")

    page.goto("/trainee/")
    page.get_by_role("button", name="Start: 1 exercise").click()
    page.wait_for_url("**/practice/*")
    sound()
    answer(newest(store, shelf)[1]["radius-for-diameter"])
    page.get_by_role("button", name="One more like it").click()
    page.get_by_text("The first steps are yours").or_(page.get_by_text("The first step is yours")).wait_for()
    sound()
    answer(newest(store, shelf)[1]["radius-for-diameter"])
    page.get_by_role("button", name="On to the next").click()
    page.wait_for_url("**/lessons/*")
    sound()
    page.get_by_role("button", name="Start: 3 exercises on just this").click()
    page.wait_for_url("**/practice/*")
    for press in ("formula", "first step", "whole working"):
        page.get_by_role("button", name=f"Show me the {press}").click()
        page.get_by_text("This one does not count").wait_for()
        page.get_by_text("Number pad").click()
        page.get_by_text("Reckon here").click()
        sound()
    for address in ("/account/pages", "/trainee/"):
        page.goto(address)
        sound()
    page.get_by_role("button", name="Make a sheet").click()
    page.wait_for_url("**/printed/*")
    sound()
    assert (page.left, page.faults) == ([], [])


def test_large_text_and_blueprint_come_without_scripts(page_of: Callable[..., Any], people: People) -> None:
    """What is chosen is on the page itself: larger letters, blueprint, and nothing sideways at 320 px."""
    page = page_of(people.tess, 320, scripts=False)
    page.goto("/account/pages")
    page.get_by_label("largest").check()
    page.get_by_label("blueprint").check()
    page.get_by_role("button", name="Keep this").click()
    page.get_by_text("Every page now comes this way").wait_for()
    for address in ("/trainee/", "/trainee/drills", "/account/pages"):
        page.goto(address)
        look = page.evaluate(
            "[getComputedStyle(document.documentElement).fontSize, document.documentElement.scrollWidth]"
        )
        assert look[0] == "22.4px"
        assert look[1] <= 320, address
    assert (
        page.evaluate("getComputedStyle(document.querySelector('.sheet')).backgroundColor")
        == "rgb(13, 36, 64)"
    )
