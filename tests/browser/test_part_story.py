"""A real part worked in a browser without scripts: by keyboard and thumb, and out of the printer on one page."""

from __future__ import annotations

from collections.abc import Callable
from io import BytesIO
from pathlib import Path
from typing import Any

import pypdf
import pytest

from tests.browser.fitting import fits
from tests.make import NOW, People
from trainer.drills.shelf import Shelf
from trainer.services.inventing import demo
from trainer.services.teaching import packs
from trainer.store import Database

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    """The shipped bank."""
    return Shelf.of_folder(Path(__file__).parents[2] / "question_bank")


def checked(page: Any) -> None:
    """No fault of accessibility, nothing sideways."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page, options=WCAG).response["violations"]
    assert not [f"{v['id']}: {v['nodes'][0]['html'][:160]}" for v in found]
    assert fits(page)


@pytest.mark.parametrize(("width", "paper"), [(390, "light"), (1366, "dark")])
def test_a_tube_in_a_coil(
    page_of: Callable[..., Any], store: Database, people: People, width: int, paper: str
) -> None:
    """A fault first, then the result with the pack's answer; the printed sheet is one page."""
    with store.writing() as session:
        packs.add(session, people.ian, demo.PACKS[1], NOW)
    page = page_of(people.tess, width, scripts=False)
    page.emulate_media(color_scheme=paper)
    page.goto("/work/")
    page.get_by_role("link", name="Part in a coil").click()
    page.get_by_label("Part length").fill("12")
    for name, text in {"Diameter": "3 in", "Hole": "2.5 in", "Coil bore": "16 in"}.items():
        page.get_by_label(name).fill(text)
    page.get_by_label("Turns", exact=True).fill("5")
    page.get_by_label("Pack of the shop").select_option("Pack B")
    page.get_by_role("button", name="Work it out").press("Enter")
    page.get_by_role("link", name="A unit is missing").click()
    assert page.get_by_label("Hole").input_value() == "2.5 in"
    page.get_by_label("Part length").fill("12 in")
    page.get_by_role("button", name="Work it out").press("Enter")
    assert page.locator("h1").inner_text() == "Current: 1243.7\u202fA"
    assert page.get_by_role("heading", name="Pack B cannot do it").is_visible()
    printed = page.pdf(prefer_css_page_size=True)
    assert len(pypdf.PdfReader(BytesIO(printed)).pages) == 1


@pytest.mark.parametrize("paper", ["light", "dark"])
def test_form_and_sheet_are_accessible(page_of: Callable[..., Any], people: People, paper: Any) -> None:
    """axe finds nothing on the form, on the form with faults, and on the sheet, on a phone."""
    page = page_of(people.tess, 320)
    page.emulate_media(color_scheme=paper)
    part = "L=3+in&D=2+in&coil=12+in&N=2&rated=1200+A&duty=20+%25&period=4+min&on=4+s"
    for path in ("/work/coil", "/work/coil/sheet?L=3&N=x", f"/work/coil/sheet?{part}"):
        page.goto(path)
        checked(page)
