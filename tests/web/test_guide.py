"""Help: a page for each role that is read in two minutes, pictures from the running program, one sheet for the wall."""

from __future__ import annotations

import re
from html import unescape

import pytest

from tests.conftest import Browser
from tests.make import People

WORDS_IN_TWO_MINUTES = 440  # 220 a minute, common practice, no source


def sheet_of(browser: Browser, path: str) -> str:
    """The sheet of a page, without menu and foot."""
    reply = browser.get(path)
    assert reply.status_code == 200
    found = re.search(r"<main.*</main>", reply.get_data(as_text=True), re.S)
    assert found
    return unescape(found[0])


@pytest.mark.parametrize(("role", "pictures"), [("trainee", 3), ("instructor", 3), ("employer", 3)])
def test_a_page_is_read_in_two_minutes(people: People, nobody: Browser, role: str, pictures: int) -> None:
    """Each page needs no account, has its pictures with text alternatives, and few enough words."""
    page = sheet_of(nobody, f"/help/{role}")
    assert len(re.findall(r"<svg[^>]*role=\"img\"", page)) == pictures
    words = re.sub(r"<svg.*?</svg>|<[^>]+>", " ", page, flags=re.S).split()
    assert 150 < len(words) <= WORDS_IN_TWO_MINUTES


def test_the_picture_shows_the_slip_that_the_words_name(people: People, nobody: Browser) -> None:
    """Dial, heading and limits come from one marked exercise of the bank."""
    page = sheet_of(nobody, "/help/trainee")
    assert "Not right: the radius went in for the diameter" in page
    said = re.search(r"here ([\d.]+)\u202fA where ([\d.]+) to ([\d.]+)\u202fA is accepted", page)
    assert said
    answered, low, high = map(float, said.groups())
    assert low < high < answered or answered < low < high


def test_everybody_is_led_to_the_help_of_their_role(
    people: People, as_tess: Browser, as_ian: Browser, as_emma: Browser, nobody: Browser
) -> None:
    """The foot of every page leads there; an unknown page is told as such."""
    for browser, path, role in (
        (as_tess, "/trainee/", "trainee"), (as_ian, "/instructor/classes", "instructor"),
        (as_emma, "/employer/", "employer"), (nobody, "/sign-in", "trainee"),
    ):  # fmt: skip
        assert f'<a href="/help/{role}">How this works</a>' in browser.get(path).get_data(as_text=True)
    assert nobody.get("/help/wizard").status_code == 404


def test_the_quick_sheet_says_what_is_read(people: People, nobody: Browser) -> None:
    """Its examples are read by the marking itself, and its cautions are those of the bank."""
    page = sheet_of(nobody, "/help/sheet").replace("\u202f", " ")
    for typed, read in (("1.8 kA", "1800 A"), ("3 1/2 in", "88.9 mm"), ('12"', "304.8 mm"), ("25 %", "25 %")):
        assert f'<th scope="row">{typed}</th><td class="value">{read}</td>' in page
    assert "Before the current goes on" in page
    assert "pacemakers" in page
