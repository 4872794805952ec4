"""What a screen reader says of each page, in its order: the accessibility tree of Chromium against what is to be seen."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any

import pytest

from tests.browser.whole_house import DOWNLOADS, NOBODY, WALKERS, House
from trainer.web.access import COOKIE

pytestmark = pytest.mark.browser
LANDMARKS = ["banner", "main", "contentinfo"]
# On a phone everything stands in one column: what is reached later must not stand above what came before.
UPWARDS = """() => {
  const stops = [...document.querySelectorAll('main a[href], main button, main input, main select, main textarea, main summary, main h1, main h2, main h3')]
    .filter((one) => one.type !== 'hidden' && one.checkVisibility() && !one.closest('.scroll, table, [data-pad], .presses, .bench'));
  const line = (one) => one.getBoundingClientRect();
  return stops.slice(1).filter((one, i) => line(one).bottom < line(stops[i]).top - 2)
    .map((one) => one.outerHTML.slice(0, 90));
}"""


@pytest.mark.parametrize("number", WALKERS)
def test_pages_are_read_in_the_order_in_which_they_stand(
    chromium: Any,
    house: House,
    places: dict[str, tuple[str, str]],
    house_server: str,
    number: str,
) -> None:
    """Landmarks once each in their order, one first heading, no level left out, names for all, nothing read upwards."""
    context = chromium.new_context(base_url=house_server, viewport={"width": 390, "height": 844})
    if number != NOBODY:
        context.add_cookies([{"name": COOKIE, "value": house.token(number), "url": house_server}])
    page = context.new_page()
    faults: list[str] = []
    for name, (who, address) in places.items():
        if who == number and name not in DOWNLOADS:
            page.goto(address)
            faults += [f"{name}: {fault}" for fault in _faults(page)]
    context.close()
    assert faults == []


def test_a_page_out_of_order_is_found(chromium: Any, house: House, house_server: str) -> None:
    """A picture without a name, a heading two levels down, and a first line that is shown last are all found."""
    context = chromium.new_context(base_url=house_server, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto("/verify")
    page.evaluate(
        """() => {
            const main = document.querySelector('main .frame');
            main.insertAdjacentHTML('beforeend', '<h4>Far down</h4><svg role="img" width="9" height="9"></svg>');
            const sheet = new CSSStyleSheet();
            sheet.replaceSync('main .frame { display: flex !important; flex-direction: column-reverse !important }');
            document.adoptedStyleSheets = [sheet];
        }"""
    )
    found = " ".join(_faults(page))
    context.close()
    for wanted in ("heading of level 4", "no name for image", "is read after what stands below it"):
        assert wanted in found, (wanted, found)


def _faults(page: Any) -> Iterator[str]:
    session = page.context.new_cdp_session(page)
    nodes = session.send("Accessibility.getFullAXTree")["nodes"]
    session.detach()
    told = [(_value(one, "role"), _value(one, "name").strip(), one) for one in nodes if not one["ignored"]]
    roles = [role for role, _name, _one in told]
    found = [role for role in roles if role in LANDMARKS]
    if found != LANDMARKS:
        yield f"landmarks are read as {found}"
    levels = [(_level(one), name) for role, name, one in told if role == "heading"]
    if [level for level, _name in levels].count(1) != 1 or not levels or levels[0][0] != 1:
        yield f"headings begin with {levels[:2]}"
    for (before, _), (level, name) in pairwise(levels):
        if level > before + 1:
            yield f"heading of level {level} after one of level {before}: {name}"
    for role, name, _one in told:
        if role in {"img", "image", "button", "link", "textbox", "combobox", "heading", "table"} and not name:
            yield f"no name for {role}"
    yield from (f"{stop} is read after what stands below it" for stop in page.evaluate(UPWARDS))


def _value(node: dict[str, Any], key: str) -> str:
    return str(node.get(key, {}).get("value", ""))


def _level(node: dict[str, Any]) -> int:
    return next(
        (int(one["value"]["value"]) for one in node.get("properties", []) if one["name"] == "level"), 0
    )
