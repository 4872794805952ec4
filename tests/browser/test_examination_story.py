"""A drill examination in real Chromium: sat on a phone with the keyboard alone, and on a laptop with scripts off."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from tests.browser.fitting import fits
from tests.make import NOW, People, make_class
from trainer.drills.shelf import Shelf
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import papers, sittings
from trainer.store import Database
from trainer.store.models import PaperAnswer


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1366, False)])
def test_a_paper_is_sat(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People, width: int, scripts: bool
) -> None:
    """Code, instructions, two items, review, hand-in: both answers are on the disk and no page is wider than its screen."""
    with store.writing() as session:
        taught = make_class(session, people.ian, people.tess).id
        drills = ("coil-low-fill-wall", "prod-current-asme")
        wanted = Plan(tuple(Line(drill, None, 1) for drill in drills), 80)
        made = sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, "ABC234", NOW)
        sittings.open_sitting(session, people.ian, made.id, NOW)
        number = made.id
    page = page_of(people.tess, width, scripts)
    page.goto("/trainee/examination")
    page.locator("[name=code]").focus()
    page.keyboard.type("abc234")
    with page.expect_navigation():
        page.keyboard.press("Enter")
    _fits(page, f"before-{width}")
    page.get_by_role("button", name="Start").press("Enter")
    page.get_by_role("link", name="Begin with item 1").click()
    for answer in ("111 A", "222 A"):
        _fits(page, f"item{answer[0]}-{width}")
        here = page.url
        page.locator("[name=answer]").focus()
        page.keyboard.type(answer)
        page.keyboard.press("Enter")
        page.wait_for_url(lambda url, here=here: url != here)
    _fits(page, f"review-{width}")
    page.get_by_role("button", name="Hand in").click()
    page.get_by_role("heading", name="Handed in").wait_for()
    with store.reading() as session:
        assert list(session.scalars(select(PaperAnswer.text).order_by(PaperAnswer.position))) == [
            "111 A", "222 A",
        ]  # fmt: skip
    board = page_of(people.ian, width, scripts)
    for path in (
        f"sittings/{number}",
        "papers/1",
        "sets",
        f"sets/new?class={taught}",
        f"classes/{taught}/examinations",
        f"classes/{taught}/sets",
        f"classes/{taught}/now",
    ):
        board.goto(f"/instructor/{path}")
        _fits(board, path.replace("/", "-").partition("?")[0] + f"-{width}")


def _fits(page: Any, name: str) -> None:
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/{name}.png", full_page=True)
    assert fits(page), f"{name} is too wide"


def test_what_is_typed_is_kept_without_a_press(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People
) -> None:
    """Typed and left alone it is on the disk; a press on a number then keeps the rest and leads there."""
    with store.writing() as session:
        taught = make_class(session, people.ian, people.tess).id
        wanted = Plan((Line("coil-low-fill-wall", "I", 2),), 80)
        made = sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, "ABC234", NOW)
        sittings.open_sitting(session, people.ian, made.id, NOW)
        paper = papers.start(session, shelf, people.tess, "ABC234", lambda: 7, NOW).id
    page = page_of(people.tess, 390)
    page.goto(f"/trainee/papers/{paper}/1")
    page.locator("[name=answer]").press_sequentially("12 A")
    page.get_by_text("Kept.", exact=True).wait_for()
    assert texts(store) == ["12 A", ""]
    page.locator("[name=answer]").press_sequentially("t")
    page.get_by_role("group", name="Keep this and go to an item").get_by_role("button", name="2").click()
    page.wait_for_url(f"**/papers/{paper}/2")
    assert texts(store) == ["12 At", ""]
    assert page.faults == []


def texts(store: Database) -> list[str]:
    """What is kept, item by item."""
    with store.reading() as session:
        return list(session.scalars(select(PaperAnswer.text).order_by(PaperAnswer.position)))


def test_the_list_of_drills_is_sifted(page_of: Callable[..., Any], people: People) -> None:
    """Words narrow the list; Enter ticks the first that is left, and makes no set; what is ticked stays in sight."""
    page = page_of(people.ian, 1366)
    page.goto("/instructor/sets/new")
    rows, ticked = page.locator("li[data-words]:visible"), page.locator("[data-sift-ticked] input:checked")
    page.locator("#q").press_sequentially("prod")
    assert rows.count() == 1
    page.keyboard.press("Enter")
    assert (page.locator("#q").input_value(), ticked.count()) == ("", 1)
    page.get_by_text("All drills by topic").click()
    page.locator("[data-topic] summary").first.click()
    page.locator("[data-topic] input").first.check()
    page.locator("#q").fill("zebra")
    assert (ticked.count(), rows.count()) == (2, 2)
    page.keyboard.press("Enter")
    assert page.url.endswith("/instructor/sets/new")
    assert (
        page.locator("select[name^=find-]:visible").count()
        == page.locator("[data-sift-ticked] select").count()
        > 0
    )
    assert page.faults == []
