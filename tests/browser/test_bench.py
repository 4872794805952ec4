"""Beside the answer: units, number pad and strip only type into the field; and the field is in sight on a phone."""

from __future__ import annotations

import os
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from tests.browser.fitting import fits
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.settings import bank_folder
from trainer.store import Database
from trainer.store.models import Answer

pytestmark = pytest.mark.browser
LEAST_HEIGHT = 664  # what a browser leaves of a common phone of 844 px
SUMS = [
    ("45000/(6.5+2)", False, 45000 / 8.5),
    ("2^3^2", False, 512),
    ("-2^2", False, -4),
    ("sqrt(2)*pi", False, 4.442882938),
    ("√ 9 × 2", False, 6),
    ("45 000 / 3", False, 15000),
    ("1,5*2", True, 3),
    ("2*ans", False, 14),
    ("1,5*2", False, None),
    ("2+", False, None),
    ("(2", False, None),
    ("1/0", False, None),
    ("alert(1)", False, None),
    ("2 3", False, None),
    ("(" * 300, False, None),
    ("", False, None),
]


@pytest.fixture(scope="module")
def shelf() -> Shelf:
    """The whole bank, since its longest sheet must fit too."""
    return Shelf.of_folder(Path(bank_folder()))


def open_drill(page: Any, drill: str, find: str = "") -> None:
    """Ask for an exercise of a drill, as the page of all drills does."""
    page.goto("/trainee/drills")
    page.evaluate(
        """([drill, find]) => {
            const form = document.querySelector('form[action$="/practice"]');
            form.elements.drill.value = drill;
            if (find) form.append(Object.assign(document.createElement('input'), {name: 'find', value: find}));
            form.submit();
        }""",
        [drill, find],
    )
    page.wait_for_url("**/practice/*")


def least_lettering(page: Any) -> float:
    """The size of the smallest lettering of the figure as it is shown, in px of the page."""
    return float(
        page.evaluate(
            """() => Math.min(...[...document.querySelectorAll('.work figure text')].map(
                text => {
                    const to = text.getScreenCTM();
                    return parseFloat(getComputedStyle(text).fontSize) * Math.hypot(to.a, to.b);
                }))"""
        )
    )


