"""The way in: front page, signing in and out, join slips, the first account, the own account, errors."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from flask import Flask

from tests.conftest import Browser
from tests.make import (
    HOUSE,
    NOW,
    PASSPHRASE,
    Clock,
    People,
    make_class,
    make_meeting,
    make_person,
    make_token,
)
from trainer.errors import Conflict, Fault, FaultyFiles
from trainer.services.admitting import accounts, joining, passphrases, sign_in
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.models import Person
from trainer.web import throttle
from trainer.web.access import COOKIE
from trainer.web.throttle import Throttle


@pytest.fixture
def joined(store: Database, people: People) -> str:
    """Tess has joined; her works number."""
    with store.writing() as session:
        session.get_one(Person, people.tess).passphrase_hash = passphrases.hashed(PASSPHRASE)
    return "TV-07"


def enter(browser: Browser, number: str, passphrase: str, **more: str) -> int:
    """Send the sign-in form; the status of the answer."""
    return browser.send("/sign-in", {"works_number": number, "passphrase": passphrase, **more}).status_code


def code_of(store: Database, people: People) -> str:
    """A join code of Tess's."""
    with store.writing() as session:
        return joining.join_code(session, people.ian, people.tess, NOW, 14)


def test_an_empty_house_tells_where_to_begin(nobody: Browser) -> None:
    """Before the first account the front page says where the link stands, and offers nothing else."""
    page = nobody.get("/").get_data(as_text=True)
    assert "Nobody has an account yet" in page
    assert "shows a link" in page


def test_the_front_page_leads_on(people: People, nobody: Browser, as_ian: Browser, as_tess: Browser) -> None:
    """Everybody is led to their own first page; a stranger to the sign-in page."""
    assert nobody.get("/").location == "/sign-in"
    assert as_ian.get("/").location == "/instructor/classes"
    assert as_tess.get(as_tess.get("/").location).status_code == 200


def test_an_instructor_begins_with_the_class_of_now(
    as_ian: Browser, store: Database, people: People, clock: Clock
) -> None:
    """One running class is the first page; of two it is the one that meets today; else the list of them."""
    with store.writing() as session:
        first = make_class(session, people.ian, title="Spring").id
    assert as_ian.get("/").location == f"/instructor/classes/{first}/now"
    with store.writing() as session:
        second = make_class(session, people.ian, title="Autumn").id
    assert as_ian.get("/").location == "/instructor/classes"
    with store.writing() as session:
        make_meeting(session, people.ian, second, held_on=clock().date())
    assert as_ian.get("/").location == f"/instructor/classes/{second}/now"


def test_signing_in_and_out(joined: str, nobody: Browser, store: Database) -> None:
    """Number and passphrase let in, on to the wanted page; signing out ends it on the server too."""
    data = {"works_number": " tv-07", "passphrase": PASSPHRASE, "next": "/account/?a=1"}
    response = nobody.send("/sign-in", data)
    assert (response.status_code, response.location) == (303, "/account/?a=1")
    cookie = response.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
    kept = nobody.get_cookie(COOKIE)
    assert kept
    assert "Tess" in nobody.get("/account/").get_data(as_text=True)
    assert nobody.send("/sign-out").location == "/sign-in"
    assert nobody.get_cookie(COOKIE) is None
    with store.reading() as session:
        assert sign_in.who(session, kept.value, NOW) is None


def test_the_cookie_is_secure_over_https(joined: str, nobody: Browser) -> None:
    """Over https neither the sign-in nor what the forms go by is ever sent in the clear."""
    for scheme in ("http", "https"):
        first = nobody.get("/join", base_url=f"{scheme}://localhost").headers["Set-Cookie"]
        assert (first.startswith("trainer_form="), "; Secure" in first) == (True, scheme == "https")
        nobody.delete_cookie("trainer_form")
    data = {"works_number": joined, "passphrase": PASSPHRASE, "csrf_token": nobody.token()}
    response = nobody.post("/sign-in", data=data, base_url="https://localhost")
    assert "Secure" in [part.strip() for part in response.headers["Set-Cookie"].split(";")]


