"""A drill examination in real Chromium: sat on a phone with the keyboard alone, and on a laptop with scripts off."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from tests.make import NOW, People, make_class
from trainer.drills.shelf import Shelf
from trainer.services import sittings
from trainer.store import Database
from trainer.store.models import PaperAnswer


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1366, False)])
def test_a_paper_is_sat(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People, width: int, scripts: bool
) -> None:
    """Code, two items, review, hand-in: both answers are on the disk and no page is wider than its screen."""
    with store.writing() as session:
        taught = make_class(session, people.ian, people.tess).id
        drills = ["coil-low-fill-wall", "prod-current-asme"]
        made = sittings.plan(
            session, shelf, people.ian, taught, "Coils", 30, 80, drills, 1, "", "ABC234", NOW
        )
        sittings.open_sitting(session, people.ian, made.id, NOW)
        number = made.id
    page = page_of(people.tess, width, scripts)
    page.goto("/trainee/examination")
    page.locator("[name=code]").focus()
    page.keyboard.type("abc234")
    page.keyboard.press("Enter")
    page.get_by_role("link", name="Item 1").click()
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
        f"classes/{taught}/examinations",
        f"classes/{taught}/sets",
        f"classes/{taught}/now",
    ):
        board.goto(f"/instructor/{path}")
        _fits(board, path.replace("/", "-") + f"-{width}")


def _fits(page: Any, name: str) -> None:
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/{name}.png", full_page=True)
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), f"{name} is too wide"
