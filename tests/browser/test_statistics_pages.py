"""Statistics with figures on them in real Chromium: no fault of accessibility, nothing wider than a phone."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest

from tests.answering import DRILL, make_crowd, practise, sit
from tests.browser.fitting import fits
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.store import Database

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


def test_statistics_on_a_phone(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People
) -> None:
    """All drills, one drill, one examination of thirty, a panel: axe finds nothing, no page runs over."""
    from axe_playwright_python.sync_playwright import Axe

    with store.writing() as session:
        class_id, crowd = make_crowd(session, people.ian, 30)
        for at, person in enumerate(crowd):
            practise(session, shelf, person, at % 3 > 0, at)
        made = sit(session, shelf, people.ian, class_id, crowd, 3, lambda i, j: (i + j) % 7 < i % 6)
    page = page_of(people.ian)
    for path in ("statistics", f"statistics/{DRILL}", f"sittings/{made}/statistics", "panel"):
        page.goto(f"/instructor/{path}")
        if path == "panel":
            page.get_by_label("Ratings in percent").fill("80 65\n70 60")
            page.get_by_role("button", name="Work it out").click()
            page.get_by_role("heading", name="Pass mark 1.38 of 2 items").wait_for()
        assert page.locator(".answer-dot").count() > 0, path
        if os.environ.get("LOOK"):
            page.screenshot(path=f"{os.environ['LOOK']}/{path.replace('/', '-')}.png", full_page=True)
        found = Axe().run(page, options=WCAG)
        assert not [v["nodes"][0]["html"][:160] for v in found.response["violations"]], path
        assert fits(page), path
    assert page.faults == []


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1366, False)])
def test_a_panel_is_kept(page_of: Callable[..., Any], people: People, width: int, scripts: bool) -> None:
    """Kept, a second round added, both in the history; axe finds nothing, nothing runs over, it prints on sheets."""
    page = page_of(people.ian, width, scripts)
    page.goto("/instructor/panel")
    page.get_by_label("Ratings in percent").fill("\n".join(["80 65 70 90 55 75 60 85"] * 5))
    page.get_by_label("Title", exact=True).fill("General, November")
    page.get_by_role("button", name="Keep this sheet").click()
    page.get_by_role("heading", name="General, November: 5.80 of 8 items").wait_for()
    page.get_by_label("Ratings in percent").fill(
        "\n".join(["75 65 70 90 55 75 60 80"] * 4 + ["70 60 70 90 50 70 60 80"])
    )
    page.get_by_label("Note").fill("After an hour of talk")
    page.get_by_role("button", name="Keep this sheet").click()
    page.get_by_text("After an hour of talk").wait_for()
    assert "2, counts" in page.locator("main").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/panel-kept-{width}.png", full_page=True)
        page.pdf(path=f"{os.environ['LOOK']}/panel-kept-{width}.pdf", prefer_css_page_size=True)
    if scripts:
        from axe_playwright_python.sync_playwright import Axe

        found = Axe().run(page, options=WCAG)
        assert not [v["nodes"][0]["html"][:160] for v in found.response["violations"]]
