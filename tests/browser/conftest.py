"""The running program in real Chromium (tests/chromium.py)."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from waitress import create_server

from tests.browser.whole_house import House, addresses, filled
from tests.make import Clock, People, make_token
from tests.stores import Stock
from trainer.settings import Settings
from trainer.store import Database
from trainer.web.access import COOKIE


def served(app: Flask) -> Iterator[str]:
    """The application behind the real server on a free port of this machine."""
    running = create_server(app, host="127.0.0.1", port=0, threads=4)
    thread = threading.Thread(target=running.run, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{running.effective_port}"
    running.trigger.pull_trigger(running.close)  # in its own thread: else it may ask for what is just closed
    thread.join(5)


@pytest.fixture(scope="package")
def house(stock: Stock, tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """The filled demo with the shipped bank, made once."""
    instance: Path = tmp_path_factory.mktemp("house")
    house = filled(Settings(instance=instance, database=stock.fresh(instance)))
    yield house
    house.parts.database.close()


@pytest.fixture(scope="package")
def places(house: House) -> dict[str, tuple[str, str]]:
    """The address of each page, found by walking along the links."""
    return addresses(house)


@pytest.fixture(scope="package")
def house_server(house: House) -> Iterator[str]:
    """The filled house behind the real server."""
    yield from served(house.app)


@pytest.fixture
def server(app: Flask) -> Iterator[str]:
    """The application of a test behind the real server."""
    yield from served(app)


@pytest.fixture
def page_of(
    chromium: Any, server: str, store: Database, people: People, clock: Clock
) -> Iterator[Callable[..., Any]]:
    """Open a page signed in as a person; ``width`` and ``scripts`` as wanted. Requests that leave are recorded."""
    contexts = []

    def make(person_id: int | None, width: int = 390, scripts: bool = True) -> Any:
        context = chromium.new_context(
            viewport={"width": width, "height": 844}, java_script_enabled=scripts, base_url=server
        )
        contexts.append(context)
        if person_id is not None:
            with store.writing() as session:
                token = make_token(session, person_id, clock())
            context.add_cookies([{"name": COOKIE, "value": token, "url": server}])
        page = context.new_page()
        page.set_default_timeout(15_000)
        page.left = []
        page.on("request", lambda r: None if r.url.startswith((server, "data:")) else page.left.append(r.url))
        page.faults = []
        page.on("pageerror", lambda fault: page.faults.append(str(fault)))
        return page

    yield make
    for context in contexts:
        context.close()
