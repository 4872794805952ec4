"""Earlier records as pages: previewed, every bad row named, taken as a whole, others find nothing."""

from __future__ import annotations

import html
import io
import re

import pytest

from tests.conftest import Browser
from tests.entering import verified
from tests.make import People
from trainer.store import Database

GOOD = b"works number,kind,method,date,hours\nTV-07,experience,MT,2024-04-01,7.5\n"
PLACE = "/ledger/earlier/"


def sent(browser: Browser, path: str, data: bytes, name: str = "earlier.csv") -> tuple[int, str]:
    """Send a file; the status and the page."""
    response = browser.send(path, {"file": (io.BytesIO(data), name)})
    return response.status_code, response.get_data(as_text=True)


def hidden(page: str, name: str) -> str:
    """What a page carries along in a hidden field."""
    found = re.search(rf'name="{name}" value="([^"]*)"', page)
    assert found
    return html.unescape(found[1])


def test_previewed_then_taken(people: People, as_emma: Browser) -> None:
    """The preview writes nothing; taking enters all; the entries wait."""
    assert "Earlier records" in as_emma.get("/ledger/people").get_data(as_text=True)
    assert as_emma.get(PLACE).status_code == 200
    status, page = sent(as_emma, PLACE, GOOD)
    assert (status, "1 record can be entered" in page, "TV-07 Tess" in page) == (200, True, True)
    path = f"/ledger/people/{people.tess}"
    assert "0 entries" in as_emma.get(path).get_data(as_text=True)
    assert as_emma.send(f"{PLACE}take", {"rows": hidden(page, "rows")}).status_code == 303
    ledger = as_emma.get(path).get_data(as_text=True)
    assert ("1 entry" in ledger, "waits" in ledger) == (True, True)
    again = as_emma.send(f"{PLACE}take", {"rows": GOOD.decode()})
    assert (again.status_code, "already" in again.get_data(as_text=True)) == (422, True)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "Choose a file first|empty"),
        (b"nothing", "no field called nothing"),
        (GOOD.replace(b"7.5", b"lots"), "1 row stands in the way"),
        (GOOD.replace(b"TV-07", b"HK-03"), "nobody with the works number HK-03"),
        (GOOD.replace(b"MT", b"<script>"), "&lt;script&gt;"),
    ],
)
def test_bad_files(people: People, as_emma: Browser, data: bytes, says: str) -> None:
    """A sentence, 422, and the form to choose again."""
    status, page = sent(as_emma, PLACE, data)
    assert (status, bool(re.search(says, page)), 'type="file"' in page) == (422, True, True)
    assert as_emma.send(PLACE).status_code == 422


def test_a_signed_record_is_taken_over(
    store: Database, people: People, as_emma: Browser, as_ian: Browser
) -> None:
    """A record that this installation signed itself is genuine; about another person it is taken over."""
    with store.writing() as session:
        verified(session, people.tess, people.tess, "trainee", people.emma)
    record = as_emma.send(f"/employer/exports/{people.tess}", {"form": "credential", "on": "2026-11-25"}).data
    path = f"{PLACE}record/{people.ian}"
    assert as_emma.get(path).status_code == 200
    status, page = sent(as_emma, path, record, "record.json")
    assert (status, "The record names TV-07" in page, "1 entry can be taken over" in page) == (
        200,
        True,
        True,
    )
    assert as_emma.send(f"{path}/take", {"record": hidden(page, "record")}).status_code == 303
    assert "signed record of" in as_emma.get(f"/ledger/people/{people.ian}").get_data(as_text=True)
    status, page = sent(as_emma, path, record.replace(b"7.5", b"8.5"), "record.json")
    assert (status, "altered" in page) == (422, True)
    assert as_emma.send(f"{path}/take", {"record": "{}"}).status_code == 422
    assert as_ian.get(f"{PLACE}record/{people.tess}").status_code == 404
    assert as_emma.get(f"{PLACE}record/{people.omar}").status_code == 404
    assert sent(as_emma, f"{PLACE}record/{people.omar}", record)[0] == 404
