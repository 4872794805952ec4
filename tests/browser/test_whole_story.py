"""The whole job in one piece: roster to signed record, and an employer who verifies it on another machine."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from sqlalchemy import select

from tests.make import People
from trainer.cli import trainer
from trainer.drills.shelf import Shelf
from trainer.formulas.units import unit
from trainer.services.keeping import sealed_papers
from trainer.store import Database
from trainer.store.models import Exercise, Paper, Person, Sitting

pytestmark = pytest.mark.browser

ROSTER = "Name,Works number,Class\nAda,TV-21,Coils in November\nBruno,TV-22,Coils in November\n"
PASSPHRASE = "hook axle sleeve pin"


def right_for(shelf: Shelf, kept: dict[str, Any]) -> str:
    """What a stored exercise wants, as a person would type it."""
    mould, drawn = (
        shelf.mould(kept["drill"], kept["find"]),
        shelf.draw(kept["drill"], kept["seed"], kept["find"]),
    )
    return f"{drawn.answer:.5g} {unit(mould.read.drill.quantities[kept['find']].unit).shown}"


def go(page: Any, thing: Any) -> None:
    """Press what leads to a page, and wait for that page: a click alone comes back before it is there."""
    with page.expect_navigation():
        thing.click()


def press(page: Any, name: str, role: str = "button") -> None:
    """Press a button or a link by its words and wait for the page behind it."""
    go(page, page.get_by_role(role, name=name).first)


def test_from_a_roster_to_a_record_that_another_machine_believes(
    page_of: Callable[..., Any], people: People, store: Database, shelf: Shelf, tmp_path: Path
) -> None:
    """An instructor, a trainee and an employer do their parts; the export is verified with the command alone."""
    roster = tmp_path / "roster.csv"
    roster.write_text(ROSTER, encoding="utf-8")
    ian = page_of(people.ian, 1366, scripts=False)
    _make_class(ian)
    code = _take_roster(ian, roster)
    _give_set(ian)

    ada = page_of(None, 390)
    ada.goto("/join")
    ada.get_by_label("Code on your join slip").fill(code)
    ada.get_by_label("A passphrase of your own").fill(PASSPHRASE)
    press(ada, "Join")
    _practise(ada, store, shelf)

    _hold_meeting(ian)
    _sit_examination(ian, ada, store, shelf)
    emma = page_of(people.emma, 1366, scripts=False)
    _countersign(emma)
    record = _export(emma, store, tmp_path)

    ada.goto("/record/")
    assert "Prerequisites" in ada.locator("h1").inner_text()
    assert "certified" not in ada.locator("main").inner_text().lower()
    _verify_elsewhere(record, tmp_path)


def tick(page: Any, drill: str) -> None:
    """Search a drill and tick it: it is where one goes on after the search."""
    page.get_by_label("Search the drills").fill(drill)
    press(page, "Search")
    box = page.get_by_role("checkbox", name=re.compile(drill))
    page.locator("input[type=checkbox]:focus").wait_for()  # a browser goes there once the page is drawn
    page.keyboard.press("Space")
    assert box.is_checked()


def _make_class(ian: Any) -> None:
    ian.goto("/instructor/classes")
    ian.get_by_label("Title", exact=True).fill("Coils in November")
    press(ian, "Make the class")


def _take_roster(ian: Any, roster: Path) -> str:
    """Take the roster; return Ada's code from the slips that are printed."""
    ian.goto("/instructor/roster")
    ian.get_by_label("CSV or XLSX file").set_input_files(str(roster))
    press(ian, "Show what is in it")
    press(ian, "Take this roster")
    go(ian, ian.get_by_role("button", name=re.compile("Make join slips")))
    text = ian.locator("main").inner_text()
    found = re.search(r"Ada.*?([A-Z0-9]{4}-[A-Z0-9]{4})", text, re.S)
    assert found, text
    return found[1]


def _give_set(ian: Any) -> None:
    ian.goto("/instructor/sets/new")
    ian.get_by_label("Name of the set").fill("First currents")
    for drill in ("Coil, low fill, part at the wall", "Prod current by spacing and thickness"):
        tick(ian, drill)
    ian.locator("select[name=whom]").select_option(label="Class Coils in November")
    go(ian, ian.locator("form").filter(has_text="Name of the set").locator("button.action"))
    assert "Coils in November" in ian.locator("main").inner_text()


def _practise(ada: Any, store: Database, shelf: Shelf) -> None:
    """One right answer, with the set named on the first page."""
    ada.goto("/trainee/")
    assert "First currents" in ada.locator("main").inner_text()
    press(ada, "Start: 1 exercise")
    with store.reading() as session:
        kept = dict(session.scalars(select(Exercise).order_by(Exercise.id.desc())).first().snapshot)  # type: ignore[union-attr]
    ada.locator("#answer").fill(right_for(shelf, kept))
    ada.get_by_role("button", name="Mark my answer").click()
    ada.wait_for_url("**/verdict")
    assert ada.locator("h1").inner_text().startswith("Right")


