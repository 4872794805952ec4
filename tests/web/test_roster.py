"""Taking a roster through the pages: file, preview, all or nothing, slips."""

from __future__ import annotations

import html
import io
import re

import pytest

from tests.conftest import Browser
from tests.make import PASSPHRASE, People, make_class, make_person
from trainer.services.admitting import accounts
from trainer.services.teaching import classes
from trainer.store import Database

GOOD = b"name,works number,e-mail,class\nAda,TV-21,ada@example.org,MT-1 November\nBo & Co,TV-22,,\n"


def choose(browser: Browser, data: bytes, name: str = "roster.csv") -> tuple[int, str]:
    """Send a file; status and page."""
    response = browser.send("/instructor/roster", {"file": (io.BytesIO(data), name)})
    response.request.environ["wsgi.input"].close()  # a large form is sent from a temporary file
    return response.status_code, html.unescape(response.get_data(as_text=True))


def carried(page: str) -> str:
    """The rows that a preview page carries along."""
    found = re.search(r'name="rows" value="([^"]*)"', page)
    assert found
    return found[1]


def numbers(store: Database, asker: int) -> list[str]:
    """The works numbers of a house."""
    with store.reading() as session:
        return [one.works_number for one in accounts.people_of(session, asker)]


def test_a_roster_is_previewed_and_taken(store: Database, people: People, as_ian: Browser) -> None:
    """The preview writes nothing; taking enters everybody and fills the class."""
    with store.writing() as session:
        made = make_class(session, people.ian).id
    assert as_ian.get("/instructor/roster").status_code == 200
    raw = as_ian.send("/instructor/roster", {"file": (io.BytesIO(GOOD), "roster.csv")})
    rows = html.unescape(carried(raw.get_data(as_text=True)))
    assert (raw.status_code, "2 new people" in raw.get_data(as_text=True)) == (200, True)
    assert numbers(store, people.ian) == ["TV-00", "TV-07", "TV-90"]
    assert as_ian.send("/instructor/roster/take", {"rows": rows}).status_code == 303
    assert numbers(store, people.ian) == ["TV-00", "TV-07", "TV-21", "TV-22", "TV-90"]
    with store.reading() as session:
        assert [one.name for one in classes.members(session, people.ian, made)] == ["Ada"]


def test_bad_rows_are_named(store: Database, people: People, as_ian: Browser) -> None:
    """Every bad row is named with its number, and the page offers no way to take the rest."""
    status, page = choose(as_ian, b"name,works number\nAda,TV-21\n,TV-22\nBo,HK-03\n")
    assert (status, "2 rows stand in the way" in page) == (422, True)
    assert re.search(r">3<.*name is missing.*>4<.*HK-03 is in use", page, re.DOTALL)
    assert "Take this roster" not in page
    assert "TV-21" not in numbers(store, people.ian)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "neither a CSV nor an XLSX"),
        (b"PK\x03\x04 broken", "cannot be opened"),
        (b"who,what\nA,1\n", "no column called name"),
        (b"x" * 5_100_000, "larger than 5 MB"),
    ],
)
def test_other_files_are_refused(people: People, as_ian: Browser, data: bytes, says: str) -> None:
    """What is no roster gets a sentence, on the page with the form."""
    status, page = choose(as_ian, data)
    assert (status, says in page, "Show what is in it" in page) == (422, True, True)


def test_no_file_is_refused(people: People, as_ian: Browser) -> None:
    """Sending the form without a file says so."""
    response = as_ian.send("/instructor/roster", {})
    assert (response.status_code, "Choose a file first" in response.get_data(as_text=True)) == (422, True)


def test_a_roster_that_went_stale(store: Database, people: People, as_ian: Browser) -> None:
    """Somebody entered meanwhile under another name stands in the way; nothing is taken."""
    _, page = choose(as_ian, b"name,works number\nAda,TV-21\nBo,TV-22\n")
    with store.writing() as session:
        make_person(session, "TV-22", "Somebody else")
    response = as_ian.send("/instructor/roster/take", {"rows": carried(page)})
    assert response.status_code == 422
    assert "TV-22 is Somebody else here" in response.get_data(as_text=True)
    assert "TV-21" not in numbers(store, people.ian)


@pytest.mark.parametrize("rows", ["", "nonsense", "line,name,works number\nx,Ada,TV-21,,,,\n,,\n" * 3])
def test_tampered_rows_are_checked_again(people: People, store: Database, as_ian: Browser, rows: str) -> None:
    """Nothing is believed from the browser: the rows are read and checked as the file was."""
    assert as_ian.send("/instructor/roster/take", {"rows": rows}).status_code == 422
    assert numbers(store, people.ian) == ["TV-00", "TV-07", "TV-90"]


def test_the_largest_roster_fits_the_form(people: People, store: Database, as_ian: Browser) -> None:
    """Five thousand rows come through preview and taking."""
    rows = b"".join(b"Somebody with a name,P-%d,somebody%d@example.org\n" % (n, n) for n in range(5_000))
    status, page = choose(as_ian, b"name,works number,e-mail\n" + rows)
    assert status == 200
    assert as_ian.send("/instructor/roster/take", {"rows": carried(page)}).status_code == 303
    assert len(numbers(store, people.ian)) == 5_003


def test_slips_for_a_class(store: Database, people: People, as_ian: Browser, nobody: Browser) -> None:
    """Slips are made for those of a class who have not joined; each code lets its person in."""
    with store.writing() as session:
        ada = make_person(session, "TV-21", "Ada").id
        made = make_class(session, people.ian, people.tess, ada).id
        make_person(session, "TV-22", "Wilma")
    page = as_ian.send("/instructor/slips", {"class_id": made}).get_data(as_text=True)
    codes = re.findall(r"<b[^>]*>([2-9A-Z]{4}-[2-9A-Z]{4})</b>", page)
    assert (len(codes), "Ada" in page, "Wilma" in page) == (2, True, False)
    assert nobody.send("/join", {"code": codes[0], "passphrase": PASSPHRASE}).status_code == 303
    again = as_ian.send("/instructor/slips", {"class_id": made}).get_data(as_text=True)
    assert ("Ada" in again, "Tess" in again) == (True, False)


def test_slips_for_everybody_and_nobody(store: Database, people: People, as_ian: Browser) -> None:
    """Without a class all who wait get one; where nobody waits the page says so."""
    page = as_ian.send("/instructor/slips").get_data(as_text=True)
    assert ("Tess" in page, "Omar" in page) == (True, False)
    with store.writing() as session:
        for one in accounts.people_of(session, people.ian):
            one.passphrase_hash = "hash"
    assert "Everybody is in" in as_ian.send("/instructor/slips").get_data(as_text=True)


def test_slips_for_another_instructors_class(store: Database, people: People, as_ian: Browser) -> None:
    """A class of somebody else is not found."""
    with store.writing() as session:
        fellow = make_person(session, "TV-01", "Fellow", {"instructor"}).id
        made = make_class(session, fellow, people.tess).id
    for wrong in (made, 999, 10**30):
        assert as_ian.send("/instructor/slips", {"class_id": wrong}).status_code == 404


def test_rosters_are_for_instructors(people: People, as_tess: Browser, as_emma: Browser) -> None:
    """Neither a trainee nor an employer takes rosters."""
    for browser in (as_tess, as_emma):
        assert browser.get("/instructor/roster").status_code == 403
        assert choose(browser, GOOD)[0] == 403
