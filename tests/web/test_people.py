"""People pages: one's own house only, roles as far as one may give them, slips with codes that work."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.conftest import Browser
from tests.make import NOW, PASSPHRASE, People, make_person
from trainer.services.admitting import accounts
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.models import Person

ANYBODY_ELSE = ("/roles", "/gone", "/back", "/sign-ins/end", "/slip")


def roles_of(store: Database, person_id: int) -> frozenset[str]:
    """What a person may be, as it stands in the store."""
    with store.reading() as session:
        return session.get_one(Person, person_id).roles


def test_people_are_listed(people: People, as_ian: Browser, as_emma: Browser) -> None:
    """Ian and Emma see the people of their house, and nobody of another."""
    for browser in (as_ian, as_emma):
        page = browser.get("/people/").get_data(as_text=True)
        assert ("Tess" in page, "Omar" in page, "3 people" in page) == (True, False, True)


def test_a_person_is_entered(store: Database, people: People, as_ian: Browser) -> None:
    """One person is entered by hand, and is then on their own page."""
    data = {"works_number": "tv-21", "name": " Ada ", "email": "ada@example.org", "roles": ["trainee"]}
    response = as_ian.send("/people/", data)
    page = as_ian.get(response.location).get_data(as_text=True)
    assert response.status_code == 303
    assert all(word in page for word in ("Ada", "TV-21", "ada@example.org", "waits for a join slip"))


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"works_number": ""}, "Write a works number"),
        ({"works_number": "TV-07"}, "TV-07 is in use"),
        ({"works_number": "HK-03"}, "HK-03 is in use"),
        ({"name": " "}, "Write the person"),
        ({"email": "no address"}, "no e-mail address"),
        ({"roles": []}, "one role or more"),
        ({"roles": ["king"]}, "one role or more"),
        ({"name": "x" * 5000}, "at most 200 characters"),
    ],
)
def test_a_bad_entry_keeps_what_was_typed(
    people: People, as_ian: Browser, change: dict[str, object], says: str
) -> None:
    """Each fault has its sentence; what was typed stays in the form."""
    data = {"works_number": "TV-21", "name": "Ada", "email": "", "roles": ["trainee"], **change}
    response = as_ian.send("/people/", data)
    page = response.get_data(as_text=True)
    assert (response.status_code, says in page) == (422, True)
    assert ('value="TV-21"' in page) == ("works_number" not in change)


def test_an_instructor_enters_no_employer(people: People, as_ian: Browser) -> None:
    """The form does not offer what Ian may not give; sent all the same, it is refused."""
    assert 'value="employer"' not in as_ian.get("/people/").get_data(as_text=True)
    data = {"works_number": "TV-21", "name": "Ada", "roles": ["employer"]}
    assert as_ian.send("/people/", data).status_code == 403


def test_an_employer_grants_functions(
    store: Database, people: People, as_emma: Browser, as_ian: Browser
) -> None:
    """Emma makes Ian examiner and Level III; Ian, changing his roles, keeps them."""
    path = f"/people/{people.ian}/roles"
    assert as_emma.send(path, {"roles": ["instructor", "examiner", "level_iii"]}).status_code == 303
    assert roles_of(store, people.ian) == {"instructor", "examiner", "level_iii"}
    assert "Also Level III, examiner" in as_ian.get(f"/people/{people.ian}").get_data(as_text=True)
    assert as_ian.send(path, {"roles": ["instructor", "trainee"]}).status_code == 303
    assert roles_of(store, people.ian) == {"instructor", "trainee", "examiner", "level_iii"}


def test_roles_that_may_not_be_given(store: Database, people: People, as_ian: Browser) -> None:
    """Roles out of reach are refused with 403, none at all with a sentence in the form."""
    path = f"/people/{people.tess}/roles"
    assert as_ian.send(path, {"roles": ["trainee", "examiner"]}).status_code == 403
    none = as_ian.send(path, {})
    assert (none.status_code, "one role or more" in none.get_data(as_text=True)) == (422, True)
    assert roles_of(store, people.tess) == {"trainee"}


def test_people_of_another_house(people: People, as_ian: Browser, as_emma: Browser) -> None:
    """Omar is not found by anybody of Tarn Valley, on any of his pages."""
    for browser in (as_ian, as_emma):
        assert browser.get(f"/people/{people.omar}").status_code == 404
        for page in ANYBODY_ELSE:
            assert browser.send(f"/people/{people.omar}{page}", {"roles": ["trainee"]}).status_code == 404


def test_trainees_see_no_people(people: People, as_tess: Browser, as_omar: Browser) -> None:
    """Neither Tess nor Omar opens a people page, not even their own."""
    for browser in (as_tess, as_omar):
        for path in ("/people/", f"/people/{people.tess}", f"/people/{people.omar}"):
            assert browser.get(path).status_code == 403


def test_gone_and_back(people: People, store: Database, as_ian: Browser, as_tess: Browser) -> None:
    """Somebody marked as gone is signed out and gets no slip; marked as back all is as before."""
    assert as_ian.send(f"/people/{people.tess}/gone").status_code == 303
    assert as_tess.get("/account/").status_code == 303
    assert as_ian.send(f"/people/{people.tess}/slip").status_code == 404
    assert "Marked as gone" in as_ian.get(f"/people/{people.tess}").get_data(as_text=True)
    assert as_ian.send(f"/people/{people.tess}/back").status_code == 303
    assert as_ian.send(f"/people/{people.tess}/slip").status_code == 200


def test_sign_ins_are_ended_for_somebody(people: People, as_ian: Browser, as_tess: Browser) -> None:
    """After a lost phone Ian ends Tess's sign-ins."""
    assert as_tess.get("/account/").status_code == 200
    assert as_ian.send(f"/people/{people.tess}/sign-ins/end").status_code == 303
    assert as_tess.get("/account/").status_code == 303


