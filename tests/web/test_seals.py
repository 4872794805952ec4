"""The passphrase of an examination on its pages: offered first, asked for after a start, tried a few times only."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import timedelta

import pytest
from flask import Flask
from sqlalchemy import select

from tests.conftest import Browser, browser_of
from tests.make import NOW, PASSPHRASE, Clock, People, make_class, make_person
from tests.web.test_sittings import COIL, PLAN, started
from trainer.app import create_app
from trainer.drills.shelf import Shelf
from trainer.services.keeping import audit, sealed_papers
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.models import Paper, PaperAnswer, Seal, Sitting
from trainer.web.access import Parts
from trainer.web.sheets.days import moment

SECRET = {"passphrase": PASSPHRASE, "again": PASSPHRASE}


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


def planned(browser: Browser, class_id: int) -> str:
    """Plan an examination of one coil item; the address of its page."""
    reply = browser.send(f"/instructor/classes/{class_id}/examinations", PLAN | {"drill": [COIL]})
    assert reply.status_code == 303, reply.get_data(as_text=True)
    return str(reply.location)


def sealed(browser: Browser, class_id: int) -> tuple[str, int]:
    """Sealed and opened; the address of its page, and its number."""
    page = planned(browser, class_id)
    reply = browser.send(f"{page}/seal", SECRET | {"do": "open"})
    assert reply.status_code == 303, reply.get_data(as_text=True)
    return page, int(page.rsplit("/", 1)[1])


@pytest.fixture
def again(app: Flask, settings: Settings, clock: Clock, shelf: Shelf) -> Iterator[Callable[[int], Browser]]:
    """Start the program anew over the same records; browsers of people there."""
    fresh = create_app(settings, clock=clock, shelf=shelf)
    fresh.test_client_class = Browser
    fresh.testing = True
    held: Parts = fresh.extensions["trainer"]

    yield lambda person_id: browser_of(fresh, held.database, person_id)
    held.database.close()


def text(browser: Browser, path: str) -> str:
    """A page as text."""
    return browser.get(path).get_data(as_text=True)


def test_a_passphrase_is_what_is_offered(as_ian: Browser, own_class: int, store: Database) -> None:
    """The page says what it protects, what it does not, and what a lost one means, before one is given."""
    page = planned(as_ian, own_class)
    says = text(as_ian, page)
    for words in ("reads no key of a running paper", "can only be declared void", "Open without a passphrase",
                  "Whoever can read the disk or a backup can then work out the keys"):  # fmt: skip
        assert words in says
    assert as_ian.send(f"{page}/seal", SECRET | {"do": "later"}).status_code == 303
    assert "sealed with your passphrase until the close" in text(as_ian, page)
    assert as_ian.send(f"{page}/open").status_code == 303
    assert "is sealed on the disk until the close" in text(as_ian, page)
    with store.reading() as session:
        assert session.scalars(select(Seal)).one().opened_at is None


@pytest.mark.parametrize(
    ("form", "says"),
    [
        ({"passphrase": "", "again": ""}, "Write a passphrase, or open it without one"),
        ({"passphrase": PASSPHRASE, "again": "axle draw hook toil"}, "The two are not the same"),
        ({"passphrase": "short", "again": "short"}, "12 characters or more"),
        ({"passphrase": "a" * 20, "again": "a" * 20}, "easily guessed"),
        ({"passphrase": "a b" * 200, "again": "a b" * 200}, "at most 256 characters"),
    ],
)
def test_a_faulty_passphrase(
    as_ian: Browser, own_class: int, store: Database, form: dict[str, str], says: str
) -> None:
    """The sentence stands at the field, nothing is sealed or opened, and the passphrase is not sent back."""
    page = planned(as_ian, own_class)
    reply = as_ian.send(f"{page}/seal", form | {"do": "open"})
    assert reply.status_code == 422
    assert says in reply.get_data(as_text=True)
    assert not form["passphrase"] or form["passphrase"] not in reply.get_data(as_text=True)
    with store.reading() as session:
        assert session.scalars(select(Sitting.state)).one() == "planned"
        assert session.scalars(select(Seal)).all() == []


def test_without_one_it_says_so(as_ian: Browser, own_class: int) -> None:
    """Opened without, the page keeps saying what that means."""
    page = planned(as_ian, own_class)
    as_ian.send(f"{page}/open")
    assert "This examination has no passphrase" in text(as_ian, page)
    assert "not sealed" in text(as_ian, f"{page}/record")
    assert as_ian.send(f"{page}/seal", SECRET).status_code == 409
    assert as_ian.send(f"{page}/unlock", {"unlock-passphrase": PASSPHRASE}).status_code == 409


def test_a_start_in_the_middle(
    as_ian: Browser, as_tess: Browser, own_class: int, people: People, store: Database, shelf: Shelf,
    clock: Clock, again: Callable[[int], Browser],
) -> None:  # fmt: skip
    """Locked for both, unlocked by the passphrase, the time given back to all, sat to the end and marked right."""
    page, number = sealed(as_ian, own_class)
    paper = started(as_tess, store, number)
    as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"})
    clock.now += timedelta(minutes=40)  # the power was out for longer than the paper had left
    ian, tess = again(people.ian), again(people.tess)
    assert ian.send(f"{page}/close").status_code == 503
    wrong = ian.send(f"{page}/unlock", {"unlock-passphrase": "axle draw hook toil"})
    assert wrong.status_code == 422
    assert "This is not the passphrase" in wrong.get_data(as_text=True)
    assert "Locked: the program was started anew" in text(ian, page)
    assert ian.send(f"{page}/unlock", {"unlock-passphrase": PASSPHRASE}).status_code == 303
    board = text(ian, page)
    assert "Give everybody the time that was lost" in board
    assert "last heard of 40 minutes ago" in board
    given = ian.send(f"{page}/time", {"all-minutes": "40", "all-reason": "power cut"})
    assert given.status_code == 303
    assert tess.get(f"/trainee/papers/{paper}/1").status_code == 200
    tess.send(f"/trainee/papers/{paper}/1", {"answer": right_of(store, shelf, paper)})
    tess.send(f"/trainee/papers/{paper}/hand-in")
    assert ian.send(f"{page}/close").status_code == 303
    assert "1 of 1 right" in text(tess, f"/trainee/papers/{paper}")
    with store.reading() as session:
        said = [link.event["what"] for link in audit.recent(session, 20)]
        assert {"examination sealed", "examination unlocked", "examination unsealed", "extra time"} <= set(
            said
        )
        assert "seed" in session.scalars(select(PaperAnswer)).one().exercise


def right_of(store: Database, shelf: Shelf, paper: int) -> str:
    """What is right on the first item; the program that sealed it still has the key."""
    with store.reading() as session:
        row = session.scalars(select(PaperAnswer).where(PaperAnswer.paper_id == paper)).one()
        kept = sealed_papers.facts(row)
    drawn = shelf.draw(kept["drill"], kept["seed"], kept["find"])
    return f"{drawn.answer:.6g} {shelf.mould(COIL, kept['find']).read.drill.quantities[kept['find']].unit}"


def test_what_a_candidate_sees_while_it_is_locked(
    as_ian: Browser, as_tess: Browser, own_class: int, people: People, store: Database,
    again: Callable[[int], Browser],
) -> None:  # fmt: skip
    """Their answer is there and the way on is said; items lead back; what is sent comes again by itself later."""
    page, number = sealed(as_ian, own_class)
    paper = started(as_tess, store, number)
    as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "77 A"})
    tess = again(people.tess)
    review = text(tess, f"/trainee/papers/{paper}")
    assert "Locked: the invigilator must unlock the examination" in review
    assert "77 A" in review
    assert "Hand in" not in review
    assert tess.get(f"/trainee/papers/{paper}/1").location.endswith(f"/papers/{paper}")
    sent = tess.send(f"/trainee/papers/{paper}/1", {"answer": "78 A"}, headers={"X-Keep": "1"})
    assert sent.status_code == 503
    assert "must unlock" in sent.get_data(as_text=True)
    assert tess.get("/trainee/").location.endswith(f"/papers/{paper}")
    ian = again(people.ian)
    assert "locked: its papers are neither printed" in text(ian, f"{page}/on-paper")
    assert ian.send(f"{page}/on-paper", {"copies": "1"}).status_code == 422
    assert ian.send(f"{page}/unlock", {"unlock-passphrase": PASSPHRASE}).status_code == 303
    assert tess.send(f"/trainee/papers/{paper}/1", {"answer": "78 A"}).status_code == 303


def test_nobody_begins_while_it_is_locked(
    as_ian: Browser, own_class: int, people: People, store: Database, again: Callable[[int], Browser]
) -> None:
    """The code leads to a sentence, and no paper without items is left behind."""
    _, number = sealed(as_ian, own_class)
    with store.reading() as session:
        code = session.get_one(Sitting, number).code
    reply = again(people.tess).send("/trainee/examination", {"code": code})
    assert reply.status_code == 503
    assert "must unlock it" in reply.get_data(as_text=True)
    with store.reading() as session:
        assert session.scalars(select(Paper)).all() == []


def test_a_lost_passphrase(
    as_ian: Browser, as_tess: Browser, own_class: int, people: People, store: Database,
    again: Callable[[int], Browser],
) -> None:  # fmt: skip
    """It can be declared void while it is locked; its page stays, says what is still sealed, and opens it if found."""
    page, number = sealed(as_ian, own_class)
    paper = started(as_tess, store, number)
    ian = again(people.ian)
    assert ian.send(f"{page}/void", {"reason": "passphrase lost"}).status_code == 303
    says = text(ian, page)
    assert "Open what is sealed" in says
    assert "void" in text(again(people.tess), f"/trainee/papers/{paper}").lower()
    assert ian.send(f"{page}/unlock", {"unlock-passphrase": PASSPHRASE}).status_code == 303
    assert "Open what is sealed" not in text(ian, page)
    with store.reading() as session:
        assert "seed" in session.scalars(select(PaperAnswer)).one().exercise


def test_tries_are_limited(
    as_ian: Browser, own_class: int, people: People, store: Database, again: Callable[[int], Browser],
    settings: Settings,
) -> None:  # fmt: skip
    """After so many wrong ones even the right passphrase waits; who tries uses up nobody else's tries."""
    page, _ = sealed(as_ian, own_class)
    with store.writing() as session:
        stranger = make_person(session, "TV-01", "Iris", {"instructor"}).id
    ian, iris = again(people.ian), again(stranger)
    for _ in range(12):
        assert iris.send(f"{page}/unlock", {"unlock-passphrase": "no"}).status_code in {404, 429}
    for _ in range(settings.sign_in_tries):
        assert ian.send(f"{page}/unlock", {"unlock-passphrase": "axle draw hook toil"}).status_code == 422
    refused = ian.send(f"{page}/unlock", {"unlock-passphrase": PASSPHRASE})
    assert refused.status_code == 429
    assert "Locked: the program was started anew" in text(ian, page)


