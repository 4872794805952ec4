"""A sealed examination in real Chromium: a passphrase given, the program started anew, unlocked, time given back."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import select

from tests.make import NOW, PASSPHRASE, Clock, People, make_class
from tests.sitting import CODE, DRILL
from trainer.drills.shelf import Shelf
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import sittings
from trainer.store import Database
from trainer.store.models import Paper


@pytest.mark.parametrize(("width", "scripts"), [(390, True), (1366, False)])
def test_sealed_locked_unlocked(
    page_of: Callable[..., Any], store: Database, shelf: Shelf, people: People, clock: Clock, width: int,
    scripts: bool,
) -> None:  # fmt: skip
    """What the passphrase is good for is read before it is given; both sides know what to do while it is locked."""
    with store.writing() as session:
        taught = make_class(session, people.ian, people.tess).id
        wanted = Plan((Line(DRILL, "I", 2),), 50, "")
        number = sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, CODE, NOW).id
    ian, tess = page_of(people.ian, width, scripts), page_of(people.tess, width, scripts)
    ian.goto(f"/instructor/sittings/{number}")
    _fits(ian, f"seal-planned-{width}")
    ian.get_by_label("Passphrase", exact=True).fill(PASSPHRASE)
    ian.get_by_label("The same again").fill("something else")
    ian.get_by_role("button", name="Seal and open").click()
    ian.get_by_text("The two are not the same").first.wait_for()
    _fits(ian, f"seal-fault-{width}")
    for label in ("Passphrase", "The same again"):
        ian.get_by_label(label, exact=True).fill(PASSPHRASE)
    ian.get_by_role("button", name="Seal and open").click()
    ian.get_by_text("Read the code out").wait_for()
    _fits(ian, f"seal-open-{width}")
    tess.goto("/trainee/examination")
    tess.get_by_label("Code").fill(CODE)
    tess.keyboard.press("Enter")
    tess.get_by_role("button", name="Start: my time begins now").click()
    tess.get_by_role("link", name="Begin with item 1").click()
    tess.locator("#answer").fill("77 A")
    tess.get_by_role("button", name="Keep and go on").click()
    tess.wait_for_url("**/2")  # it is kept
    key = store.keyring.key(number)
    store.keyring.forget(number)  # as a program that was started anew
    clock.now += timedelta(minutes=12)
    tess.reload()
    tess.get_by_text("Locked: the invigilator must unlock").wait_for()
    _fits(tess, f"seal-candidate-{width}")
    ian.goto(f"/instructor/sittings/{number}")
    _fits(ian, f"seal-locked-{width}")
    ian.goto(f"/instructor/sittings/{number}/on-paper")
    _fits(ian, f"seal-on-paper-{width}")
    ian.goto(f"/instructor/sittings/{number}")
    ian.get_by_label("Passphrase of this examination").fill("axle draw hook toil")
    ian.get_by_role("button", name="Unlock").click()
    ian.get_by_text("This is not the passphrase").first.wait_for()
    _fits(ian, f"seal-wrong-{width}")
    ian.get_by_label("Passphrase of this examination").fill(PASSPHRASE)
    ian.get_by_role("button", name="Unlock").click()
    ian.get_by_text("Unlocked. Give everybody").wait_for()
    assert store.keyring.key(number) == key
    ian.get_by_label("Minutes more").fill("12")
    ian.locator("#all-reason").fill("power cut")
    ian.get_by_role("button", name="Give everybody these minutes").click()
    ian.get_by_text("1 paper has the minutes more").wait_for()
    _fits(ian, f"seal-unlocked-{width}")
    with store.reading() as session:
        assert session.scalars(select(Paper)).one().extra_minutes == 12
    tess.reload()
    tess.get_by_role("link", name="Item 2").click()
    tess.locator("#answer").fill("78 A")
    tess.get_by_role("button", name="Keep and go on").click()
    tess.get_by_role("button", name="Hand in: nothing can be changed").click()
    ian.reload()
    ian.get_by_role("button", name="Close and mark").click()
    ian.get_by_text("Closed and marked.").wait_for()


def _fits(page: Any, name: str) -> None:
    """The page is not wider than its window; with LOOK set its picture is kept."""
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    if os.environ.get("LOOK"):
        page.screenshot(path=f"{os.environ['LOOK']}/{name}.png", full_page=True)
