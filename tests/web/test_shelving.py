"""The bank of the running pages: taken up whole, kept to the end of a request, laid anew at the start."""

from __future__ import annotations

import threading
from pathlib import Path

import pytest
from flask import Flask

from tests.make import NOW, Clock, People, make_person
from tests.questions.writing import SMALL
from trainer.app import create_app
from trainer.drills.shelf import Shelf
from trainer.errors import Refused
from trainer.services.authoring import banks, drafts
from trainer.services.authoring.draft_text import start
from trainer.settings import Settings
from trainer.store import Database
from trainer.web import shelving
from trainer.web.access import Parts, parts

PLACE = "questions/own-questions/own-question-1.yaml"


@pytest.fixture(autouse=True)
def small_bank(monkeypatch: pytest.MonkeyPatch) -> None:
    """The small bank in place of the shipped one, also when it is opened again."""
    monkeypatch.setattr(banks, "bank_folder", lambda: SMALL)


@pytest.fixture
def approved(store: Database, people: People, shelf: Shelf, settings: Settings) -> int:
    """A question that is approved and not laid into the bank yet, as after a power cut."""
    with store.writing() as session:
        eva = make_person(session, "TV-60", "Eva", {"examiner"}).id
        draft = drafts.write(session, people.ian, "question", start("question"), NOW)
        drafts.put_forward(session, shelf, people.ian, draft.id, 1, NOW)
        drafts.approve(session, shelf, settings.private_bank, eva, draft.id, 1, NOW)
        return draft.id


def test_a_start_lays_what_is_approved(approved: int, settings: Settings, clock: Clock) -> None:
    """What was approved before the power went is in the bank after the next start."""
    assert not (settings.private_bank / PLACE).exists()
    again = create_app(settings, clock=clock)
    held: Parts = again.extensions["trainer"]
    held.database.close()
    assert (settings.private_bank / PLACE).is_file()
    assert "own-question-1" in held.bank.questions
    assert held.jobs.bank is held.shop.bank is held.bank


def test_a_request_keeps_its_bank(app: Flask, approved: int) -> None:
    """Whoever is in the middle of a page when the bank changes ends it with the bank it began with."""
    with app.test_request_context():
        before = parts()
        with app.app_context():
            shelving.take_up()
        assert parts() is before
        assert "own-question-1" not in parts().bank.questions
    with app.test_request_context():
        assert "own-question-1" in parts().bank.questions


def test_many_take_it_up_at_once(app: Flask, approved: int) -> None:
    """Eight threads at the same moment: each ends with a whole set of parts over one bank."""
    ready, seen = threading.Barrier(8), []

    def take() -> None:
        with app.app_context():
            ready.wait()
            shelving.take_up()
            seen.append(parts())

    threads = [threading.Thread(target=take) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [one.shelf is one.shop.drills and "own-question-1" in one.bank.private for one in seen] == [
        True
    ] * 8


def test_a_folder_that_cannot_be_written_is_said(app: Flask, approved: int, settings: Settings) -> None:
    """The sentence says what to do; the pages go on with the bank they had."""
    Path(settings.private_bank).write_text("in the way", encoding="utf-8")
    with app.app_context(), pytest.raises(Refused, match="cannot be written"):
        shelving.take_up()
    with app.app_context():
        assert "own-question-1" not in parts().bank.questions
