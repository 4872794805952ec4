"""Standing, due dates, exports, issuers and the chain as pages: works, not yours, wrong role, bad input."""

from __future__ import annotations

import io
import json
from collections.abc import Callable
from datetime import date

import pytest

from tests.conftest import Browser
from tests.entering import make_level_iii, verified
from tests.make import NOW, Clock, People, make_person
from trainer.records import issuers as pinning
from trainer.records import jcs
from trainer.records.keys import SigningKey
from trainer.records.verification import Verdict, verify
from trainer.services.keeping import audit
from trainer.services.proving import exporting, issuers, key_rotation, signing_key
from trainer.settings import Settings
from trainer.store import Database

OTHER, NEWER = SigningKey(b"o" * 32), SigningKey(b"n" * 32)


@pytest.fixture
def recorded(store: Database, people: People) -> People:
    """The four; Tess has near vision that ran out on 10 November 2026 and one day of experience."""
    with store.writing() as session:
        verified(session, people.tess, people.tess, "trainee", people.emma, "vision", date="2025-11-10")
        verified(session, people.tess, people.tess, "trainee", people.emma)
    return people


@pytest.fixture
def boss(store: Database, people: People, signed_in: Callable[[int], Browser]) -> Browser:
    """The employer of another house."""
    with store.writing() as session:
        other = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    return signed_in(other)


def credential(browser: Browser, person_id: int) -> bytes:
    """A signed record as the page hands it out."""
    response = browser.send(f"/employer/exports/{person_id}", {"form": "credential", "on": "2026-11-25"})
    assert (response.status_code, response.mimetype) == (200, "application/json")
    assert "attachment" in response.headers["Content-Disposition"]
    return response.data


def test_the_first_page_of_an_employer(recorded: People, as_emma: Browser) -> None:
    """What ran out, who may do what, and the drawn ruler stand on the page to which Emma is led."""
    assert as_emma.get("/").location == "/employer/"
    page = as_emma.get("/employer/").get_data(as_text=True)
    assert ("1 has run out" in page, "ran out 15 days ago" in page, "<svg" in page) == (True, True, True)
    assert "under supervision: no certificate on record" in page
    assert "Omar" not in page


def test_an_empty_house(people: People, as_emma: Browser) -> None:
    """With no records the page says so and what begins one."""
    page = as_emma.get("/employer/").get_data(as_text=True)
    assert "Nothing runs out in the next 90 days" in page


def test_what_waits_is_counted(store: Database, people: People, as_emma: Browser) -> None:
    """The number of entries that wait leads to the list."""
    from tests.entering import entered

    with store.writing() as session:
        entered(session, people.tess, people.tess, "trainee")
    assert "Countersign 1 waiting" in as_emma.get("/employer/").get_data(as_text=True)


def test_matrix_of_a_day(recorded: People, as_emma: Browser) -> None:
    """People by prerequisite, on any day; a bad day is told and today shown."""
    page = as_emma.get("/employer/matrix").get_data(as_text=True)
    assert ("short: 7.5 of 70 h" in page, "10 Nov 2026" in page, "Omar" in page) == (True, True, False)
    early = as_emma.get("/employer/matrix?on=2024-01-01").get_data(as_text=True)
    assert "1 Jan 2024" in early
    assert "This is no date" in as_emma.get("/employer/matrix?on=soon").get_data(as_text=True)


@pytest.mark.parametrize("query", ["", "?scheme=ISO9712-2021&level=II&on=2027-02-28&beside=SNT-2020"])
def test_trainee_and_employer_see_the_same(
    recorded: People, as_emma: Browser, as_tess: Browser, query: str
) -> None:
    """The rows of the own standing are those that the employer sees, for any scheme, level and day."""

    def rows(page: str) -> str:
        table = page[page.index("Each prerequisite") : page.index("What would meet them")]
        return table.replace("/record/entries/", "/").replace("/ledger/entries/", "/")

    mine = as_tess.get(f"/record/{query}").get_data(as_text=True)
    theirs = as_emma.get(f"/employer/people/{recorded.tess}{query}").get_data(as_text=True)
    assert rows(mine) == rows(theirs)
    assert ("Two schemes side by side" in mine) == bool(query)


