"""Printing a set: for a class by name or numbered, the same address the same numbers, and nobody else's set."""

from __future__ import annotations

import io
import re

import pytest
from pypdf import PdfReader

from tests.conftest import Browser
from tests.make import NOW, People, make_class
from trainer.drills.marking import written
from trainer.drills.shelf import Shelf
from trainer.services.teaching import sets
from trainer.store import Database

DRILL = "coil-low-fill-wall"


@pytest.fixture
def set_id(store: Database, people: People, shelf: Shelf) -> int:
    """A set of one drill."""
    with store.writing() as session:
        return sets.make(session, shelf, people.ian, "First currents", [(DRILL, "I")], NOW).id


def printed(browser: Browser, address: str) -> str:
    """All text of the sheets at an address."""
    reply = browser.get(address)
    assert reply.status_code == 200, reply.get_data(as_text=True)
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(reply.data)).pages)


def test_a_class_gets_sheets_by_name_with_keys_that_fit(
    as_ian: Browser, people: People, store: Database, shelf: Shelf, set_id: int
) -> None:
    """The key of Tess's sheet is what the exercise of her sheet comes to; asked again it is the same."""
    with store.writing() as session:
        class_id = make_class(session, people.ian, people.tess).id
    reply = as_ian.send(f"/instructor/sets/{set_id}/handout", {"whom": str(class_id)})
    assert reply.status_code == 303
    text = printed(as_ian, reply.location)
    number = int(reply.location.partition("handout-")[2].partition(".")[0])
    drawn = shelf.draw(DRILL, (number * 41 + 1) * 1000, "I")
    assert "TV-07 Tess" in text
    assert written(shelf.mould(DRILL, "I"), drawn.answer) in text
    assert printed(as_ian, reply.location) == text


def test_the_language_is_chosen_at_printing(as_ian: Browser, set_id: int) -> None:
    """Somebody who reads English prints Spanish sheets: words and exercises are, and the address keeps it."""
    base = f"/instructor/sets/{set_id}/handout"
    reply = as_ian.send(base, {"copies": "1", "language": "es"})
    text = printed(as_ian, reply.location)
    assert "Su desarrollo" in text
    assert "Your working" not in text
    number = reply.location.partition("handout-")[2].partition(".")[0]
    plain = printed(as_ian, f"{base}-{number}.pdf?copies=1")
    assert "Your working" in plain
    assert plain == printed(as_ian, f"{base}-{number}.pdf?copies=1&language=xx")
    assert re.findall(r"\d+", plain) == re.findall(r"\d+", text)


def test_numbered_sheets_differ(as_ian: Browser, set_id: int) -> None:
    """Three sheets carry three different sets of numbers."""
    reply = as_ian.send(f"/instructor/sets/{set_id}/handout", {"copies": "3"})
    pages = PdfReader(io.BytesIO(as_ian.get(reply.location).data)).pages
    assert len(pages) == 6
    assert len({page.extract_text().partition("Which")[2] for page in pages[:3]}) == 3


@pytest.mark.parametrize("copies", ["", "0", "41", "ten", "99999999999"])
def test_a_count_that_is_none_is_said_at_the_field(as_ian: Browser, set_id: int, copies: str) -> None:
    """The form comes back with the sentence, and nothing is printed."""
    reply = as_ian.send(f"/instructor/sets/{set_id}/handout", {"copies": copies})
    assert (reply.status_code, "1 to 40" in reply.get_data(as_text=True)) == (422, True)


def test_addresses_typed_by_hand(as_ian: Browser, as_tess: Browser, set_id: int) -> None:
    """Too many, none, a number that is none, somebody else's: a sentence, never a page of keys for a trainee."""
    base = f"/instructor/sets/{set_id}/handout-5.pdf"
    assert as_ian.get(f"{base}?copies=900").status_code == 422
    assert as_ian.get(f"{base}?copies=0").status_code == 422
    assert as_ian.get(f"{base}?copies=x").status_code == 404
    assert as_ian.get(f"/instructor/sets/{set_id}/handout-0.pdf?copies=1").status_code == 422
    assert as_ian.get("/instructor/sets/99/handout-5.pdf?copies=1").status_code == 404
    assert as_ian.get("/instructor/sets/99/handout").status_code == 404
    assert as_tess.get(f"{base}?copies=1").status_code == 403
