"""Ten things that people come to do: pages, presses, keys and seconds. Run by hand, with Chromium:

python -m tests.benchmarks.ten_tasks [keys] [plain] [NAME ...]    keys: on the keys alone; plain: JavaScript off;
NAME: these alone, such as give_a_set (each one begins where those before it leave off: join needs print_slips)

Each task begins on the person's first page and goes by what is to be seen there: links, buttons, fields. Seconds
are those of the keystroke-level model (Card, Moran and Newell, Communications of the ACM 23 (7), 1980; values as
quoted by others: a key 0.28 s, a press 0.2 s after pointing 1.1 s and a thought 1.35 s, the hand to the keys and
back 0.4 s each) with what the machine took. On the keys alone each place that is gone to costs a thought, each Tab
and letter a key. It speaks of somebody who knows the way and does not read.
"""

from __future__ import annotations

import re
import shutil
import sys
import tempfile
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from playwright.sync_api import sync_playwright
from sqlalchemy import select

from tests.benchmarks.hands import Hands
from tests.browser.conftest import served
from tests.chromium import FLAGS
from tests.make import make_token
from trainer.app import create_app
from trainer.services.inventing import demo
from trainer.settings import Settings
from trainer.store.models import Person, Sitting
from trainer.web.access import COOKIE, Parts

ROSTER = "Name,Works number,Class\n" + "".join(f"Person {n},TV-{n},Yokes in spring\n" for n in range(40, 52))


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


def pick(ian: Hands, words: str, drill: str) -> None:
    """Search a list of drills and tick the first that is found: with Enter, or by itself where scripts are off."""
    ian.type("#q", words)
    ian.key("Enter")
    if not ian.page.get_by_label(re.compile(f"^{drill}")).is_checked():
        ian.tick(re.compile(f"^{drill}"))


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
    ian.choose("select[name=whom]", re.compile("Yokes"))
    for words, drill in (
        ("prod", "Prod current by ASME V"),
        ("high fill", "Coil, high fill or cable wrap"),
        ("another", "Duty at another current"),
    ):
        pick(ian, words, drill)
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
    ian.type("#starts_at", "00:00")
    ian.type("#hours", "1")
    ian.type("#subject", "Yokes")
    ian.press("Enter the meeting")
    ian.press("All present")
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
    pick(ian, "prod", "Prod current by ASME V")
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


Task = Callable[[Shop], Hands]
TASKS: tuple[Task, ...] = (
    practise, take_a_roster, print_slips, join, give_a_set, show_a_slip, hold_a_meeting, plan_an_examination,
    countersign, export,
)  # fmt: skip


def main(tasks: Sequence[Task], by_keys: bool, scripts: bool) -> None:
    """Do these tasks once and print what they took."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        app = create_app(Settings(instance=Path(folder) / "instance"))
        parts: Parts = app.extensions["trainer"]
        list(demo.fill(parts.database, parts.shelf, datetime.now(UTC)))
        running = served(app)
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=FLAGS)
        shop = Shop(parts, _hands(browser, next(running), parts, by_keys, scripts), Path(folder))
        for task in tasks:
            person = task(shop)
            says = str(task.__doc__).strip()
            print(
                f"{person.pages:3} pages {person.presses:3} {'thoughts' if by_keys else 'presses'}"
                f" {person.keys:4} keys {person.seconds():5.0f} s  {says}",
                flush=True,
            )
        browser.close()
        parts.database.close()


def _hands(browser: Any, address: str, parts: Parts, by_keys: bool, scripts: bool) -> dict[str, Hands]:
    hands = {}
    for number, width in (("TV-00", 1366), ("TV-01", 390), ("TV-90", 1366), ("new", 390)):
        context = browser.new_context(
            base_url=address,
            viewport={"width": width, "height": 844},
            accept_downloads=True,
            java_script_enabled=scripts,
        )
        if number != "new":
            with parts.database.writing() as session:
                person = session.scalars(select(Person.id).where(Person.works_number == number)).one()
                token = make_token(session, person, datetime.now(UTC))
            context.add_cookies([{"name": COOKIE, "value": token, "url": address}])
        page = context.new_page()
        page.set_default_timeout(6_000)
        hands[number] = Hands(page, by_keys)
    return hands


if __name__ == "__main__":
    named = {task.__name__: task for task in TASKS}
    main(
        [named[one] for one in sys.argv if one in named] or TASKS, "keys" in sys.argv, "plain" not in sys.argv
    )