def test_not_yours(as_ian: Browser, as_tess: Browser, own_class: int,
                   store: Database, signed_in: Callable[[int], Browser]) -> None:  # fmt: skip
    """Another instructor finds nothing to seal, unlock or give time to; a trainee is refused."""
    page, _ = sealed(as_ian, own_class)
    with store.writing() as session:
        iris = make_person(session, "TV-01", "Iris", {"instructor"}).id
    other = signed_in(iris)
    for what, form in (
        ("seal", SECRET), ("unlock", {"unlock-passphrase": PASSPHRASE}),
        ("time", {"all-minutes": "5", "all-reason": "a cut"}),
    ):  # fmt: skip
        assert other.send(f"{page}/{what}", form).status_code == 404
        assert as_tess.send(f"{page}/{what}", form).status_code == 403


def test_time_for_everybody(as_ian: Browser, as_tess: Browser, own_class: int, store: Database) -> None:
    """Minutes and reason go to every writing candidate; without them the form says what is missing."""
    page, number = sealed(as_ian, own_class)
    assert as_ian.send(f"{page}/time", {"all-minutes": "5", "all-reason": "a cut"}).status_code == 422
    paper = started(as_tess, store, number)
    empty = as_ian.send(f"{page}/time", {"all-minutes": "", "all-reason": ""})
    assert (empty.status_code, "Write the minutes" in empty.get_data(as_text=True)) == (422, True)
    assert "Extra time is 1 to 240" in as_ian.send(
        f"{page}/time", {"all-minutes": "999", "all-reason": "a cut"}
    ).get_data(as_text=True)
    assert as_ian.send(f"{page}/time", {"all-minutes": "5", "all-reason": "a cut"}).status_code == 303
    with store.reading() as session:
        found = session.get_one(Paper, paper)
        assert (found.extra_minutes, found.extra_reason) == (5, "a cut")


def test_the_key_is_let_go(as_ian: Browser, as_tess: Browser, own_class: int, store: Database) -> None:
    """Once it is closed the program holds its key no longer."""
    page, number = sealed(as_ian, own_class)
    started(as_tess, store, number)
    assert store.keyring.key(number) is not None
    as_tess.send("/trainee/papers/1/hand-in")
    assert as_ian.send(f"{page}/close").status_code == 303
    assert store.keyring.key(number) is None
    assert f"sealed from {moment(NOW)} until {moment(NOW)}" in text(as_ian, f"{page}/record")
