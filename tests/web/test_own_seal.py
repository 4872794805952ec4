"""The passphrase of own items on its page: what it means is said first, tries are limited, the bank follows at once."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from flask import Flask

from tests.conftest import Browser, browser_of
from tests.make import PASSPHRASE, Clock, People, make_class, make_person
from tests.web.test_drafts import begin, text
from tests.web.test_sittings import COIL, PLAN
from trainer.app import create_app
from trainer.settings import Settings
from trainer.store import Database
from trainer.web.access import Parts

OTHER = "axle draw hook toil"
SECRET = {"passphrase": PASSPHRASE, "again": PASSPHRASE}


@pytest.fixture
def eva(store: Database, people: People) -> int:
    """Eva, who examines."""
    with store.writing() as session:
        return make_person(session, "TV-60", "Eva", {"examiner"}).id


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """A class of Ian's."""
    with store.writing() as session:
        return make_class(session, people.ian).id


@pytest.fixture
def again(app: Flask, settings: Settings, clock: Clock) -> Iterator[Callable[[], Flask]]:
    """Start the program anew over the same records and folder."""
    made: list[Flask] = []

    def start() -> Flask:
        fresh = create_app(settings, clock=clock)
        fresh.test_client_class = Browser
        fresh.testing = True
        made.append(fresh)
        return fresh

    yield start
    for one in made:
        held: Parts = one.extensions["trainer"]
        held.database.close()


def in_bank(app: Flask) -> bool:
    """Whether the running pages have the own question."""
    held: Parts = app.extensions["trainer"]
    return "own-question-1" in held.bank.private


def test_from_plain_to_sealed_and_through_a_start(
    app: Flask, as_ian: Browser, eva: int, signed_in: Callable[[int], Browser], settings: Settings,
    again: Callable[[], Flask], people: People, own_class: int,
) -> None:  # fmt: skip
    """Approved in plain, sealed with its file gone, still in the bank; locked after a start, unlocked by any examiner."""
    place = begin(as_ian)
    as_ian.send(f"{place}/put-forward", {"number": "1"})
    signed_in(eva).send(f"{place}/approve", {"number": "1"})
    file = settings.private_bank / "questions" / "own-questions" / "own-question-1.yaml"
    assert (file.exists(), in_bank(app)) == (True, True)
    page = text(as_ian, "/drafts/")
    for words in (
        "lie on the disk and in backups in plain",
        "asked for after every start",
        "these items are lost",
    ):
        assert words in page
    assert as_ian.send("/drafts/seal", SECRET).status_code == 303
    assert (file.exists(), in_bank(app)) == (False, True)
    assert "are sealed on the disk" in text(as_ian, "/drafts/")
    assert "Omar has shot" in text(as_ian, place)

    fresh = again()
    held: Parts = fresh.extensions["trainer"]
    ian, her = (browser_of(fresh, held.database, one) for one in (people.ian, eva))
    assert not in_bank(fresh)
    assert "Own items for examinations are locked" in text(ian, "/drafts/")
    plan = {**PLAN, "drill": [COIL]}
    sitting = ian.send(f"/instructor/classes/{own_class}/examinations", plan).location
    assert "no paper is drawn" in text(ian, sitting)
    shut = ian.get(place)
    assert (shut.status_code, "must unlock them" in shut.get_data(as_text=True)) == (503, True)
    wrong = her.send("/drafts/unlock", {"unlock-passphrase": "four wrong words here"})
    assert (wrong.status_code, "not the passphrase" in wrong.get_data(as_text=True)) == (422, True)
    assert her.send("/drafts/unlock", {"unlock-passphrase": PASSPHRASE}).status_code == 303
    assert in_bank(fresh)
    assert "Omar has shot" in text(ian, place)


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({}, "Write a passphrase"),
        (SECRET | {"again": "axle draw hook toil"}, "The two are not the same"),
        ({"passphrase": "short", "again": "short"}, "12 characters or more"),
    ],
)
def test_a_faulty_passphrase(as_ian: Browser, form: dict[str, str], says: str) -> None:
    """It is told at the field, and nothing is sealed."""
    reply = as_ian.send("/drafts/seal", form)
    assert (reply.status_code, says in reply.get_data(as_text=True)) == (422, True)
    assert "Seal those for examinations" in text(as_ian, "/drafts/")


def test_tries_are_limited(as_ian: Browser, settings: Settings) -> None:
    """As often as a person's passphrase, then it is to be waited for."""
    as_ian.send("/drafts/seal", SECRET)
    replies = [
        as_ian.send("/drafts/unlock", {"unlock-passphrase": "four wrong words here"}).status_code
        for _ in range(settings.sign_in_tries + 1)
    ]
    assert set(replies[:-1]) == {422}
    assert replies[-1] == 429

    for other in ("/drafts/seal/change", "/drafts/seal/off"):  # no more tries by another page
        assert as_ian.send(other, {}).status_code == 429


def test_nothing_to_unlock(as_ian: Browser) -> None:
    """Without a seal there is no such thing."""
    for place in ("unlock", "seal/change", "seal/off"):
        assert as_ian.send(f"/drafts/{place}", {"unlock-passphrase": PASSPHRASE}).status_code == 404


def test_another_passphrase(as_ian: Browser, again: Callable[[], Flask], people: People) -> None:
    """A faulty one is told at its field; the new one is asked for after the next start, the old one no more."""
    place = begin(as_ian)
    as_ian.send("/drafts/seal", SECRET)
    wanted = {"change-old": PASSPHRASE, "change-passphrase": OTHER, "change-again": OTHER}
    for faulty, says in (
        ({"change-old": "four wrong words here"}, "not the passphrase"),
        ({"change-old": ""}, "Write the passphrase until now"),
        ({"change-again": PASSPHRASE}, "The two are not the same"),
    ):
        reply = as_ian.send("/drafts/seal/change", wanted | faulty)
        page = reply.get_data(as_text=True)
        assert (reply.status_code, says in page, OTHER in page) == (422, True, False)
    assert as_ian.send("/drafts/seal/change", wanted).status_code == 303
    assert "Sealed anew" in text(as_ian, "/drafts/")
    assert "Omar has shot" in text(as_ian, place)
    fresh = again()
    held: Parts = fresh.extensions["trainer"]
    ian = browser_of(fresh, held.database, people.ian)
    assert ian.send("/drafts/unlock", {"unlock-passphrase": PASSPHRASE}).status_code == 422
    assert ian.send("/drafts/unlock", {"unlock-passphrase": OTHER}).status_code == 303
    assert "Omar has shot" in text(ian, place)


def test_taken_off(
    app: Flask, as_ian: Browser, eva: int, signed_in: Callable[[int], Browser], settings: Settings
) -> None:
    """With the passphrase only; then the approved item lies in its file, and the page offers to seal again."""
    place = begin(as_ian)
    as_ian.send("/drafts/seal", SECRET)
    as_ian.send(f"{place}/put-forward", {"number": "1"})
    signed_in(eva).send(f"{place}/approve", {"number": "1"})
    file = settings.private_bank / "questions" / "own-questions" / "own-question-1.yaml"
    wrong = as_ian.send("/drafts/seal/off", {"off-passphrase": "four wrong words here"})
    assert (wrong.status_code, "not the passphrase" in wrong.get_data(as_text=True)) == (422, True)
    assert not file.exists()
    assert as_ian.send("/drafts/seal/off", {"off-passphrase": PASSPHRASE}).status_code == 303
    assert (file.exists(), in_bank(app)) == (True, True)
    page = text(as_ian, "/drafts/")
    assert "in plain from now on" in page
    assert "Seal those for examinations" in page