def test_a_slip_lets_its_person_in(people: People, as_ian: Browser, nobody: Browser) -> None:
    """The slip shows number, code and a QR code for the join page, and its code works."""
    page = as_ian.send(f"/people/{people.tess}/slip").get_data(as_text=True)
    found = re.search(r"<b[^>]*>([2-9A-Z]{4}-[2-9A-Z]{4})</b>", page)
    assert found
    assert ("TV-07" in page, "<svg" in page, "http://localhost/join" in page) == (True, True, True)
    assert "Join code of Tess" in page
    assert not re.search(r"\sstyle=", page)
    assert nobody.send("/join", {"code": found[1], "passphrase": PASSPHRASE}).status_code == 303


def test_slips_name_the_address_that_phones_reach(
    people: People, settings: Settings, store: Database, signed_in: Callable[[int], Browser]
) -> None:
    """On the network the slip carries the machine's own address, though Ian's browser says localhost."""
    browser = signed_in(people.ian)
    parts = browser.application.extensions["trainer"]
    object.__setattr__(parts.settings, "hosts", ("192.168.4.1",))
    page = browser.send(
        f"/people/{people.tess}/slip",
        base_url="http://localhost:8000",
        headers={"Origin": "http://localhost:8000"},
    )
    assert "http://192.168.4.1:8000/join" in page.get_data(as_text=True)


def test_no_slip_into_a_colleagues_account(people: People, store: Database, as_ian: Browser) -> None:
    """Ian makes no slip for Emma, nor for a fellow instructor who has joined."""
    with store.writing() as session:
        fellow = make_person(session, "TV-01", "Fellow", {"instructor"})
        fellow.passphrase_hash = "hash"
        number = fellow.id
    assert as_ian.send(f"/people/{people.emma}/slip").status_code == 403
    assert as_ian.send(f"/people/{number}/slip").status_code == 403


def test_who_left_is_still_listed(people: People, store: Database, as_ian: Browser) -> None:
    """Records stay, so does the line in the list."""
    with store.writing() as session:
        accounts.set_left(session, people.ian, people.tess, True, NOW)
    assert re.search(r"Tess.*gone", as_ian.get("/people/").get_data(as_text=True), re.DOTALL)


def test_an_employer_gets_from_a_person_to_the_record(
    as_emma: Browser, as_ian: Browser, people: People
) -> None:
    """The page of a person leads an employer to standing and record; an instructor, who may not open it, is not led there."""
    wanted = f"/employer/people/{people.tess}"
    assert wanted in as_emma.get(f"/people/{people.tess}").get_data(as_text=True)
    assert as_emma.get(wanted).status_code == 200
    assert wanted not in as_ian.get(f"/people/{people.tess}").get_data(as_text=True)