def test_a_standing_says_what_is_missing_and_never_certifies(recorded: People, as_emma: Browser) -> None:
    """Verdicts, gauges, clauses, what would meet them, doubtful figures; the word certified is not said."""
    page = as_emma.get(f"/employer/people/{recorded.tess}?scheme=SNT-2016-A1&level=I").get_data(as_text=True)
    for words in (
        "not all met on 25 Nov 2026 on these records",
        "expired",
        "check your copy",
        'class="gauge"',
    ):
        assert words in page
    assert "What would meet them" in page
    assert "is certified" not in page


@pytest.mark.parametrize(
    "query", ["?on=x", "?on=9999-12-31", "?scheme=none&level=IV&beside=none", "?on=2026-02-30"]
)
def test_what_cannot_be_asked(recorded: People, as_emma: Browser, query: str) -> None:
    """Nonsense in the address is left out; a bad day has its sentence."""
    response = as_emma.get(f"/employer/people/{recorded.tess}{query}")
    assert response.status_code == 200
    assert ("This is no date" in response.get_data(as_text=True)) == ("on=" in query)


def test_a_level_iii_sees_standing_but_signs_nothing_out(
    store: Database, recorded: People, signed_in: Callable[[int], Browser]
) -> None:
    """The Level III sees due dates and standings; exports and issuers are the employer's."""
    with store.writing() as session:
        level_iii = make_level_iii(session)
    browser = signed_in(level_iii)
    assert browser.get("/employer/").status_code == 200
    assert browser.get(f"/employer/people/{recorded.tess}").status_code == 200
    assert browser.get(f"/employer/exports/{recorded.tess}").status_code == 403
    assert browser.send(f"/employer/exports/{recorded.tess}", {"form": "credential"}).status_code == 403
    assert browser.get("/employer/issuers/").status_code == 403


def test_another_house_finds_nobody(
    store: Database, recorded: People, as_emma: Browser, boss: Browser
) -> None:
    """Another employer finds neither person nor record, whatever is sent; nothing is noted."""
    credential(as_emma, recorded.tess)
    with store.reading() as session:
        (row,) = exporting.exports_of(session, recorded.tess)
    assert boss.get(f"/employer/people/{recorded.tess}").status_code == 404
    assert boss.get(f"/employer/exports/{recorded.tess}").status_code == 404
    for form in ("credential", "csv", "parchment"):
        assert boss.send(f"/employer/exports/{recorded.tess}", {"form": form}).status_code == 404
    for act in ("file", "suspend", "revoke", "give-back"):
        assert boss.send(f"/employer/exports/records/{row.id}/{act}", {"reason": "x"}).status_code == 404
    assert "Tess" not in boss.get("/employer/chain").get_data(as_text=True)
    with store.reading() as session:
        told = [link.event["what"] for link in audit.recent(session)]
        assert told.count("record exported") == 1
        assert exporting.exports_of(session, recorded.tess)[0].revoked_at is None


def test_the_export_page_says_for_which_day(recorded: People, as_emma: Browser) -> None:
    """The day for which the record is judged is written as on every other page."""
    page = as_emma.get(f"/employer/exports/{recorded.tess}?on=2026-11-25").get_data(as_text=True)
    assert "Level I, for 25 Nov 2026." in page


@pytest.mark.parametrize("form", exporting.FORMS)
def test_every_form_is_handed_out(recorded: People, as_emma: Browser, form: str) -> None:
    """Each form is a file to keep, with its own media type."""
    response = as_emma.send(f"/employer/exports/{recorded.tess}", {"form": form})
    assert response.status_code == 200
    assert response.headers["Content-Type"] == exporting.FORMS[form][2]
    assert response.headers["Content-Disposition"].startswith('attachment; filename="TV-07-')


def test_no_such_form(recorded: People, as_emma: Browser) -> None:
    """A form that is none is not found."""
    assert as_emma.send(f"/employer/exports/{recorded.tess}", {"form": "parchment"}).status_code == 404
    assert as_emma.send(f"/employer/exports/{recorded.tess}").status_code == 404


