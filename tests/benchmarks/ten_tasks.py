"""Ten things that people come to do: pages, presses, keys and seconds. Run by hand, with Chromium:

python -m tests.benchmarks.ten_tasks

Each task begins on the person's first page and goes by what is to be seen there: links, buttons, fields. Seconds
are those of the keystroke-level model (Card, Moran and Newell, Communications of the ACM 23 (7), 1980; values as
quoted by others: a key 0.28 s, a press 0.2 s after pointing 1.1 s and a thought 1.35 s, the hand to the keys and
back 0.4 s each) with what the machine took. It speaks of somebody who knows the way and does not read.
"""

from __future__ import annotations

import re
import shutil
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright
from sqlalchemy import select

from tests.browser.conftest import FLAGS, served
from tests.make import make_token
from trainer.app import create_app
from trainer.services.inventing import demo
from trainer.settings import Settings
from trainer.store.models import Person, Sitting
from trainer.web.access import COOKIE, Parts

KEY, PRESS, POINT, HAND, THOUGHT = 0.28, 0.2, 1.1, 0.4, 1.35
ROSTER = "Name,Works number,Class\n" + "".join(f"Person {n},TV-{n},Yokes in spring\n" for n in range(40, 52))


@dataclass
class Hands:
    """One person's hands on one page: everything done is counted."""

    page: Any
    presses: int = 0
    keys: int = 0
    hands: int = 0
    pages: int = 0
    seen: list[str] = field(default_factory=list)

    def begin(self) -> None:
        """The person's first page, from which all counting starts."""
        self.page.goto("/")
        self.presses = self.keys = self.hands = self.pages = 0

    def press(self, name: str | re.Pattern[str], role: str = "button", nth: int = 0) -> None:
        """Press what has these words, opening the folds above it."""
        line = self.page.get_by_role(role, name=name, include_hidden=True).nth(nth)
        self._unfold(line)
        self._press(line.click)

    def follow(self, name: str | re.Pattern[str], nth: int = 0) -> None:
        """Press a link."""
        self.press(name, "link", nth)

    def at(self, selector: str) -> None:
        """Press what a selector finds."""
        self._press(self.page.locator(selector).first.click)

    def choose(self, selector: str, label: str | re.Pattern[str]) -> None:
        """Open a list and press a line of it."""
        box = self.page.locator(selector).first
        if isinstance(label, re.Pattern):
            lines = [one.inner_text().strip() for one in box.locator("option").all()]
            label = next(one for one in lines if label.search(one))
        self.presses += 1
        self._press(lambda: box.select_option(label=label))

    def tick(self, name: str | re.Pattern[str]) -> None:
        """Tick a box, opening the folds above it."""
        box = self.page.get_by_label(name).first
        self._unfold(box)
        self._press(box.check)

    def type(self, selector: str, text: str) -> None:
        """Press a field and type."""
        self.presses, self.hands, self.keys = self.presses + 1, self.hands + 2, self.keys + len(text)
        self.page.locator(selector).first.fill(text)

    def give(self, selector: str, file: Path) -> None:
        """Choose a file: the press, and two in the system's own window."""
        self.presses += 3
        self.page.locator(selector).first.set_input_files(str(file))

    def _unfold(self, what: Any) -> None:
        what.wait_for(state="attached")
        for fold in what.locator("xpath=ancestor::details[not(@open)]").all():
            self._press(fold.locator("summary").first.click)

    def _press(self, press: Callable[[], object]) -> None:
        self.presses += 1
        before = self.page.url
        press()
        self.page.wait_for_load_state()
        self.pages += self.page.url != before

    def seconds(self, machine: float) -> float:
        """What the model makes of it."""
        return self.presses * (THOUGHT + POINT + PRESS) + self.keys * KEY + self.hands * HAND + machine


@dataclass
class Shop:
    """The demo with its people, and a folder for files."""

    parts: Parts
    hands: dict[str, Hands]
    folder: Path
    title: str = "MT Level I"
    code: str = ""

    def ian(self) -> Hands:
        """The instructor."""
        return self.hands["TV-00"]

    def anna(self) -> Hands:
        """A trainee, on a phone."""
        return self.hands["TV-01"]

    def emma(self) -> Hands:
        """The employer."""
        return self.hands["TV-90"]


def practise(shop: Shop) -> Hands:
    """A trainee answers the exercise that comes next and reads the verdict."""
    anna = shop.anna()
    anna.begin()
    anna.press("Start: 1 exercise")
    anna.type("#answer", "1800 A")
    anna.press("Mark my answer")
    return anna


def take_a_roster(shop: Shop) -> Hands:
    """An instructor takes twelve people from a spreadsheet, with their class."""
    ian, file = shop.ian(), shop.folder / "roster.csv"
    ian.begin()
    ian.follow("Classes")
    ian.type("input[name=title]", "Yokes in spring")
    ian.press("Make the class")
    file.write_text(ROSTER, encoding="utf-8")
    ian.follow("People")
    ian.follow(re.compile("[Rr]oster"))
    ian.give("input[type=file]", file)
    ian.press("Show what is in it")
    ian.press("Take this roster")
    return ian


