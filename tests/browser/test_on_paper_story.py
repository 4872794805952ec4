"""An examination on paper in real Chromium: printed, typed twice by keyboard, a difference seen; appeals beside it."""

from __future__ import annotations

import os
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from tests.browser.fitting import fits
from tests.entering import make_level_iii
from tests.make import NOW, People
from tests.sitting import make_closed, make_sitting
from trainer.drills.shelf import Shelf
from trainer.services.examining import appeals, printed_papers
from trainer.store import Database
from trainer.store.models import Paper


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1366, False)])
def test_marks_are_typed_twice(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People, width: int, scripts: bool
) -> None:
    """A slip in the second typing is named, mended by one line, and the paper is taken; no page is too wide."""
    with store.writing() as session:
        number = make_sitting(session, shelf, people).id
        printed_papers.draw(session, shelf, people.ian, number, 2, iter(range(1, 99)).__next__, NOW)
    page = page_of(people.ian, width, scripts)
    page.goto(f"/instructor/sittings/{number}/on-paper")
    _fits(page, f"on-paper-{width}")
    for turn, marks in (
        ("the first typing", "1 TV-07 RW"),
        ("the second", "1 tv-07 rr"),
        ("the second", "1 TV-07 R W"),
    ):
        page.get_by_label(turn).check()
        page.get_by_label("One line a paper").fill(marks)
        page.get_by_role("button", name="Keep what is typed").click()
        page.get_by_text("1 typed").wait_for()
        _fits(page, f"on-paper-{marks.replace(' ', '-')}-{width}")
    with store.reading() as session:
        taken = session.scalars(select(Paper)).one()
        assert [row.text[:3] for row in taken.answers] == ["rig", "not"]


@pytest.mark.parametrize(("width", "scripts"), [(390, False), (1366, True)])
def test_an_appeal_is_decided(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People, width: int, scripts: bool
) -> None:
    """The Level III finds it in the menu, marks it again with a reason; the record shows it."""
    with store.writing() as session:
        level_iii = make_level_iii(session)
        paper = make_closed(session, shelf, people)
        appeals.write_down(session, people.ian, paper.id, 1, "The drawing shows another bar", NOW)
        number = paper.sitting_id
    page = page_of(level_iii, width, scripts)
    page.goto("/appeals/")
    _fits(page, f"appeals-{width}")
    page.get_by_role("link", name="TV-07 Tess").click()
    _fits(page, f"appeal-{width}")
    page.get_by_label("right", exact=True).check()
    page.get_by_label("Reason").fill("It does")
    page.get_by_role("button", name="Let this verdict stand").click()
    page.get_by_role("heading", name="marked again, right").wait_for()
    board = page_of(people.ian, width, scripts)
    for path in (f"sittings/{number}", f"sittings/{number}/record", f"papers/{paper.id}"):
        board.goto(f"/instructor/{path}")
        _fits(board, path.replace("/", "-") + f"-{width}")


def _fits(page: Any, name: str) -> None:
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/{name}.png", full_page=True)
    assert fits(page), f"{name} is too wide"
