"""A person's hands on a page of Chromium, on a mouse or on the keys alone: everything they do is counted."""

from __future__ import annotations

import re
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

KEY, PRESS, POINT, HAND, THOUGHT = 0.28, 0.2, 1.1, 0.4, 1.35
SETTLED = 60  # milliseconds in which a press has asked for whatever it asks
TYPED_IN_A_LIST = 4  # letters that find a line of a list; one that is nearer is reached by arrows
BEHIND = """(target) => {
  const here = document.activeElement;
  return here !== document.body && !!(here.compareDocumentPosition(target) & Node.DOCUMENT_POSITION_PRECEDING);
}"""
FOCUSED = "(target) => document.activeElement === target"
SKIPS = "(target) => document.activeElement === document.body && !!target.closest('main')"


@dataclass
class Hands:
    """One person's hands on one page. ``by_keys``: they never touch the mouse."""

    page: Any
    by_keys: bool = False
    presses: int = 0
    keys: int = 0
    hands: int = 0
    pages: int = 0
    waited: float = 0.0
    _asked: set[Any] = field(default_factory=set)
    _heard: float = 0.0

    def __post_init__(self) -> None:
        """Listen to what the page asks."""
        self.page.on("request", self._ask)
        self.page.on("requestfinished", self._hear)
        self.page.on("requestfailed", self._hear)

    def begin(self) -> None:
        """The person's first page, from which all counting starts."""
        self.page.goto("/")
        self.presses = self.keys = self.hands = self.pages = 0
        self.waited = 0.0

    def press(self, name: str | re.Pattern[str], role: str = "button", nth: int = 0) -> None:
        """Press what has these words, opening the folds above it."""
        self._press(self.page.get_by_role(role, name=name, include_hidden=True).nth(nth))

    def follow(self, name: str | re.Pattern[str], nth: int = 0) -> None:
        """Press a link."""
        self.press(name, "link", nth)

    def at(self, selector: str) -> None:
        """Press what a selector finds."""
        self._press(self.page.locator(selector).first)

    def tick(self, name: str | re.Pattern[str]) -> None:
        """Tick a box, opening the folds above it."""
        self._press(self.page.get_by_label(name).first)

    def choose(self, selector: str, label: str | re.Pattern[str]) -> None:
        """Choose a line of a list."""
        box = self.page.locator(selector).first
        lines = [one.inner_text().strip() for one in box.locator("option").all()]
        wanted = next(
            at
            for at, one in enumerate(lines)
            if (label.search(one) if isinstance(label, re.Pattern) else label == one)
        )
        if self.by_keys:
            self._reach(box)
            self.keys += min(wanted, TYPED_IN_A_LIST)
        else:
            self.presses += 2
        box.select_option(index=wanted)

    def type(self, selector: str, text: str) -> None:
        """Go to a field and type."""
        box = self.page.locator(selector).first
        if self.by_keys:
            self._reach(box)
        else:
            self.presses, self.hands = self.presses + 1, self.hands + 2
        self.keys += len(text)
        box.fill(text)

    def give(self, selector: str, file: Path) -> None:
        """Choose a file: the press, and two in the system's own window."""
        box = self.page.locator(selector).first
        if self.by_keys:
            self._reach(box)
            self.keys += 3
        else:
            self.presses += 3
        box.set_input_files(str(file))

    def seconds(self) -> float:
        """What the model makes of it, with what the machine took."""
        pressed = self.presses * (THOUGHT + (0 if self.by_keys else POINT + PRESS))
        return pressed + self.keys * KEY + self.hands * HAND + self.waited

    def key(self, name: str) -> None:
        """Press one key where one is."""
        self._and_wait(lambda: self.page.keyboard.press(name))
        self.keys += 1

    def _press(self, what: Any) -> None:
        what.wait_for(state="attached")
        for fold in what.locator("xpath=ancestor::details[not(@open)]").all():
            self._press_one(fold.locator("summary").first)
        self._press_one(what)

    def _press_one(self, what: Any) -> None:
        if self.by_keys:
            self._reach(what)
            self.key("Space" if what.get_attribute("type") in {"checkbox", "radio"} else "Enter")
        else:
            self.presses += 1
            self._and_wait(what.click)

    def _and_wait(self, act: Callable[[], object]) -> None:
        """Do it, and wait for whatever it asks of the server; only the machine's own time is counted."""
        before, began = self.page.url, time.perf_counter()
        self._heard = began
        act()
        self.page.wait_for_timeout(SETTLED)
        while self._asked:
            self.page.wait_for_timeout(SETTLED)
        self.page.wait_for_load_state()
        self.waited += self._heard - began
        self.pages += self.page.url != before

    def _ask(self, request: Any) -> None:
        self._asked.add(request)

    def _hear(self, request: Any) -> None:
        self._asked.discard(request)
        self._heard = time.perf_counter()

    def _reach(self, what: Any) -> None:
        """Tab to it, forwards or backwards; from the head of a page by the link that skips to the sheet."""
        self.presses += 1  # one thought
        if what.evaluate(SKIPS):
            self.key("Tab")
            self.key("Enter")
        way = "Shift+Tab" if what.evaluate(BEHIND) else "Tab"
        for _stop in range(1000):
            if what.evaluate(FOCUSED):
                return
            self.page.keyboard.press(way)
            self.keys += 1
        raise AssertionError(f"{what} is never reached")
