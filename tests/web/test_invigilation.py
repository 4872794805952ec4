"""The invigilator's presses on the board, the record to print, and appeals from the paper to the second person."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.conftest import Browser
from tests.entering import make_level_iii
from tests.make import Clock, People, make_class
from tests.web.test_sittings import planned, right_for, started
from trainer.drills.shelf import Shelf
from trainer.store import Database


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


def text(browser: Browser, path: str) -> str:
    """A page as text."""
    return browser.get(path).get_data(as_text=True)


def test_a_press_confirms_who_sits_there(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database
) -> None:
    """The board offers it, then says so; no trainee can press it."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    board = f"/instructor/sittings/{sitting}"
    assert "Seen: confirm" in text(as_ian, board)
    assert as_tess.send(f"/instructor/papers/{paper}/identity").status_code == 403
    assert as_ian.send(f"/instructor/papers/{paper}/identity").location == board
    assert "Seen: confirm" not in text(as_ian, board)
    assert "confirmed by TV-00 Ian" in text(as_ian, f"/instructor/papers/{paper}")


def test_incidents_stand_on_the_record(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, clock: Clock
) -> None:
    """About one and about all, with the hour; what cannot be kept comes back as typed."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    here = f"/instructor/sittings/{sitting}"
    assert as_ian.send(f"{here}/incidents", {"says": "Fire <alarm>", "paper": ""}).location == here
    assert as_ian.send(f"{here}/incidents", {"says": "Felt ill", "paper": str(paper)}).status_code == 303
    as_ian.send(f"/instructor/papers/{paper}/time", {"minutes": "5", "reason": "felt ill"})
    bad = as_ian.send(f"{here}/incidents", {"says": "b\u202ead", "paper": ""})
    assert (bad.status_code, "cannot be shown" in bad.get_data(as_text=True)) == (422, True)
    assert as_ian.send(f"{here}/incidents", {"says": "x", "paper": "99"}).status_code == 404
    page = text(as_ian, f"{here}/record")
    for words in ("Fire &lt;alarm&gt;", "Felt ill", "5 min: felt ill", "not confirmed", "TV-07 Tess"):
        assert words in page
    assert f"{clock.now.astimezone():%H:%M}" in page
    assert "Did not come" not in page


def test_an_appeal_from_the_paper_to_the_ledger(
    as_ian: Browser, as_tess: Browser, as_omar: Browser, own_class: int, store: Database, shelf: Shelf,
    signed_in: Callable[[int], Browser],
) -> None:  # fmt: skip
    """Written down by the invigilator, marked again by the Level III, told to the candidate; the reason if shown."""
    with store.writing() as session:
        level_iii = make_level_iii(session)
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/1", {"answer": right_for(store, shelf, paper, 1)})
    as_tess.send(f"/trainee/papers/{paper}/2", {"answer": "1 A"})
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    as_ian.send(f"/instructor/sittings/{sitting}/close")
    appeal = {"appeal-item": "2", "appeal-says": "The <code> gives a range"}
    assert as_ian.send(f"/instructor/papers/{paper}/appeal", appeal).status_code == 303
    again = as_ian.send(f"/instructor/papers/{paper}/appeal", appeal)
    assert (again.status_code, "appealed already" in again.get_data(as_text=True)) == (422, True)
    assert as_ian.send(f"/instructor/papers/{paper}/appeal", {"appeal-item": "x"}).status_code == 422
    assert "waits to be marked again" in text(as_tess, f"/trainee/papers/{paper}")
    browser = signed_in(level_iii)
    assert "1 item waits" in text(browser, "/appeals/")
    page = text(browser, "/appeals/1")
    assert "The &lt;code&gt; gives a range" in page
    assert "Let this verdict stand" in page
    empty = browser.send("/appeals/1", {"verdict": "", "reason": "so it is"})
    assert (empty.status_code, "so it is" in empty.get_data(as_text=True)) == (422, True)
    assert browser.send("/appeals/1", {"verdict": "right", "reason": "so it is"}).status_code == 303
    assert "Let this verdict stand" not in text(browser, "/appeals/1")
    told = text(as_tess, f"/trainee/papers/{paper}")
    assert "2 of 2 right" in told
    assert "marked again: right" in told
    assert "so it is" not in told
    as_ian.send(f"/instructor/sittings/{sitting}/show", {"shown": "1"})
    assert "so it is" in text(as_tess, f"/trainee/papers/{paper}")
    assert "so it is" in text(as_ian, f"/instructor/sittings/{sitting}/record")
    assert as_omar.get("/appeals/1").status_code == 403
