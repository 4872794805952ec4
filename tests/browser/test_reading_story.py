"""From a verdict to the field behind its rule, to a formula sheet and to a word, on a phone and a wide screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.fitting import fits
from tests.make import People

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


@pytest.mark.parametrize(("width", "paper"), [(390, "light"), (390, "dark"), (1366, "light")])
def test_reading_on_after_an_answer(
    page_of: Callable[..., Any], people: People, width: int, paper: Any
) -> None:
    """By keyboard alone: nothing sideways, axe content, the words lead to the glossary, no request leaves."""
    from axe_playwright_python.sync_playwright import Axe

    page = page_of(people.tess, width)
    page.emulate_media(color_scheme=paper)

    def sound() -> None:
        assert fits(page), page.url
        found = Axe().run(page, options=WCAG).response["violations"]
        assert not found, [f"{one['id']}: {one['nodes'][0]['html'][:160]}" for one in found]

    def press(thing: Any) -> None:
        thing.focus()
        with page.expect_navigation():
            page.keyboard.press("Enter")

    page.goto("/trainee/drills?q=low+fill")
    press(page.locator("form:has(input[name=drill][value='coil-low-fill-wall']) button"))
    assert page.get_by_text("Why the rule works").count() == 0
    page.locator("#answer").fill("1 A")
    press(page.locator("button.action"))
    press(page.get_by_role("link", name="Why the rule works"))
    assert page.locator("figure svg[role=img] title").text_content() == "Field of the coil"
    sound()
    page.locator("summary", has_text="Look up").press("Enter")
    press(page.locator("nav[aria-label=Main]").get_by_role("link", name="Formulas"))
    sound()
    press(page.get_by_role("link", name="Coil"))
    assert page.locator("math").count() > 3
    sound()
    assert (page.left, page.faults) == ([], [])
