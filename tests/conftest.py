"""Fixtures: a temporary installation with the four people, a fixed clock, and a signed-in client for each."""

from __future__ import annotations

import gc
import json
import random
import re
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from tests.make import Clock, People, make_people, make_token
from tests.stores import POSTGRESQL, SQLITE, Stock, settle_at_once, stock_of
from trainer.app import create_app
from trainer.drills.shelf import Shelf
from trainer.settings import SETTINGS_FILE, Settings
from trainer.store import Database
from trainer.web.access import COOKIE, Parts

pytest_plugins = ["tests.chromium"]
LITTER = 100_000  # new things between two sweeps; an application has tens of thousands, and Python's own number is 700


class Browser(FlaskClient):
    """A client that sends forms as a browser does: with its own origin and the page's hidden token."""

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.environ_base["HTTP_ORIGIN"] = "http://localhost"

    def send(self, path: str, data: dict[str, Any] | None = None, **more: Any) -> TestResponse:
        """POST a form, with the token that this browser's pages carry."""
        return self.post(path, data={"csrf_token": self.token(), **(data or {})}, **more)

    def token(self) -> str:
        """The hidden token of this browser's forms."""
        page = self.get("/join").get_data(as_text=True)
        found = re.search(r'name="csrf_token" value="([^"]+)"', page)
        assert found, "the join page has a form with a token"
        return found[1]


def pytest_configure() -> None:
    """Sweep memory seldom: among ten thousand tests each sweep is long, and all took a third of the run."""
    gc.set_threshold(LITTER, 20, 20)


def pytest_collection_finish() -> None:
    """Leave alone what is there until the end: the tests themselves and every module."""
    gc.collect()
    gc.freeze()


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let the whole run choose its kind of store, and its order."""
    parser.addoption("--store", choices=(SQLITE, POSTGRESQL), default=SQLITE, help="where tests keep records")
    parser.addoption(
        "--shuffle", type=int, help="a number: the tests run in the order of chance made from it"
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Put the tests into the order that is asked for. With another store: those that use one, but for SQLite's own ways."""
    if (seed := config.getoption("shuffle")) is not None:
        _shuffle(items, seed)
    if config.getoption("store") == SQLITE:
        return
    config.hook.pytest_deselected(items=[item for item in items if not _uses_a_store(item)])
    items[:] = filter(_uses_a_store, items)
    for item in items:
        if item.get_closest_marker("sqlite"):
            item.add_marker(pytest.mark.skip(reason="about SQLite's own ways"))


def _uses_a_store(item: pytest.Item) -> bool:
    return "stock" in getattr(item, "fixturenames", ())


def _shuffle(items: list[pytest.Item], seed: int) -> None:
    """Folders in an order of chance, and all tests of one too: what a folder shares is still made once."""
    chance = random.Random(seed)
    chance.shuffle(items)
    folders = sorted({item.path.parent for item in items})
    chance.shuffle(folders)
    items.sort(key=lambda item: folders.index(item.path.parent))


@pytest.fixture(scope="session", autouse=True)
def _no_waiting_for_the_disk() -> Iterator[None]:
    """Files of tests are kept as the program keeps them in all but this; tests/store/test_database.py holds it."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("trainer.store.database._settle", settle_at_once)
        yield


@pytest.fixture(scope="session")
def stock(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Stock]:
    """Empty stores made by the real steps, one for each test."""
    with stock_of(request.config.getoption("store"), tmp_path_factory.mktemp("stock")) as stock:
        yield stock


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    """A small bank of two drills, so that the pages are not at the mercy of the content."""
    return Shelf.of_folder(Path(__file__).with_name("small_bank"))


@pytest.fixture
def clock() -> Clock:
    """The time of a test."""
    return Clock()


@pytest.fixture
def settings(tmp_path: Path, stock: Stock) -> Iterator[Settings]:
    """An instance folder of its own, its store up to date and empty."""
    instance = tmp_path / "instance"
    instance.mkdir()
    made = Settings(instance=instance, database=stock.fresh(instance))
    if made.database:  # commands of this folder find it there
        (instance / SETTINGS_FILE).write_text(f"database = {json.dumps(made.database)}\n", encoding="utf-8")
    yield made
    stock.done_with(made.database)


@pytest.fixture
def database(settings: Settings) -> Iterator[Database]:
    """An empty store."""
    database = Database(settings.database_url)
    yield database
    database.close()


@pytest.fixture
def session(database: Database) -> Iterator[Session]:
    """One writing transaction on an empty store, for tests of services."""
    with database.writing() as session:
        yield session
        session.rollback()


@pytest.fixture
def app(settings: Settings, clock: Clock, shelf: Shelf) -> Iterator[Flask]:
    """The application, with nobody in it."""
    app = create_app(settings, clock=clock, shelf=shelf)
    app.test_client_class = Browser
    app.testing = True
    yield app
    held: Parts = app.extensions["trainer"]
    held.database.close()


@pytest.fixture
def store(app: Flask) -> Database:
    """The store of the application."""
    held: Parts = app.extensions["trainer"]
    return held.database


@pytest.fixture
def people(store: Database) -> People:
    """The four, entered."""
    with store.writing() as session:
        return make_people(session)


@pytest.fixture
def signed_in(app: Flask, store: Database) -> Callable[[int], Browser]:
    """Make a client that is signed in as the person with this id."""

    return lambda person_id: browser_of(app, store, person_id)


def browser_of(app: Flask, store: Database, person_id: int) -> Browser:
    """A client of an application, signed in as somebody."""
    with store.writing() as session:
        token = make_token(session, person_id)
    browser = app.test_client()
    assert isinstance(browser, Browser)
    browser.set_cookie(COOKIE, token)
    return browser


@pytest.fixture
def nobody(app: Flask) -> Browser:
    """A client that is not signed in."""
    browser = app.test_client()
    assert isinstance(browser, Browser)
    return browser


@pytest.fixture
def as_tess(people: People, signed_in: Callable[[int], Browser]) -> Browser:
    """Tess's browser."""
    return signed_in(people.tess)


@pytest.fixture
def as_ian(people: People, signed_in: Callable[[int], Browser]) -> Browser:
    """Ian's browser."""
    return signed_in(people.ian)


@pytest.fixture
def as_emma(people: People, signed_in: Callable[[int], Browser]) -> Browser:
    """Emma's browser."""
    return signed_in(people.emma)


@pytest.fixture
def as_omar(people: People, signed_in: Callable[[int], Browser]) -> Browser:
    """Omar's browser."""
    return signed_in(people.omar)