def test_withdrawing_through_the_pages(
    store: Database, settings: Settings, recorded: People, as_emma: Browser
) -> None:
    """Suspend, give back, revoke: the status list handed out tells each; a reason is asked for."""
    record = credential(as_emma, recorded.tess)
    with store.reading() as session:
        path = f"/employer/exports/records/{exporting.exports_of(session, recorded.tess)[0].id}"
    held = issuers.pinned(settings.instance)

    def verdict() -> Verdict:
        return verify(record, held, date(2026, 11, 25), as_emma.send("/employer/exports/status").data).verdict

    assert verdict() is Verdict.VALID
    wrong = as_emma.send(f"{path}/revoke", {"reason": ""})
    assert (wrong.status_code, "why the record is withdrawn" in wrong.get_data(as_text=True)) == (422, True)
    assert as_emma.send(f"{path}/suspend", {"reason": "being looked into"}).status_code == 303
    assert "being looked into" in as_emma.get(f"/employer/exports/{recorded.tess}").get_data(as_text=True)
    assert verdict() is Verdict.SUSPENDED
    assert as_emma.send(f"{path}/give-back").status_code == 303
    assert verdict() is Verdict.VALID
    assert as_emma.send(f"{path}/revoke", {"reason": "made in error"}).status_code == 303
    assert verdict() is Verdict.REVOKED
    assert as_emma.send(f"{path}/give-back").status_code == 409
    assert as_emma.send(f"{path}/revoke", {"reason": "again"}).status_code == 422
    assert as_emma.send(f"{path}/file").data == record


def test_a_trainee_takes_the_own_record_along(
    store: Database, recorded: People, as_tess: Browser, as_omar: Browser, as_emma: Browser
) -> None:
    """Unsigned forms by oneself, signed ones that exist once more; another's are not there."""
    for form in exporting.FORMS:
        wanted = 404 if form in exporting.SIGNED else 200
        assert as_tess.send(f"/record/files/{form}").status_code == wanted
    record = credential(as_emma, recorded.tess)
    with store.reading() as session:
        number = exporting.exports_of(session, recorded.tess)[0].id
    assert "The file of" in as_tess.get("/record/ledger").get_data(as_text=True)
    assert as_tess.send(f"/record/signed/{number}").data == record
    assert as_omar.send(f"/record/signed/{number}").status_code == 404
    told = json.loads(as_omar.send("/record/files/data").data)
    assert (told["person"]["name"], told["entries"]) == ("Omar", [])


def test_calendar_of_the_house(recorded: People, as_emma: Browser) -> None:
    """The due dates of everybody in one calendar file."""
    response = as_emma.send("/employer/calendar")
    assert (response.status_code, response.mimetype) == (200, "text/calendar")
    assert b"20261110" in response.data


def test_issuers_through_the_page(settings: Settings, people: People, as_emma: Browser) -> None:
    """Pin with a reason, limit, take off; the own key stays; each fault at its form with what was typed."""
    page = as_emma.get("/employer/issuers/").get_data(as_text=True)
    assert ("its own key" in page, "Tarn Valley" in page) == (True, True)
    told = {"did": OTHER.did, "name": "Hook and Chain", "reason": "by telephone"}
    wrong = as_emma.send("/employer/issuers/pin", {**told, "did": "did:key:z6Mkx"})
    assert (wrong.status_code, 'value="Hook and Chain"' in wrong.get_data(as_text=True)) == (422, True)
    assert as_emma.send("/employer/issuers/pin", {**told, "reason": ""}).status_code == 422
    assert as_emma.send("/employer/issuers/pin", told).status_code == 303
    assert as_emma.send("/employer/issuers/pin", told).status_code == 422
    assert "by Emma" in as_emma.get("/employer/issuers/").get_data(as_text=True)
    limit = {"did": OTHER.did, "until": "2026-10-01", "reason": "key lost"}
    assert as_emma.send("/employer/issuers/unpin", {**limit, "until": "soon"}).status_code == 422
    assert as_emma.send("/employer/issuers/unpin", limit).status_code == 303
    assert "until 1 Oct 2026" in as_emma.get("/employer/issuers/").get_data(as_text=True)
    assert as_emma.send("/employer/issuers/unpin", {"did": OTHER.did, "reason": "closed"}).status_code == 303
    assert as_emma.send("/employer/issuers/unpin", {"did": OTHER.did, "reason": "closed"}).status_code == 404
    own = signing_key.load(settings.instance).did
    refused = as_emma.send("/employer/issuers/unpin", {"did": own, "reason": "try"})
    assert (refused.status_code, "your own installation signs" in refused.get_data(as_text=True)) == (
        422,
        True,
    )


