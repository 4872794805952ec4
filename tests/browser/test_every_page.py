"""Every page that a menu leads to: no fault of accessibility, nothing sideways, no request to elsewhere."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.make import People

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


@pytest.mark.parametrize("who", ["tess", "ian", "emma"])
@pytest.mark.parametrize("width", [320, 1366])
@pytest.mark.parametrize("paper", ["light", "dark"])
def test_every_page_of_the_menu(
    page_of: Callable[..., Any], people: People, who: str, width: int, paper: Any
) -> None:
    """axe finds nothing, no page scrolls sideways, no script fails, no request leaves the machine."""
    from axe_playwright_python.sync_playwright import Axe

    page = page_of(getattr(people, who), width)
    page.emulate_media(color_scheme=paper)
    page.goto("/")
    links = page.locator("nav[aria-label=Main] a").evaluate_all(
        "all => all.map(one => one.getAttribute('href'))"
    )
    assert len(links) >= 3
    for link in links:
        assert page.goto(link).status == 200, link
        found = Axe().run(page, options=WCAG)
        faults = [f"{v['id']}: {v['nodes'][0]['html'][:160]}" for v in found.response["violations"]]
        assert not faults, f"{link}: {faults}"
        assert page.evaluate("document.documentElement.scrollWidth") <= width, link
    assert (page.left, page.faults) == ([], [])
