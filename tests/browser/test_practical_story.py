"""A practical marked on a phone in real Chromium: with the keyboard, with scripts off, with the network away."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from tests.browser.fitting import fits
from tests.examining import make_practical, mark_all
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.store import Database
from trainer.store.models import PracticalMark

pytestmark = pytest.mark.browser
# The browser's store is opened two seconds later than it is asked for.
SLOWLY = """
const open = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (...asked) {
  const real = open.apply(this, asked), late = {};
  const tell = (name) => (event) => { late.result = real.result; late[name]?.(event); };
  real.onupgradeneeded = tell("onupgradeneeded");
  real.onsuccess = (event) => setTimeout(tell("onsuccess"), 2000, event);
  return late;
};
"""


@pytest.fixture
def sheet(store: Database, shelf: Shelf, people: People) -> int:
    """Tess before Ian, on the longer checklist."""
    with store.writing() as session:
        return make_practical(session, shelf.bank, people, checklist="bench-2").id


def kept(store: Database) -> list[tuple[str, str]]:
    """Every mark on the disk, oldest first."""
    with store.reading() as session:
        rows = session.execute(select(PracticalMark.point, PracticalMark.mark).order_by(PracticalMark.id))
        return [(row[0], row[1]) for row in rows]


def press(page: Any, point: str, mark: str) -> Any:
    """The press of one mark at one point."""
    return page.locator(f"#point-{point}").get_by_role("button", name=mark, exact=True)


def look(page: Any, name: str) -> None:
    """Keep a picture if somebody wants to look; the page is never wider than its screen."""
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/{name}.png", full_page=True)
    assert fits(page), name


def test_marks_set_without_network_are_sent_once(
    page_of: Callable[..., Any], store: Database, people: People, sheet: int
) -> None:
    """Three presses while away, one of them a changed mind: shown at once, then all kept once, in order."""
    page = page_of(people.ian)
    page.goto(f"/practicals/{sheet}")
    with page.expect_response(lambda reply: reply.status == 201):  # it is kept; no page comes with it
        press(page, "p1", "done").click()
    page.locator("#kept").wait_for(state="hidden")
    page.context.set_offline(True)
    press(page, "p2", "done").click()
    press(page, "p2", "missed").click()
    press(page, "p3", "partly").click()
    page.get_by_text("3 answers are not sent yet").wait_for()
    assert press(page, "p2", "missed").get_attribute("aria-pressed") == "true"
    assert press(page, "p2", "done").get_attribute("aria-pressed") == "false"
    assert page.locator("[data-unmarked]").inner_text() == "12"
    look(page, "practical-away-390")
    page.context.set_offline(False)
    page.locator("#kept").wait_for(state="hidden")
    assert kept(store) == [("p1", "done"), ("p2", "done"), ("p2", "missed"), ("p3", "partly")]
    page.reload()
    assert press(page, "p3", "partly").get_attribute("aria-pressed") == "true"
    assert page.faults == []


def test_a_press_before_the_box_is_open_waits_for_it(
    page_of: Callable[..., Any], store: Database, people: People, sheet: int
) -> None:
    """A slow phone opens its box late: the page is not left by the plain way, under the presses that follow."""
    page = page_of(people.ian)
    page.add_init_script(SLOWLY)
    page.goto(f"/practicals/{sheet}")
    page.evaluate("window.still = true")
    press(page, "p1", "done").click()
    press(page, "p2", "missed").click()
    for _try in range(100):
        if len(kept(store)) == 2:
            break
        page.wait_for_timeout(100)
    assert kept(store) == [("p1", "done"), ("p2", "missed")]
    assert page.evaluate("window.still")


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1366, False)])
def test_a_practical_is_marked_and_closed(
    page_of: Callable[..., Any], store: Database, people: People, sheet: int, width: int, scripts: bool
) -> None:
    """One press a point, marks stand, closed; with and without scripts, and nothing runs off the screen."""
    page = page_of(people.ian, width, scripts)
    page.goto(f"/practicals/{sheet}")
    look(page, f"practical-{width}")
    for at in range(page.locator(".point").count()):
        point = page.locator(".point").nth(at)
        button = point.get_by_role("button").first
        assert min(button.bounding_box()[side] for side in ("width", "height")) >= 44
        button.click()
    page.get_by_role("button", name="Let my marks stand").click()
    # fifteen marks go out one after the other first, which takes a while on a busy machine
    page.get_by_role("button", name="Close and enter").click(timeout=60_000)
    page.get_by_text("In the ledger as e1").wait_for()
    look(page, f"practical-closed-{width}")
    for path in ("", f"{sheet}/form", "specimens", "specimens/1", "checklists/bench-2"):
        page.goto(f"/practicals/{path}")
        look(page, f"practical-{path.replace('/', '-') or 'list'}-{width}")
    assert len(kept(store)) == 15
    assert page.faults == []


def test_pages_of_practicals_are_accessible(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People, sheet: int
) -> None:
    """axe finds nothing while marking and after the marks stand."""
    from axe_playwright_python.sync_playwright import Axe

    page = page_of(people.ian)
    for marked in (False, True):
        if marked:
            with store.writing() as session:
                mark_all(session, shelf.bank, people.ian, sheet)
        page.goto(f"/practicals/{sheet}")
        found = Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]})
        assert not [v["nodes"][0]["html"][:160] for v in found.response["violations"]]