def test_the_field_is_in_sight_on_a_phone(
    page_of: Callable[..., Any], people: People, shelf: Shelf, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The sheets with the longest parts lists have their answer field and its press within 390 by 664, nothing scrolled."""
    seeds = iter(range(100))
    monkeypatch.setattr("trainer.web.trainee.practice.secrets.randbelow", lambda _most: next(seeds))
    page = page_of(people.tess, 390)
    page.set_viewport_size({"width": 390, "height": LEAST_HEIGHT})
    drills = {one: entry.drill for one, entry in shelf.bank.drills.items()}
    longest = sorted(drills, key=lambda one: -len(shelf.mould(one).given))[:16]
    for drill, find in [(one, next(iter(drills[one].finds))) for one in longest] + [
        ("conductor-shots", find) for find in drills["conductor-shots"].finds
    ]:
        open_drill(page, drill, find)
        field, press = (page.locator(one).bounding_box() for one in (".answer .line", ".dock .action"))
        assert field["y"] < press["y"], drill
        assert press["y"] + press["height"] <= LEAST_HEIGHT, drill
        assert least_lettering(page) >= 10, drill
        if os.environ.get("LOOK"):
            page.screenshot(path=f"{os.environ['LOOK']}/{drill}-{find}.png")
        assert fits(page), drill


def test_a_field_picture_is_read_on_a_phone(
    page_of: Callable[..., Any], people: People, shelf: Shelf
) -> None:
    """With no field to answer below it the picture is as wide as the sheet, however tall it is."""
    page = page_of(people.ian, 390)
    shown = [one for one, entry in shelf.bank.drills.items() if entry.drill.field]
    assert shown
    for drill in shown:
        find = next(iter(shelf.bank.drills[drill].drill.finds))
        page.goto(f"/instructor/drills/{drill}/why?find={find}&seed=3")
        assert least_lettering(page) >= 10, drill
        assert page.evaluate("document.documentElement.scrollWidth") <= 390, drill
        edges = page.locator(".work, .work > figure .figure").evaluate_all(
            "all => all.map(one => one.getBoundingClientRect().right)"
        )
        assert max(edges[1:]) <= edges[0], f"{drill}: the picture reaches out of its sheet"
        if os.environ.get("LOOK"):
            page.screenshot(path=f"{os.environ['LOOK']}/why-{drill}.png", full_page=True)


@pytest.mark.parametrize(("sum_", "comma", "value"), SUMS)
def test_sums_are_read_by_hand(
    page_of: Callable[..., Any], people: People, sum_: str, comma: bool, value: float | None
) -> None:
    """Sums give their value; what is no sum gives nothing and runs nothing."""
    page = page_of(people.tess)
    page.goto("/reference/words")
    got = page.evaluate(
        """([text, comma]) => import(new URL("reckoning.js", document.querySelector("link[rel=stylesheet]").href))
            .then((m) => m.reckon(text, {comma, before: 7}))""",
        [sum_, comma],
    )
    assert got == (None if value is None else pytest.approx(value))
    assert page.faults == []


def test_unit_pad_and_strip_type_into_the_field(
    page_of: Callable[..., Any], people: People, store: Database
) -> None:
    """Keys insert at the caret, a unit replaces the unit, a result takes the number's place, and all goes along if wanted."""
    page = page_of(people.tess, 390)
    open_drill(page, "coil-low-fill-wall", "I")
    field = page.get_by_label("with its unit")
    field.fill("12")
    page.get_by_role("button", name="kA", exact=True).click()
    assert field.input_value() == "12 kA"
    page.get_by_role("button", name="A", exact=True).click()
    assert field.input_value() == "12 A"
    page.get_by_text("Number pad").click()
    page.locator("#answer[inputmode=none]").wait_for()  # told by an event that comes a moment after the press
    page.set_viewport_size({"width": 390, "height": LEAST_HEIGHT})
    for one in ("#answer", ".dock .action", ".pad .space", "[data-pad] button[value='0']"):
        box = page.locator(one).bounding_box()
        assert box["y"] >= 0, one
        assert box["y"] + box["height"] <= LEAST_HEIGHT, one
        assert box["height"] >= 44, one
    field.evaluate("one => { one.focus(); one.setSelectionRange(1, 1); }")
    page.get_by_role("button", name="7", exact=True).click()
    assert field.input_value() == "172 A"
    assert page.evaluate("document.activeElement.id") == "answer"
    page.get_by_role("button", name="take back one").click()
    assert field.input_value() == "12 A"
    page.keyboard.type("9")
    assert field.input_value() == "192 A", "typing goes on where the caret is"
    page.get_by_text("Reckon here").click()
    page.get_by_label("A sum, then Enter").fill("45000/4/3")
    page.keyboard.press("Enter")
    page.get_by_role("button", name="Take 3750 over into the answer").click()
    assert field.input_value() == "3750 A"
    page.get_by_label("A sum, then Enter").fill("4500)")
    page.keyboard.press("Enter")
    page.get_by_text("That is no sum").wait_for()
    page.get_by_label("Keep it with my answer").check()
    field.fill("much")
    page.get_by_role("button", name="Mark my answer").click()
    page.get_by_text("must begin with a number").first.wait_for()
    page.get_by_text("Reckon here").click()
    assert page.get_by_label("What you reckoned").inner_text().startswith("45000/4/3 =")
    field.fill("3750 A")
    page.get_by_role("button", name="Mark my answer").click()
    page.wait_for_url("**/verdict")
    page.get_by_text("45000/4/3 = 3750").wait_for()
    with store.reading() as session:
        assert session.scalar(select(Answer.scratch)) == "45000/4/3 = 3750\n"
    assert (page.left, page.faults) == ([], [])


def test_nothing_is_kept_unless_wanted(page_of: Callable[..., Any], people: People, store: Database) -> None:
    """Without the tick the strip stays on the page."""
    page = page_of(people.tess, 1366)
    open_drill(page, "coil-low-fill-wall", "I")
    page.get_by_text("Reckon here").click()
    page.get_by_label("A sum, then Enter").fill("1+1")
    page.keyboard.press("Enter")
    page.get_by_label("with its unit").fill("3750 A")
    page.get_by_role("button", name="Mark my answer").click()
    page.wait_for_url("**/verdict")
    with store.reading() as session:
        assert session.scalar(select(Answer.scratch)) is None


def test_without_scripts_none_of_it_is_there(page_of: Callable[..., Any], people: People) -> None:
    """The plain field remains."""
    page = page_of(people.tess, 390, scripts=False)
    page.goto("/trainee/")
    page.get_by_role("button", name="Start: 1 exercise").click()
    page.wait_for_url("**/practice/*")
    assert page.get_by_text("Number pad").is_hidden()
    assert page.get_by_label("with its unit").is_visible()
