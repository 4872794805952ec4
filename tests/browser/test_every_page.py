"""Every page there is: no fault of accessibility on white, blue or a small phone, nothing sideways, no request to elsewhere."""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import axe_playwright_python
import pytest
from flask import Flask
from pypdf import PdfReader

from tests.browser.whole_house import DOWNLOADS, EMMA, NOBODY, TESS, WALKERS, House, first_address
from trainer.web.access import COOKIE

pytestmark = pytest.mark.browser
WCAG = {"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}
COLOURS = {"runOnly": {"type": "rule", "values": ["color-contrast", "link-in-text-block"]}}
LOOKS = ((1366, "white", WCAG), (1366, "blue", COLOURS), (320, "blue", COLOURS), (320, "white", WCAG))
LEADING_ON = {"public.front"}  # shows nothing but the way, once there is anybody
BEFORE_ANYBODY = {"public.first"}
AXE = (Path(axe_playwright_python.__file__).parent / "axe.min.js").read_text(encoding="utf-8")
LOOK_FOR_FAULTS = """async (options) => {
  const found = await axe.run(document, { ...options, resultTypes: ['violations'] });
  return found.violations.map((one) => `${one.id}: ${one.nodes[0].html.slice(0, 200)} (${one.nodes.length})`);
}"""
ZOOMED = 640  # what a page has of 1280 px at 200 percent
# Whatever takes the focus without a visible ring, and whatever moves where the reader wants no motion.
UNSEEN = """() => {
  const told = (one) => one.outerHTML.slice(0, 120);
  const ringed = (one) => one && getComputedStyle(one).outlineStyle !== 'none' && parseFloat(getComputedStyle(one).outlineWidth) >= 2;
  const stops = [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')];
  const ringless = stops.filter((one) => one.type !== 'hidden' && !one.disabled && one.checkVisibility()).filter((one) => {
    one.focus({ preventScroll: true });
    return document.activeElement === one && ![one, one.closest('.line')].some(ringed);
  });
  const seconds = (text) => Math.max(...text.split(',').map(parseFloat));
  const moving = [...document.querySelectorAll('*')].filter((one) => {
    const look = getComputedStyle(one);
    return look.animationName !== 'none' && seconds(look.animationDuration) > 0.01 || seconds(look.transitionDuration) > 0.01;
  });
  return [...ringless.map((one) => `no ring: ${told(one)}`), ...moving.map((one) => `moves: ${told(one)}`)];
}"""
Places = dict[str, tuple[str, str]]


def test_no_page_is_forgotten(house: House, places: Places) -> None:
    """Each page of the map is reached by links, and so looked at here; what is not is named."""
    pages = {rule.endpoint for rule in house.app.url_map.iter_rules() if "GET" in (rule.methods or set())}
    assert pages - set(places) - {"static"} == LEADING_ON | BEFORE_ANYBODY
    assert set(places) >= DOWNLOADS


@pytest.mark.parametrize("number", WALKERS)
def test_pages_of_somebody(
    chromium: Any, house: House, places: Places, house_server: str, number: str
) -> None:
    """On a laptop and at 320 px, each on white and blue paper, axe finds nothing; none is too wide, no stop lacks a ring, nothing moves."""
    mine = {name: there for name, (who, there) in places.items() if who == number and name not in DOWNLOADS}
    context = chromium.new_context(base_url=house_server, reduced_motion="reduce")
    if number != NOBODY:
        context.add_cookies([{"name": COOKIE, "value": house.token(number), "url": house_server}])
    faults = [fault for name, there in mine.items() for fault in _faults(context, name, there)]
    context.close()
    assert mine
    assert faults == []


@pytest.mark.parametrize("name", ["employer.due", "employer.matrix", "employer.person", "ledger.waiting"])
def test_one_sheet_each(chromium: Any, house: House, places: Places, house_server: str, name: str) -> None:
    """What an employer prints of a house of twelve comes out as one sheet of paper."""
    context = chromium.new_context(base_url=house_server)
    context.add_cookies([{"name": COOKIE, "value": house.token(EMMA), "url": house_server}])
    page = context.new_page()
    assert page.goto(places[name][1]).status == 200
    sheets = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    context.close()
    assert len(sheets) == 1


def test_pages_before_anybody(chromium: Any, app: Flask, server: str) -> None:
    """The front page and the first account of an empty house are as sound."""
    context = chromium.new_context(base_url=server, reduced_motion="reduce")
    there = first_address(app)
    faults = [fault for one in ("/", there) for fault in _faults(context, one, one)]
    context.close()
    assert faults == []


def test_a_spoilt_page_is_found(chromium: Any, house: House, house_server: str) -> None:
    """Pale letters, a field without label or ring, a wide block, a motion are all found: the look above can fail."""
    context = chromium.new_context(base_url=house_server, reduced_motion="reduce")
    context.add_cookies([{"name": COOKIE, "value": house.token(TESS), "url": house_server}])
    context.add_init_script(
        "addEventListener('DOMContentLoaded', () => document.querySelector('h1').insertAdjacentHTML('afterend',"
        " '<p id=pale>pale</p><input id=bare><pre>' + 'wide '.repeat(400) + '</pre>'))\n"
        "const sheet = new CSSStyleSheet(); sheet.replaceSync('#pale { color: #ccd !important; animation: turn 2s }"
        " @keyframes turn { to { rotate: 9deg } } #bare:focus { outline: none !important }');"
        " document.adoptedStyleSheets = [sheet]"
    )
    faults = " ".join(_faults(context, "home", "/trainee/"))
    context.close()
    for wanted in (
        "color-contrast",
        "label:",
        "wider than 320",
        "sideways at 200",
        "no ring: <input",
        "moves: <p",
    ):
        assert wanted in faults, wanted


def _faults(context: Any, name: str, there: str) -> Iterator[str]:
    """Open a page, look at it on two screens and both papers, go through its stops; tell each fault with the page's name."""
    page = context.new_page()
    gone: list[str] = []
    page.on(
        "request", lambda r: None if r.url.startswith(("http://127.0.0.1", "data:")) else gone.append(r.url)
    )
    page.on("pageerror", lambda fault: gone.append(str(fault)))
    page.set_viewport_size({"width": 1366, "height": 844})
    reply = page.goto(there)
    if reply.status != 200:
        yield f"{name}: {reply.status} at {there}"
    page.evaluate(AXE)
    for width, paper, options in LOOKS:
        page.set_viewport_size({"width": width, "height": 844})
        page.evaluate(f"document.documentElement.dataset.paper = '{paper}'")
        yield from (f"{name} {there} {width} {paper}: {said}" for said in _violations(page, options))
        wide = page.evaluate("document.documentElement.scrollWidth")
        if wide > width:
            yield f"{name} {there}: {wide} px, wider than {width}"
    page.set_viewport_size({"width": ZOOMED, "height": 422})
    if page.evaluate("document.documentElement.scrollWidth") > ZOOMED:
        yield f"{name} {there}: sideways at 200 percent"
    yield from (f"{name} {there}: {said}" for said in page.evaluate(UNSEEN)[:3])
    yield from (f"{name}: {one}" for one in gone)
    page.close()


def _violations(page: Any, options: dict[str, Any]) -> list[str]:
    """What axe finds. Only that leaves the browser: a list of all that is sound takes longer than the look."""
    return list(page.evaluate(LOOK_FOR_FAULTS, options))
