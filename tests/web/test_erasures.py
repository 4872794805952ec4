"""Erasing as pages: two people, in time, with a reason; others find nothing."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest

from tests.conftest import Browser
from tests.entering import entered, make_level_iii, verified
from tests.make import NOW, Clock, People, make_person, make_token
from trainer.services.admitting import accounts
from trainer.store import Database
from trainer.web.access import COOKIE

PLACE = "/employer/erasures/"


@pytest.fixture
def later(store: Database, people: People, clock: Clock, as_emma: Browser) -> Browser:
    """Emma's browser eleven years after Tess left."""
    with store.writing() as session:
        verified(session, people.tess, people.tess, "trainee", people.emma)
        accounts.set_left(session, people.emma, people.tess, True, NOW)
    assert "0 may be erased" in as_emma.get(PLACE).get_data(as_text=True)
    assert as_emma.send(f"{PLACE}{people.tess}/ask", {"reason": "too soon"}).status_code == 422
    clock.now = NOW + timedelta(days=4020)
    return again(store, people.emma, clock, as_emma)


def again(store: Database, person_id: int, clock: Clock, browser: Browser) -> Browser:
    """Sign a browser in anew, its sign-in having run out."""
    with store.writing() as session:
        browser.set_cookie(COOKIE, make_token(session, person_id, clock()))
    return browser


def test_asked_by_one_and_done_by_another(
    store: Database, people: People, clock: Clock, later: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """Emma asks, cannot do it herself; the Level III does it; the ledger page still says that all holds."""
    assert "1 may be erased" in later.get(PLACE).get_data(as_text=True)
    empty = later.send(f"{PLACE}{people.tess}/ask", {"reason": ""})
    assert (empty.status_code, "Do not name" in empty.get_data(as_text=True)) == (422, True)
    assert later.send(f"{PLACE}{people.tess}/ask", {"reason": "asked by letter"}).status_code == 303
    assert "somebody else must do it" in later.get(PLACE).get_data(as_text=True)
    assert later.send(f"{PLACE}{people.tess}/erase").status_code == 403
    with store.writing() as session:
        other = make_level_iii(session)
    boss = again(store, other, clock, signed_in(other))
    assert "Erase TV-07 Tess" in boss.get(PLACE).get_data(as_text=True)
    assert boss.send(f"{PLACE}{people.tess}/erase").status_code == 303
    assert "Nobody has left" in boss.get(PLACE).get_data(as_text=True)
    assert boss.get(f"/employer/people/{people.tess}").status_code == 404
    page = boss.get("/employer/chain").get_data(as_text=True)
    assert ("The ledger is as it was entered" in page, "Tess" in page) == (True, False)
    assert "1 person was erased (" in page
    assert "addresses and reasons in notes " in page
    assert re.search(r"erased with the person, \d+ \w+ 20\d\d", page)


def test_traces_that_may_be_left_are_told(
    store: Database,
    people: People,
    clock: Clock,
    later: Browser,
    signed_in: Callable[[int], Browser],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Where the file cannot be scrubbed just now the records are erased all the same, and the page says what to do."""
    later.send(f"{PLACE}{people.tess}/ask", {"reason": "asked by letter"})
    with store.writing() as session:
        other = make_level_iii(session)
    boss = again(store, other, clock, signed_in(other))
    monkeypatch.setattr(Database, "scrub", lambda _: False)
    assert boss.send(f"{PLACE}{people.tess}/erase").status_code == 303
    page = boss.get(PLACE).get_data(as_text=True)
    assert ("Nobody has left" in page, "Stop the trainer and start it once" in page) == (True, True)


def test_calling_off_and_other_houses(
    store: Database, people: People, clock: Clock, later: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """What was called off is conflict afterwards; another house finds no such person."""
    later.send(f"{PLACE}{people.tess}/ask", {"reason": "asked by letter"})
    with store.writing() as session:
        other = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    boss = again(store, other, clock, signed_in(other))
    for act in ("ask", "call-off", "erase"):
        assert boss.send(f"{PLACE}{people.tess}/{act}", {"reason": "mine"}).status_code == 404
    assert later.send(f"{PLACE}{people.tess}/call-off").status_code == 303
    assert later.send(f"{PLACE}{people.tess}/call-off").status_code == 409


def test_where_the_name_still_stands_is_shown(
    store: Database, people: People, clock: Clock, later: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """After the erasure the places follow at once and can be found again; others find no such page."""
    with store.writing() as session:
        entry = entered(session, people.ian, people.emma, "employer", note="together with Tess").id
        expert, stranger = (
            make_level_iii(session),
            make_person(session, "HK-90", "Boss", {"employer"}, house="Hook and Chain Works").id,
        )
    later.send(f"{PLACE}{people.tess}/ask", {"reason": "asked by letter"})
    boss = again(store, expert, clock, signed_in(expert))
    assert boss.get(f"{PLACE}{people.tess}").status_code == 404
    done = boss.send(f"{PLACE}{people.tess}/erase")
    assert (done.status_code, done.headers["Location"]) == (303, f"{PLACE}{people.tess}")
    page = boss.get(f"{PLACE}{people.tess}").get_data(as_text=True)
    assert f"ERASED-{people.tess} may still be named in 1 place" in page
    assert ("together with Tess" in page, f'href="/ledger/entries/{entry}"' in page) == (True, True)
    assert f"ERASED-{people.tess}</a>" in boss.get(PLACE).get_data(as_text=True)
    other = again(store, stranger, clock, signed_in(stranger))
    assert other.get(f"{PLACE}{people.tess}").status_code == 404