def _hold_meeting(ian: Any) -> None:
    """Plan yesterday's meeting, note who was there, confirm the hours."""
    ian.goto("/instructor/classes")
    press(ian, "Coils in November", "link")
    ian.get_by_label("Day", exact=True).fill("2026-11-24")
    ian.locator("#starts_at").fill("08:00")
    ian.locator("#hours").fill("4")
    ian.locator("#subject").fill("Coil and cable wrap")
    go(ian, ian.locator("form:has(#subject) button[type=submit]").first)
    boxes, hours = ian.get_by_label(re.compile("Attendance of")).all(), ian.locator(".of-part input:visible")
    boxes[0].select_option("part")
    assert hours.count() == 1
    for box in boxes:
        box.select_option("present")
    assert hours.count() == 0
    press(ian, "Note the attendance")
    ian.goto("/instructor/classes")
    press(ian, "Coils in November", "link")
    press(ian, "Confirm hours", "link")
    for box in ian.get_by_role("checkbox").all():
        box.check()
    press(ian, "Confirm what is ticked")
    assert "Training entries made: 2" in ian.locator("main").inner_text()


def _sit_examination(ian: Any, ada: Any, store: Database, shelf: Shelf) -> None:
    """Plan, open, sit with right answers, hand in, close: the score goes to the ledger."""
    ian.goto("/instructor/classes")
    press(ian, "Coils in November", "link")
    press(ian, "Examinations", "link")
    ian.get_by_label("Title", exact=True).fill("Coils, drill examination")
    tick(ian, "Coil, low fill, part at the wall")
    ian.locator("select[name=part]").select_option("specific")
    press(ian, "Plan it")
    ian.get_by_label("Passphrase", exact=True).fill(PASSPHRASE)
    ian.get_by_label("The same again").fill(PASSPHRASE)
    press(ian, "Seal and open")
    with store.reading() as session:
        code = session.scalars(select(Sitting.code)).one()
    ada.goto("/trainee/examination")
    ada.get_by_label("Code").fill(code)
    press(ada, "Go on, or come back to my paper")
    press(ada, "Start: my time begins now")
    with store.reading() as session:
        paper = session.scalars(select(Paper)).one()
        number, kept = paper.id, [sealed_papers.facts(a) for a in paper.answers]
    for position, one in enumerate(kept, 1):
        ada.goto(f"/trainee/papers/{number}/{position}")
        ada.locator("#answer").fill(right_for(shelf, one))
        ada.get_by_role("button", name="Keep and go on").click()
        ada.wait_for_url(re.compile(rf"/papers/{number}(/{position + 1})?$"))
    press(ada, "Hand in: nothing can be changed afterwards")
    ian.reload()
    press(ian, "Close and mark")
    ada.goto(f"/trainee/papers/{number}")
    assert "is reached" in ada.locator("h1").inner_text()


def _countersign(emma: Any) -> None:
    """Read what waits and sign all of it."""
    emma.goto("/ledger/")
    assert "countersignature" in emma.locator("h1").inner_text()
    for box in emma.get_by_role("checkbox").all():
        box.check()
    go(emma, emma.get_by_role("button", name=re.compile("^Countersign")).first)
    assert "Nothing needs your countersignature" in emma.locator("main").inner_text()


def _export(emma: Any, store: Database, folder: Path) -> Path:
    """Export Ada's record as a signed credential and carry it away."""
    with store.reading() as session:
        ada_id = session.scalars(select(Person.id).where(Person.works_number == "TV-21")).one()
    emma.goto(f"/employer/exports/{ada_id}")
    emma.locator("input[name=form][value=credential]").check()
    with emma.expect_download() as held:
        emma.get_by_role("button", name="Export").first.click()
    file = folder / "elsewhere.json"
    held.value.save_as(file)
    return file


def _verify_elsewhere(record: Path, folder: Path) -> None:
    """Another machine has the command and the issuer's key; nothing else of this installation."""
    issuer = json.loads(record.read_text("utf-8"))["issuer"]
    did = issuer["id"] if isinstance(issuer, dict) else issuer
    elsewhere = ["--instance", str(folder / "other"), "verify", "--on", "2026-11-25"]
    done = CliRunner().invoke(trainer, [*elsewhere, "--issuer", did, str(record)])
    assert (done.exit_code, "valid" in done.stdout.lower()) == (0, True), done.output
    altered = folder / "altered.json"
    altered.write_text(record.read_text("utf-8").replace('"1"', '"2"', 1), encoding="utf-8")
    assert altered.read_text("utf-8") != record.read_text("utf-8")
    assert CliRunner().invoke(trainer, [*elsewhere, "--issuer", did, str(altered)]).exit_code == 1
    assert CliRunner().invoke(trainer, [*elsewhere, str(record)]).exit_code == 1
