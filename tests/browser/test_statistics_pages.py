"""Statistics with figures on them in real Chromium: no fault of accessibility, nothing wider than a phone."""

from __future__ import annotations

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
        found = Axe().run(page, options=WCAG)
        assert not [v["nodes"][0]["html"][:160] for v in found.response["violations"]], path
        assert fits(page), path
    assert page.faults == []
