"""Writing an own item in a browser: checked while it is typed, the fault's line selected, and all of it without scripts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from tests.browser.fitting import fits
from tests.make import People
from trainer.services.authoring.draft_text import start

pytestmark = pytest.mark.browser
TEXT = start("question")
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


def test_faults_show_while_one_types(page_of: Callable[..., Any], people: People) -> None:
    """No press is needed; a fault leads to its line; mended, the preview is back. Nothing is kept by it."""
    page = page_of(people.ian, width=1366)
    page.goto("/drafts/new/question")
    page.get_by_label("The question in YAML").fill(TEXT.replace("level: I", "level: IV"))
    page.locator("#check").get_by_role("link", name="Line 5").click()
    assert page.get_by_role("heading", level=1).inner_text() == "1 fault to put right"
    selected = "t => t.value.slice(t.selectionStart, t.selectionEnd)"
    assert page.locator("#text").evaluate(selected).strip() == "level: IV"
    page.get_by_label("The question in YAML").fill(TEXT)
    page.locator("#check").get_by_text("No fault. This is how it will be met.").wait_for()
    page.goto("/drafts/")
    assert page.get_by_role("heading", level=1).inner_text() == "No own items yet"
    assert (page.left, page.faults) == ([], [])


@pytest.mark.parametrize("kind", ["question", "drill", "practical"])
def test_on_a_phone_without_scripts(page_of: Callable[..., Any], people: People, kind: str) -> None:
    """Check and keep by their presses; nothing sticks out sideways."""
    page = page_of(people.ian, scripts=False)
    page.goto(f"/drafts/new/{kind}")
    page.get_by_label("in YAML").fill("id: [")
    with page.expect_navigation():
        page.get_by_role("button", name="Check", exact=True).click()
    assert "fault to put right" in page.get_by_role("heading", level=1).inner_text()
    page.get_by_label("in YAML").fill(start(kind))
    page.get_by_role("button", name="Keep as a draft").click()
    page.get_by_role("button", name="Put it forward").wait_for()
    page.goto("/drafts/1")
    assert fits(page)


@pytest.mark.parametrize(("width", "paper"), [(320, "light"), (1366, "dark")])
def test_its_pages_can_be_used_by_everybody(
    page_of: Callable[..., Any], people: People, width: int, paper: Any
) -> None:
    """axe finds nothing on sheet, faults, draft, history and list, and nothing sticks out sideways."""
    from axe_playwright_python.sync_playwright import Axe

    page = page_of(people.ian, width)
    page.emulate_media(color_scheme=paper)
    page.goto("/drafts/new/question")
    page.get_by_role("button", name="Keep as a draft").click()
    page.goto("/drafts/1/write")
    page.get_by_label("in YAML").fill(TEXT.replace("Omar", "Tess"))
    page.get_by_role("button", name="Keep as another revision").click()
    for path in ("new/question", "new/drill", "new/practical", "1", "1/write", "1/changes/2", ""):
        page.goto(f"/drafts/{path}")
        if path == "1/write":
            page.get_by_label("in YAML").fill("topic: [")
            page.locator("#check .faults").wait_for()
        found = Axe().run(page, options=WCAG)
        faults = [f"{v['id']}: {v['nodes'][0]['html'][:160]}" for v in found.response["violations"]]
        assert (faults, fits(page)) == ([], True), path
