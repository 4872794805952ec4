"""A trainee at a phone and at a laptop: keyboard alone, scripts off, network away."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import func, select

from tests.browser.fitting import fits
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.formulas.units import unit
from trainer.store import Database
from trainer.store.models import Answer, Exercise

pytestmark = pytest.mark.browser


def newest(store: Database, shelf: Shelf) -> tuple[str, dict[str, str]]:
    """The right answer of the newest exercise, and what each slip gives, as typed texts."""
    with store.reading() as session:
        row = session.scalars(select(Exercise).order_by(Exercise.id.desc())).first()
        assert row is not None
        mould, drawn = shelf.mould(row.drill_id, row.find), shelf.draw(row.drill_id, row.seed, row.find)
    drill = mould.read.drill
    sign = unit(drill.quantities[row.find].unit).shown
    slips = {drill.slips[s.place].id: f"{s.value:.6g} {sign}" for s in drawn.slips}
    return f"{drawn.answer:.6g} {sign}", slips


def count(store: Database) -> int:
    """Answers that are kept."""
    with store.reading() as session:
        return session.scalar(select(func.count()).select_from(Answer)) or 0


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (390, False), (1366, True), (1366, False)])
def test_one_exercise_from_home_to_verdict(
    page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf, width: int, scripts: bool
) -> None:
    """Home, exercise, unreadable, right, next: with and without scripts; nothing leaves the machine."""
    page = page_of(people.tess, width, scripts)
    page.goto("/trainee/")
    page.get_by_role("button", name="Start: 1 exercise").click()
    page.wait_for_url("**/practice/*")
    page.get_by_label("with its unit").fill("much")
    page.get_by_role("button", name="Mark my answer").click()
    page.get_by_text("must begin with a number").first.wait_for()
    assert page.get_by_label("with its unit").input_value() == "much"
    page.get_by_label("with its unit").fill(newest(store, shelf)[0])
    page.get_by_role("button", name="Mark my answer").click()
    page.wait_for_url("**/verdict")
    assert page.locator("h1").inner_text().startswith("Right")
    assert fits(page)
    assert (page.left, page.faults, count(store)) == ([], [], 1)


def test_keyboard_alone(page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf) -> None:
    """From the first tab stop to the verdict without a pointer; the focus goes to the fault, and to the verdict."""
    page = page_of(people.tess, 1366)
    page.goto("/trainee/")
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent").startswith("Start"):
            break
    page.keyboard.press("Enter")
    page.wait_for_url("**/practice/*")
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "answer":
            break
    page.keyboard.type("much")
    page.keyboard.press("Enter")
    page.get_by_text("must begin with a number").first.wait_for()
    page.locator("#answer:focus").wait_for()
    page.keyboard.press("Control+a")
    page.keyboard.type(newest(store, shelf)[1]["turns-forgotten"])
    page.keyboard.press("Enter")
    page.wait_for_url("**/verdict")
    page.locator(".verdict:focus").wait_for()
    assert "the turns were left out" in page.locator("h1").inner_text()


def test_an_answer_typed_while_the_network_is_away_arrives_once(
    page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf
) -> None:
    """Offline the answer is kept on the phone; back online it is sent, and kept exactly once."""
    page = page_of(people.tess)
    page.goto("/trainee/")
    page.get_by_role("button", name="Start: 1 exercise").click()
    page.wait_for_url("**/practice/*")
    page.context.set_offline(True)
    page.get_by_label("with its unit").fill(newest(store, shelf)[0])
    page.get_by_role("button", name="Mark my answer").click()
    page.get_by_text("kept on this device").first.wait_for()
    assert count(store) == 0
    page.context.set_offline(False)
    page.wait_for_url("**/verdict", timeout=30_000)
    assert count(store) == 1