def print_slips(shop: Shop) -> Hands:
    """An instructor makes the join slips of a class."""
    ian = shop.ian()
    ian.begin()
    ian.follow("Classes")
    ian.follow("Yokes in spring")
    ian.press(re.compile("Make join slips"))
    found = re.search(r"([A-Z0-9]{4}-[A-Z0-9]{4})", ian.page.locator("main").inner_text())
    assert found
    shop.code = found[1]
    return ian


def join(shop: Shop) -> Hands:
    """A newcomer joins with the slip and reaches the first exercise."""
    new = shop.hands["new"]
    new.begin()
    new.follow(re.compile("join|slip", re.IGNORECASE))
    new.type("input[name=code]", shop.code)
    new.type("input[type=password]", "hook axle sleeve pin")
    new.press("Join")
    new.press("Start: 1 exercise")
    assert new.page.locator("#answer").count()
    return new


def give_a_set(shop: Shop) -> Hands:
    """An instructor makes a drill set of three drills and gives it to a class."""
    ian = shop.ian()
    ian.begin()
    ian.follow("Drill sets")
    ian.follow(re.compile("new|Make", re.IGNORECASE))
    ian.type("input[name=title]", "Prods")
    for drill in ("Prod current by ASME V", "Coil, high fill or cable wrap", "Duty at another current"):
        ian.tick(re.compile(f"^{drill}"))
    ian.choose("select[name=whom]", re.compile("Yokes"))
    ian.at("form:has(input[name=title]) button.action")
    return ian


def show_a_slip(shop: Shop) -> Hands:
    """An instructor puts a slip of the class on the wall as a worked comparison."""
    ian = shop.ian()
    ian.begin()
    ian.follow(shop.title)
    ian.follow("The class now")
    ian.follow("Work it beside the right way")
    return ian


def hold_a_meeting(shop: Shop) -> Hands:
    """An instructor enters a meeting, notes who was there (all), and confirms the hours."""
    ian = shop.ian()
    ian.begin()
    ian.follow("Classes")
    ian.follow("Yokes in spring")
    ian.type("input[name=held_on]", f"{datetime.now(UTC).astimezone():%Y-%m-%d}")
    ian.type("#starts_at", "00:00")
    ian.type("#hours", "1")
    ian.type("#subject", "Yokes")
    ian.press("Enter the meeting")
    ian.press("Note it, all others present")
    ian.follow("Yokes in spring")
    ian.follow("Confirm hours")
    ian.at("main input[type=checkbox]")
    ian.press("Confirm what is ticked")
    return ian


def plan_an_examination(shop: Shop) -> Hands:
    """An instructor plans a drill examination for a class and opens it."""
    ian = shop.ian()
    ian.begin()
    ian.follow("Classes")
    ian.follow("Yokes in spring")
    ian.follow("Examinations")
    ian.type("input[name=title]", "Prods")
    ian.tick(re.compile("^Prod current by ASME V"))
    ian.press("Plan it")
    ian.press("Open without a passphrase")
    with shop.parts.database.reading() as session:
        assert session.scalars(select(Sitting)).all()
    return ian


def countersign(shop: Shop) -> Hands:
    """An employer reads an entry that waits, and countersigns it."""
    emma = shop.emma()
    emma.begin()
    emma.follow(re.compile("Countersign"))
    emma.page.get_by_role("checkbox").first.wait_for()
    emma.at("main input[type=checkbox]")
    emma.press(re.compile("^Countersign"))
    return emma


def export(shop: Shop) -> Hands:
    """An employer looks at somebody's standing and takes the signed record along."""
    emma = shop.emma()
    emma.begin()
    emma.follow("Tess")
    emma.follow(re.compile("[Ee]xport"))
    emma.at("input[name=form][value=credential]")
    with emma.page.expect_download():
        emma.press("Export")
    return emma


TASKS = (
    practise, take_a_roster, print_slips, join, give_a_set, show_a_slip, hold_a_meeting, plan_an_examination,
    countersign, export,
)  # fmt: skip


def main() -> None:
    """Do each task once and print what it took."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        app = create_app(Settings(instance=Path(folder) / "instance"))
        parts: Parts = app.extensions["trainer"]
        list(demo.fill(parts.database, parts.shelf, datetime.now(UTC)))
        running = served(app)
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        shop = Shop(parts, _hands(browser, next(running), parts), Path(folder))
        for task in TASKS:
            began = time.perf_counter()
            person = task(shop)
            took = time.perf_counter() - began
            says = str(task.__doc__).strip()
            print(
                f"{person.pages:3} pages {person.presses:3} presses {person.keys:4} keys"
                f" {person.seconds(took):5.0f} s  {says}"
            )
        browser.close()
        parts.database.close()


def _hands(browser: Any, address: str, parts: Parts) -> dict[str, Hands]:
    hands = {}
    for number, width in (("TV-00", 1366), ("TV-01", 390), ("TV-90", 1366), ("new", 390)):
        context = browser.new_context(
            base_url=address, viewport={"width": width, "height": 844}, accept_downloads=True
        )
        if number != "new":
            with parts.database.writing() as session:
                person = session.scalars(select(Person.id).where(Person.works_number == number)).one()
                token = make_token(session, person, datetime.now(UTC))
            context.add_cookies([{"name": COOKIE, "value": token, "url": address}])
        page = context.new_page()
        page.set_default_timeout(6_000)
        hands[number] = Hands(page)
    return hands


if __name__ == "__main__":
    main()
