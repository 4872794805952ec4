"""Pages of the employer that no menu leads to: no fault of accessibility, nothing sideways, usable without scripts."""

from __future__ import annotations

import io
import os
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest

from tests.browser.fitting import fits
from tests.conftest import Browser
from tests.entering import entered, make_level_iii, verified
from tests.files import PDF
from tests.make import NOW, People, make_person
from trainer.services.admitting import accounts
from trainer.services.qualifying import evidence
from trainer.store import Database

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
PAGES = (
    "/employer/practices/",
    "/employer/practices/draft?scheme=SNT-2016-A1",
    "/employer/practices/1",
    "/employer/matrix?state=short",
    "/employer/erasures/",
    "/employer/issuers/",
    "/ledger/entries/e1",
    "/ledger/earlier/",
    "/ledger/earlier/record/1",
)


@pytest.fixture
def filled(store: Database, people: People, as_emma: Browser) -> int:
    """A practice that waits, an entry with a file, somebody who left; the id of a Level III who sees it all."""
    with store.writing() as session:
        verified(session, people.tess, people.tess, "trainee", people.emma)
        accounts.set_left(session, people.emma, people.ian, True, NOW - timedelta(days=4000))
        made = make_level_iii(session)
        accounts.set_roles(session, people.emma, made, frozenset({"level_iii", "employer", "examiner"}), NOW)
    draft = {"scheme": "SNT-2016-A1", "revision": "1", "in_force": "2026-11-25"}
    more = {"value-training.I": "20", "reason-training.I": "our castings are hard"}
    as_emma.send("/employer/practices/draft", {**draft, **more})
    as_emma.send("/ledger/entries/e1/evidence", {"file": (io.BytesIO(b"%PDF-1.4\n%%EOF\n"), "scan.pdf")})
    return made


@pytest.mark.parametrize("width", [320, 1366])
@pytest.mark.parametrize("paper", ["light", "dark"])
def test_pages_without_a_menu_line(page_of: Callable[..., Any], filled: int, width: int, paper: Any) -> None:
    """axe finds nothing, no page scrolls sideways, no script fails, no request leaves the machine."""
    from axe_playwright_python.sync_playwright import Axe

    page = page_of(filled, width)
    page.emulate_media(color_scheme=paper)
    for path in PAGES:
        assert page.goto(path).status == 200, path
        found = Axe().run(page, options=WCAG)
        faults = [f"{v['id']}: {v['nodes'][0]['html'][:160]}" for v in found.response["violations"]]
        assert not faults, f"{path}: {faults}"
        assert fits(page), path
    assert (page.left, page.faults) == ([], [])


def test_a_revision_is_approved_without_scripts(page_of: Callable[..., Any], filled: int) -> None:
    """Keyboard and plain forms are enough: read, approve, see it in force."""
    page = page_of(filled, 390, scripts=False)
    page.goto("/employer/practices/1")
    page.get_by_role("button", name="Approve revision 1").press("Enter")
    assert page.get_by_role("heading", level=1).inner_text() == "Revision 1: approved"
    page.goto("/employer/practices/")
    assert "in force" in page.get_by_role("heading", level=1).inner_text()


def test_the_matrix_prints_on_one_sheet(page_of: Callable[..., Any], filled: int) -> None:
    """One page, lying."""
    from pypdf import PdfReader

    page = page_of(filled, 1366)
    page.goto("/employer/matrix")
    sheets = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    assert len(sheets) == 1, [sheet.extract_text()[:300] for sheet in sheets]
    sheet = sheets[0]
    assert sheet.mediabox.width > sheet.mediabox.height


def test_entries_are_read_and_signed_by_keyboard_without_scripts(
    page_of: Callable[..., Any], store: Database, people: People
) -> None:
    """At 390 px: read two, tick each by itself, be refused the one that changed, read it again, sign both."""
    with store.writing() as session:
        first = entered(session, people.tess, people.tess, "trainee").id
        second = entered(session, people.tess, people.tess, "trainee", date="2026-11-19").id
    page = page_of(people.emma, 390, scripts=False)
    page.goto("/ledger/")
    with store.writing() as session:
        evidence.attach(session, first, people.tess, "scan.pdf", PDF, NOW)
    for entry_id in (first, second):
        _by_keyboard(page, f"tick-{entry_id}")
    _press_sign(page)
    assert "has changed since you read it" in page.locator(".faults").inner_text()
    assert [box.is_checked() for box in page.get_by_role("checkbox").all()] == [False, True]
    assert page.get_by_role("link", name="scan.pdf").is_visible()
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/countersign.png", full_page=True)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    _by_keyboard(page, f"tick-{first}")
    _press_sign(page)
    assert "Nothing needs your countersignature" in page.locator("h1").inner_text()


@pytest.mark.parametrize("width", [390, 1366])
def test_a_group_of_the_menu_opens_without_scripts(
    page_of: Callable[..., Any], store: Database, people: People, width: int
) -> None:
    """The keyboard opens a group and follows a line of it; the group of the page being shown is marked."""
    with store.writing() as session:
        both = make_person(session, "TV-61", "Both", {"instructor", "examiner"}).id
    page = page_of(both, width, scripts=False)
    page.goto("/people/")
    nav = page.locator("nav[aria-label=Main]")
    assert nav.get_by_role("link").count() == 0
    shut = nav.bounding_box()["height"]
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/menu-{width}.png")
    page.locator("summary", has_text="Examine").focus()
    page.keyboard.press("Enter")
    assert nav.get_by_role("link").count() == 4
    assert nav.bounding_box()["height"] > shut
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/menu-open-{width}.png")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url("**/practicals/")


def _by_keyboard(page: Any, box_id: str) -> None:
    """Reach a box with the tab key alone and tick it with the space bar."""
    for _ in range(80):
        page.keyboard.press("Tab")
        if page.locator(":focus").get_attribute("id") == box_id:
            page.keyboard.press("Space")
            return
    raise AssertionError(f"{box_id} cannot be reached with the tab key")


def _press_sign(page: Any) -> None:
    page.get_by_role("button", name="Countersign what is ticked").focus()
    with page.expect_navigation():  # waiting for a loaded page would not wait: the one before is loaded
        page.keyboard.press("Enter")