def test_an_introduction_through_the_page(settings: Settings, people: People, as_emma: Browser) -> None:
    """A new key is taken up from its file; another file is told at the form."""
    as_emma.send(
        "/employer/issuers/pin", {"did": OTHER.did, "name": "Hook and Chain", "reason": "by telephone"}
    )
    told = pinning.introduction(
        OTHER,
        NEWER,
        "Hook and Chain",
        "urn:uuid:6c1f6bd1-77e6-4a6c-a1e5-6f0d3f6b1a11",
        "2026-11-20T09:00:00Z",
    )
    for data in (b"", b"{}", b"\xff", b"x" * 300_000):
        sent = {"file": (io.BytesIO(data), "new.json")}
        assert as_emma.send("/employer/issuers/accept", sent).status_code == 422
    assert as_emma.send("/employer/issuers/accept").status_code == 422
    good = {"file": (io.BytesIO(jcs.written(told)), "new.json")}
    assert as_emma.send("/employer/issuers/accept", good).status_code == 303
    assert NEWER.did in [one.did for one in issuers.pinned(settings.instance)]


def test_own_introductions_are_handed_out(
    store: Database, settings: Settings, people: People, as_emma: Browser
) -> None:
    """After a change of the own key the page hands its introduction out; before, there is none."""
    assert "trainer key rotate" in as_emma.get("/employer/issuers/").get_data(as_text=True)
    assert as_emma.send("/employer/issuers/introductions/1").status_code == 404
    with store.writing() as session:
        name = "urn:uuid:6c1f6bd1-77e6-4a6c-a1e5-6f0d3f6b1a11"
        file = key_rotation.rotate(session, settings.instance, NEWER, name, NOW)
    assert "Introduction 1" in as_emma.get("/employer/issuers/").get_data(as_text=True)
    assert as_emma.send("/employer/issuers/introductions/1").data == file.read_bytes()
    for number in (0, 2):
        assert as_emma.send(f"/employer/issuers/introductions/{number}").status_code == 404
    status = json.loads(as_emma.send("/employer/exports/status").data)
    assert len({one["id"] for one in status}) == 4


def test_the_chain_in_words(recorded: People, as_emma: Browser, clock: Clock) -> None:
    """The notes of the house are read in words, older ones by leafing; nonsense in the address is left out."""
    page = as_emma.get("/employer/chain").get_data(as_text=True)
    assert ("The ledger is as it was entered" in page, "entry countersigned" in page) == (True, True)
    assert "Omar" not in page
    first = as_emma.get("/employer/chain?before=2").get_data(as_text=True)
    assert "entry countersigned" not in first
    for query in ("?before=x", "?before=-1", "?before=99999999999999"):
        assert as_emma.get(f"/employer/chain{query}").status_code == 200


def test_a_changed_ledger_is_told(store: Database, recorded: People, as_emma: Browser) -> None:
    """A row that was changed outside the program is named on the page."""
    from sqlalchemy import update

    from trainer.store.models import Countersignature

    with store.writing() as session:
        session.execute(update(Countersignature).values(signed_at=NOW.replace(year=2025)))
    page = as_emma.get("/employer/chain").get_data(as_text=True)
    assert ("changed outside the program" in page, "countersignature of entry e1 was changed" in page) == (
        True,
        True,
    )


def test_wrong_roles(recorded: People, as_tess: Browser, as_ian: Browser) -> None:
    """Trainees and instructors open none of these pages."""
    for browser in (as_tess, as_ian):
        for path in (
            "/employer/",
            "/employer/matrix",
            f"/employer/people/{recorded.tess}",
            "/employer/chain",
        ):
            assert browser.get(path).status_code == 403
        assert browser.get("/employer/issuers/").status_code == 403
        assert browser.send(f"/employer/exports/{recorded.tess}", {"form": "csv"}).status_code == 403


def test_the_lists_narrow(recorded: People, as_emma: Browser) -> None:
    """First page and matrix show whom the address asks for, say so, and keep what was asked in the form."""
    for path in ("/employer/", "/employer/matrix"):
        all_of_them = as_emma.get(path).get_data(as_text=True)
        found = as_emma.get(f"{path}?words=tess&state=gone").get_data(as_text=True)
        none = as_emma.get(f"{path}?words=%3Cb%3E").get_data(as_text=True)
        assert ("Shown:" in all_of_them, "Shown: 1 of 1" in found, "Shown: 0 of 1" in none) == (
            False, True, True,
        )  # fmt: skip
        assert ('value="tess"' in found, "<b>" in none, "Nobody is like that" in none) == (True, False, True)
