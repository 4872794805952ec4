"""What the browser asks of the network beyond this machine: nothing. A proxy that refuses everything keeps the list."""

from __future__ import annotations

import socketserver
import threading
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from tests.make import People, make_token
from trainer.store import Database
from trainer.web.access import COOKIE

# Chromium itself asks its maker what the fields of any form may mean; no page can ask it not to.
BROWSERS_OWN = "content-autofill.googleapis.com"
pytestmark = pytest.mark.browser


class Refuser(socketserver.ThreadingTCPServer):
    """A proxy that writes down what it was asked for, and refuses it."""

    daemon_threads = True

    def __init__(self) -> None:
        self.asked: list[str] = []
        super().__init__(("127.0.0.1", 0), Refusal)


class Refusal(socketserver.StreamRequestHandler):
    """One request: its first line is kept."""

    def handle(self) -> None:
        server = self.server
        assert isinstance(server, Refuser)
        asked = self.rfile.readline(2000).decode("latin-1").strip()
        if BROWSERS_OWN not in asked:
            server.asked.append(asked)
        self.wfile.write(b"HTTP/1.1 403 Forbidden\r\nContent-Length: 2\r\nConnection: close\r\n\r\nno")


@pytest.fixture
def refuser() -> Iterator[Refuser]:
    """The proxy, listening."""
    with Refuser() as proxy:
        thread = threading.Thread(target=proxy.serve_forever, daemon=True)
        thread.start()
        yield proxy
        proxy.shutdown()
        thread.join(5)


@pytest.fixture
def behind(
    chromium: Any, server: str, store: Database, people: People, refuser: Refuser
) -> Iterator[Callable[[int], Any]]:
    """Open a page of a person in a browser that reaches everything but this machine through the proxy."""
    contexts = []

    def make(person_id: int) -> Any:
        context = chromium.new_context(
            base_url=server,
            proxy={"server": f"http://127.0.0.1:{refuser.server_address[1]}", "bypass": "127.0.0.1"},
        )
        contexts.append(context)
        with store.writing() as session:
            token = make_token(session, person_id)
        context.add_cookies([{"name": COOKIE, "value": token, "url": server}])
        return context.new_page()

    yield make
    for context in contexts:
        context.close()


@pytest.mark.parametrize("who", ["tess", "ian", "emma"])
def test_no_page_asks_beyond_this_machine(
    behind: Callable[[int], Any], people: People, refuser: Refuser, who: str
) -> None:
    """Every page of the menu and the verify page load whole, and the proxy was asked for nothing."""
    page = behind(getattr(people, who))
    page.goto("/")
    links = page.locator("nav[aria-label=Main] a").evaluate_all(
        "all => all.map(one => one.getAttribute('href'))"
    )
    assert len(links) >= 3
    for link in [*links, "/verify"]:
        assert page.goto(link, wait_until="networkidle").status == 200, link
    assert refuser.asked == []


def test_the_proxy_would_have_seen_it(behind: Callable[[int], Any], people: People, refuser: Refuser) -> None:
    """An address elsewhere does come to the proxy, so its empty list means something."""
    reply = behind(people.tess).goto("http://elsewhere.example/")
    assert (reply.status, refuser.asked[0]) == (403, "GET http://elsewhere.example/ HTTP/1.1")