@pytest.mark.parametrize(
    "target",
    [
        "https://elsewhere.example/",
        "//elsewhere.example",
        "/\\elsewhere.example",
        "javascript:1",
        "\n/x",
        "/\t/[",
        "http://[",
    ],
)
def test_signing_in_never_leads_elsewhere(joined: str, nobody: Browser, target: str) -> None:
    """A link prepared by somebody else cannot lead off this machine after signing in."""
    data = {"works_number": joined, "passphrase": PASSPHRASE, "next": target}
    assert nobody.send("/sign-in", data).location == "/"


def test_a_wrong_sign_in_keeps_the_number_only(joined: str, nobody: Browser) -> None:
    """A refusal is one sentence; what was typed as number is kept, the passphrase is not."""
    response = nobody.send("/sign-in", {"works_number": "TV-07", "passphrase": "wrong wrong wrong"})
    page = response.get_data(as_text=True)
    assert response.status_code == 422
    assert "do not belong together" in page
    assert 'value="TV-07"' in page
    assert "wrong wrong" not in page


@pytest.mark.parametrize("number", ["", "TV-07", "x" * 500, "<script>", "TV\u202e07"])
def test_incomplete_sign_ins_are_refused(joined: str, nobody: Browser, number: str) -> None:
    """Nothing typed, too much typed, odd characters: a sentence, never a crash."""
    assert enter(nobody, number, "") == 422
    assert enter(nobody, number, "y" * 5000) == 422


def test_tries_are_limited_by_number(joined: str, settings: Settings, nobody: Browser) -> None:
    """After so many tries for one number, fewer than a hundred in an hour, even the right passphrase waits; another
    number does not."""
    assert settings.sign_in_tries * 3600 / throttle.SECONDS < 100
    for _ in range(settings.sign_in_tries):
        assert enter(nobody, "tv-07", "wrong wrong wrong") == 422
    response = nobody.send("/sign-in", {"works_number": "TV-07", "passphrase": PASSPHRASE})
    assert response.status_code == 429
    assert "Wait five minutes" in response.get_data(as_text=True)
    assert enter(nobody, "TV-00", "wrong wrong wrong") == 422
    assert nobody.get("/sign-in").status_code == 200


def test_tries_are_limited_by_machine(people: People, nobody: Browser) -> None:
    """Codes and numbers made up by one machine wait after a hundred and twenty; another machine is let try."""
    token = nobody.token()

    def tried(machine: str, code: str) -> int:
        sent = {"code": code, "passphrase": PASSPHRASE, "csrf_token": token}
        return nobody.post("/join", data=sent, environ_overrides={"REMOTE_ADDR": machine}).status_code

    assert {tried("10.0.0.7", f"ABCD-{number:04}") for number in range(120)} == {422}
    assert (tried("10.0.0.7", "ABCD-9999"), tried("10.0.0.8", "ABCD-9999")) == (429, 422)


def test_whatever_lets_in_counts_its_tries(
    people: People, nobody: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """For the machine each time, and for a works number as it is meant, however it is typed."""
    counted: list[str] = []
    monkeypatch.setattr(Throttle, "pass_by", lambda _self, name: counted.append(name))
    for path in ("/sign-in", "/join", "/first/made-up"):
        nobody.send(path, {"works_number": " t V-07"})
    assert counted == ["127.0.0.1", "TV-07", "127.0.0.1", "127.0.0.1"]


@pytest.mark.parametrize("number", ["\uff34V-07", " " * 90 + "tv-07", "\U0001d413V-0\uff17"])
def test_another_way_to_write_a_number_is_no_further_try(
    joined: str, settings: Settings, nobody: Browser, number: str
) -> None:
    """Whatever signing in reads as one number is counted as one: wide letters, letters of mathematics, spaces."""
    for _ in range(settings.sign_in_tries):
        assert enter(nobody, number, "wrong wrong wrong") == 422
    assert enter(nobody, "TV-07", "wrong wrong wrong") == 429


def test_a_join_slip_lets_in(store: Database, people: People, nobody: Browser) -> None:
    """Code and passphrase of one's own let in at once, and from then on the number does."""
    code = code_of(store, people)
    assert f'value="{code}"' in nobody.get(f"/join?code={code}").get_data(as_text=True)
    response = nobody.send("/join", {"code": f"{code[:4]}-{code[4:]}", "passphrase": PASSPHRASE})
    assert (response.status_code, response.location) == (303, "/")
    page = nobody.get("/account/").get_data(as_text=True)
    assert "Your works number is TV-07" in page
    assert enter(nobody, "TV-07", PASSPHRASE) == 303


def test_a_spent_code_and_a_short_passphrase_are_named(
    store: Database, people: People, nobody: Browser
) -> None:
    """A weak passphrase does not spend the code; a spent code is refused, whatever comes with it."""
    code = code_of(store, people)
    weak = nobody.send("/join", {"code": code, "passphrase": "too short"})
    assert (weak.status_code, "9 characters; it needs 12" in weak.get_data(as_text=True)) == (422, True)
    assert nobody.send("/join", {"code": code, "passphrase": PASSPHRASE}).status_code == 303
    again = nobody.send("/join", {"code": code, "passphrase": PASSPHRASE})
    assert (again.status_code, "new join slip" in again.get_data(as_text=True)) == (422, True)


def test_the_first_account(store: Database, nobody: Browser, clock: Clock) -> None:
    """The printed link makes one account, signed in; then the link is gone, for a stranger as for a guess."""
    with store.writing() as session:
        token = joining.first_code(session, NOW)
    assert "Make yours" in nobody.get(f"/first/{token}").get_data(as_text=True)
    data = {"house": HOUSE, "name": "Ian", "works_number": "tv-00", "passphrase": PASSPHRASE}
    missing = nobody.send(f"/first/{token}", data)
    assert (missing.status_code, "Tick instructor" in missing.get_data(as_text=True)) == (422, True)
    short = nobody.send(f"/first/{token}", {**data, "roles": ["instructor"], "passphrase": "short"})
    assert (short.status_code, 'value="Ian"' in short.get_data(as_text=True)) == (422, True)
    made = nobody.send(f"/first/{token}", {**data, "roles": ["instructor", "employer"]})
    assert (made.status_code, nobody.get("/people/").status_code) == (303, 200)
    for wrong in (token, "guess"):
        assert nobody.get(f"/first/{wrong}").status_code == 404
        assert nobody.send(f"/first/{wrong}", data).status_code == 404


def test_the_first_link_runs_out(store: Database, nobody: Browser, clock: Clock) -> None:
    """A link left in a window for a week is good no more."""
    with store.writing() as session:
        token = joining.first_code(session, NOW)
    clock.now = NOW + timedelta(days=7)
    assert nobody.get(f"/first/{token}").status_code == 404


def test_a_new_passphrase(
    joined: str, people: People, store: Database, signed_in: Callable[[int], Browser]
) -> None:
    """The old one is asked for; the new one is kept; other browsers are out."""
    here, there = signed_in(people.tess), signed_in(people.tess)
    new = "brake pin bearing sleeve"
    wrong = here.send("/account/passphrase", {"old": "wrong wrong wrong", "new": new})
    assert (wrong.status_code, "do not belong together" in wrong.get_data(as_text=True)) == (422, True)
    short = here.send("/account/passphrase", {"old": PASSPHRASE, "new": "short"})
    assert (short.status_code, there.get("/account/").status_code) == (422, 200)
    assert here.send("/account/passphrase", {"old": PASSPHRASE, "new": new}).status_code == 303
    assert (here.get("/account/").status_code, there.get("/account/").status_code) == (200, 303)
    assert enter(here, joined, new) == 303


def test_sign_ins_are_shown_and_ended(people: People, signed_in: Callable[[int], Browser]) -> None:
    """A person ends their other sign-ins, one or all; somebody else's is not found."""
    here, there, third = (signed_in(people.tess) for _ in range(3))
    numbers = re.findall(r"/account/sign-ins/(\d+)/end", here.get("/account/").get_data(as_text=True))
    assert len(numbers) == 2
    stranger = signed_in(people.omar)
    assert stranger.send(f"/account/sign-ins/{numbers[0]}/end").status_code == 404
    assert here.send(f"/account/sign-ins/{numbers[0]}/end").status_code == 303
    assert here.send("/account/sign-ins/end-others").status_code == 303
    assert [one.get("/account/").status_code for one in (here, there, third)] == [200, 303, 303]


def test_a_sign_in_ends_by_time(people: People, as_tess: Browser, clock: Clock) -> None:
    """After the set hours the browser must sign in again; what it sends then is not taken for kept."""
    clock.now = NOW + timedelta(hours=12)
    assert as_tess.get("/account/").status_code == 303
    assert as_tess.send("/account/passphrase", {"old": "x", "new": "y"}).status_code == 401


def test_a_sign_in_that_has_run_out_is_not_listed(
    people: People, store: Database, as_tess: Browser, clock: Clock
) -> None:
    """The account page lists what still holds: of two sign-ins only the newer one, after the first has run out."""
    clock.now = NOW + timedelta(hours=13)
    with store.writing() as session:
        as_tess.set_cookie(COOKIE, make_token(session, people.tess, clock.now))
    assert "/account/sign-ins/" not in as_tess.get("/account/").get_data(as_text=True)


@pytest.mark.parametrize(("back", "status"), [(timedelta(hours=20), 200), (timedelta(days=2), 303)])
def test_a_sign_in_begun_while_the_clock_ran_ahead_ends_when_it_is_put_right(
    people: People, as_tess: Browser, clock: Clock, back: timedelta, status: int
) -> None:
    """Begun on a machine that was a year ahead it would hold for a year; a time zone put right signs nobody out."""
    clock.now = NOW - back
    assert as_tess.get("/account/").status_code == status


def test_somebody_who_left_is_out(people: People, store: Database, as_tess: Browser) -> None:
    """Marked as gone means signed out at once."""
    with store.writing() as session:
        accounts.set_left(session, people.ian, people.tess, True, NOW)
    assert as_tess.get("/account/").status_code == 303


def test_headers_of_every_answer(people: People, nobody: Browser) -> None:
    """Pages carry the strict policy and are not kept; other files have an address for each state of theirs."""
    file = re.search(r'href="([^"]+house\.css)"', nobody.get("/sign-in").get_data(as_text=True))
    assert file
    for path in ("/sign-in", "/nowhere", file[1]):
        with nobody.get(path) as response:
            headers = response.headers
        assert headers["Content-Security-Policy"].startswith(
            "default-src 'none'; script-src 'self'; style-src"
        )
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Referrer-Policy"] == "same-origin"
        assert headers["Cache-Control"] == (
            "public, max-age=31536000, immutable" if path.startswith("/static") else "no-store"
        )


def test_pages_obey_their_own_policy(people: People, as_ian: Browser) -> None:
    """No style attribute, no inline script, and no address outside the machine stands in a page."""
    for path in ("/sign-in", "/people/", f"/people/{people.tess}", "/instructor/classes", "/nowhere"):
        page = as_ian.get(path).get_data(as_text=True)
        assert not re.search(r"\sstyle=|<style|\son\w+=|<script(?![^>]*\ssrc=)", page), path
        assert not re.search(r"""(?:src|href|action)=["'](?:https?:)?//""", page), path


def test_strange_hosts_get_no_page(people: People, nobody: Browser) -> None:
    """A name that is not ours (another site pointing at this machine) gets a sentence and no page."""
    response = nobody.get("/sign-in", headers={"Host": "elsewhere.example"})
    assert (response.status_code, "trainer.toml" in response.get_data(as_text=True)) == (400, True)
    sent = nobody.post(
        "/sign-in", headers={"Host": "elsewhere.example", "Origin": "http://elsewhere.example"}
    )
    assert sent.status_code == 400


@pytest.mark.parametrize(
    ("kind", "name", "size"),
    [
        ("application/x-www-form-urlencoded", b'"works_number"', 2_000_001),
        ("multipart/form-data; boundary=x", b'"works_number"', 2_000_001),
        ("multipart/form-data; boundary=x", b'"scan"; filename="a.pdf"', 10_000_001),
    ],
)
def test_what_is_too_large_is_refused(
    people: People, nobody: Browser, kind: str, name: bytes, size: int
) -> None:
    """A flood of bytes is refused with a sentence; a text sooner than a file, since it lies in memory."""
    field = b"--x\r\nContent-Disposition: form-data; name=%s\r\n\r\n%s\r\n--x--\r\n"
    response = nobody.post("/sign-in", data=field % (name, b"x" * size), content_type=kind)
    assert response.status_code == 413
    assert "too large" in response.get_data(as_text=True)


def test_an_unknown_address(nobody: Browser) -> None:
    """An address that is none gives the page that says so, and what was asked, safely."""
    response = nobody.get("/<script>alert(1)</script>")
    page = response.get_data(as_text=True)
    assert (response.status_code, "There is no sheet at this address" in page) == (404, True)
    assert "<script>alert" not in page


def test_named_errors_have_their_page(app: Flask, nobody: Browser) -> None:
    """Each named error is shown with its own status and sentence; faults of files one by one."""

    def moved() -> str:
        raise Conflict("This exercise is answered already.")

    def faulty() -> str:
        raise FaultyFiles(
            (Fault("coil.yaml", 3, 1, "Write a unit."), Fault("coil.yaml", 9, 5, "Write a name."))
        )

    app.add_url_rule("/moved", view_func=moved)
    app.add_url_rule("/faulty", view_func=faulty)
    first, second = nobody.get("/moved"), nobody.get("/faulty")
    assert (first.status_code, "is answered already" in first.get_data(as_text=True)) == (409, True)
    assert "coil.yaml:9:5: Write a name." in second.get_data(as_text=True)


def test_an_unexpected_error_gives_a_reference(
    app: Flask, nobody: Browser, caplog: pytest.LogCaptureFixture
) -> None:
    """What nobody foresaw is logged under the number that the page shows, and shows nothing else."""

    def broken() -> str:
        raise ZeroDivisionError("inner matter")

    app.add_url_rule("/broken", view_func=broken)
    response = nobody.get("/broken")
    page = response.get_data(as_text=True)
    found = re.search(r"reference ([0-9a-f]{8})", page)
    assert response.status_code == 500
    assert found
    assert found[1] in caplog.text
    assert "inner matter" not in page
    assert "inner matter" in caplog.text


def test_a_store_that_fails_still_gives_a_page(
    people: People, as_tess: Browser, monkeypatch: pytest.MonkeyPatch, store: Database
) -> None:
    """The error page does not ask the store that has just failed."""

    def fail(*_: object) -> None:
        raise OSError("disk gone")

    monkeypatch.setattr(sign_in, "who", fail)
    assert as_tess.get("/account/").status_code == 500


def test_a_long_menu_stands_in_groups(
    store: Database, people: People, as_tess: Browser, as_emma: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """An instructor who examines has four groups; a short menu stays in the open, but for what one looks up."""
    with store.writing() as session:
        both = make_person(session, "TV-61", "Both", {"instructor", "examiner"}).id
    page = signed_in(both).get("/people/").get_data(as_text=True)
    nav = page[page.index('<nav aria-label="Main">') : page.index("</nav>")]
    assert re.findall(r"<summary>([^<]+)</summary>", nav) == ["Teach", "Examine", "Records", "Look up"]
    assert nav.count("<a ") == 15
    for browser in (as_tess, as_emma):
        page = browser.get("/account/").get_data(as_text=True)
        assert re.findall(r"<summary>([^<]+)</summary>", page) == ["Look up"]
        assert re.search(r'<a href="/account/" aria-current="page">Account<', page)


def test_the_menu_is_by_role(
    store: Database, people: People, as_ian: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """Each sees their own pages; who holds several roles sees all of theirs."""
    with store.writing() as session:
        both = make_person(session, "TV-91", "Both", {"instructor", "employer", "trainee"}).id
    emma = signed_in(people.emma).get("/people/").get_data(as_text=True)
    assert ("Classes</a>" in emma, "People</a>" in emma) == (False, True)
    page = signed_in(both).get("/people/").get_data(as_text=True)
    assert ("Classes</a>" in page, 'href="/people/" aria-current="page"' in page) == (True, True)
    below = as_ian.get(f"/people/{people.tess}").get_data(as_text=True)
    assert below.count('aria-current="page"') == 1
    assert 'href="/people/" aria-current="page"' in below
