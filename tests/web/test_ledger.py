"""Ledger, countersigning, class hours and the own record as pages: works, not yours, wrong role, bad id."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from tests.conftest import Browser
from tests.entering import BODIES, entered, make_level_iii, verified
from tests.files import PDF
from tests.make import NOW, People, make_class, make_meeting, make_person
from trainer.services.admitting import entitlements
from trainer.services.qualifying import evidence, ledger
from trainer.services.teaching import meetings
from trainer.services.teaching.meetings import Noted
from trainer.store import Database
from trainer.web.asking.entry_form import SPOTS

EXPERIENCE = {"method": "MT", "date": "2026-11-20", "hours": "7.5", "nature": "job", "task": "Draw hooks"}
PRACTICAL = {
    "part": "practical",
    "method": "MT",
    "level": "I",
    "date": "2026-11-24",
    "purpose": "initial",
    "specimen-1": "P4",
    "checkpoints-1": "12",
    "marks-1": "22",
    "of-1": "24",
}


@pytest.fixture
def waiting_id(store: Database, people: People) -> str:
    """An entry of Tess that waits."""
    with store.writing() as session:
        return entered(session, people.tess, people.tess, "trainee").id


def other_employer(store: Database) -> int:
    """The employer of another house."""
    with store.writing() as session:
        return make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id


def test_a_trainee_enters_and_takes_back(store: Database, people: People, as_tess: Browser) -> None:
    """What a trainee enters stands in the own ledger, and may be taken back with a reason."""
    response = as_tess.send("/record/enter/experience", EXPERIENCE)
    assert (response.status_code, response.location) == (303, "/record/ledger")
    page = as_tess.get("/record/ledger").get_data(as_text=True)
    assert ("Draw hooks" in page, "waits" in page, "nobody yet" in page) == (True, True, True)
    path = "/record/entries/e1"
    assert "May be countersigned by" in as_tess.get(path).get_data(as_text=True)
    empty = as_tess.send(f"{path}/take-back", {"reason": " "})
    assert (empty.status_code, "missing" in empty.get_data(as_text=True)) == (422, True)
    assert as_tess.send(f"{path}/take-back", {"reason": "wrong day"}).status_code == 303
    assert "wrong day" in as_tess.get(path).get_data(as_text=True)


@pytest.mark.parametrize("kind", sorted(SPOTS))
def test_every_form_opens_for_who_may_enter(
    store: Database, people: People, kind: str, signed_in: Callable[[int], Browser]
) -> None:
    """Each kind has its form for those who may enter it; for others there is no such form."""
    with store.writing() as session:
        make_class(session, people.ian, people.tess)
        level_iii = make_level_iii(session)
    roles = entitlements.ENTERED_BY[kind]
    for person_id, held in (
        (people.ian, {"instructor"}),
        (people.emma, {"employer"}),
        (level_iii, {"level_iii", "examiner"}),
    ):
        page = signed_in(person_id).get(f"/ledger/people/{people.tess}/enter/{kind}")
        assert (page.status_code == 200) == bool(roles & held), held
        assert page.status_code in (200, 404)
    own = signed_in(people.tess).get(f"/record/enter/{kind}")
    assert own.status_code == (200 if "trainee" in roles else 404)


def test_no_such_form(people: People, as_tess: Browser, as_emma: Browser) -> None:
    """Kinds that are none, reversals among them, have no form."""
    for kind in ("reversal", "haircut", "1"):
        assert as_tess.get(f"/record/enter/{kind}").status_code == 404
        assert as_tess.send(f"/record/enter/{kind}", EXPERIENCE).status_code == 404
        assert as_emma.send(f"/ledger/people/{people.tess}/enter/{kind}", EXPERIENCE).status_code == 404


@pytest.mark.parametrize(
    ("change", "field", "says"),
    [
        ({"hours": "a few"}, "hours", "plain decimal"),
        ({"hours": ""}, "hours", "missing"),
        ({"date": ""}, "date", "missing"),
        ({"date": "2026-02-30"}, "date", "not a day of the calendar"),
        ({"date": "2027-01-01"}, "date", "has not come yet"),
        ({"from": "2026-11-02", "to": "2026-11-03"}, "date", "not both"),
        ({"methods": "MT, PT"}, "methods", "not both"),
        ({"method": "", "methods": "MT, PT", "split": "MT"}, "split", "each method with its hours"),
        ({"method": "", "methods": "MT, PT", "split": "MT 3, PT 5"}, "split", "adds up"),
        ({"nature": "hobby"}, "nature", "not known"),
        ({"task": "x" * 9000}, "", ""),
    ],
)
def test_a_bad_entry_is_named_at_its_field(
    store: Database, people: People, as_tess: Browser, change: dict[str, str], field: str, says: str
) -> None:
    """The sentence stands at the field, what was typed is kept, and nothing is entered."""
    response = as_tess.send("/record/enter/experience", {**EXPERIENCE, **change})
    page = response.get_data(as_text=True)
    if not field:
        assert response.status_code == 303
        return
    assert (response.status_code, f'id="{field}-fault"' in page, says in page) == (422, True, True)
    assert 'value="2026-11-20"' in page or "date" in change
    with store.reading() as session:
        assert ledger.entries_of(session, people.tess) == []


def test_the_same_twice_is_told(people: People, as_tess: Browser) -> None:
    """A form sent twice makes one entry; the second time says which it is."""
    as_tess.send("/record/enter/experience", EXPERIENCE)
    again = as_tess.send("/record/enter/experience", EXPERIENCE)
    assert (again.status_code, "stands in the ledger as e1" in again.get_data(as_text=True)) == (422, True)


def test_a_practical_is_entered_line_by_line(
    store: Database, people: People, signed_in: Callable[[int], Browser]
) -> None:
    """Specimens are typed one a line; a fault in one stands at them, with everything kept."""
    with store.writing() as session:
        level_iii = make_level_iii(session)
    browser = signed_in(level_iii)
    path = f"/ledger/people/{people.tess}/enter/examination"
    wrong = browser.send(path, {**PRACTICAL, "marks-1": "30"})
    page = wrong.get_data(as_text=True)
    assert (wrong.status_code, 'id="specimens-fault"' in page, 'value="30"' in page) == (422, True, True)
    assert browser.send(path, PRACTICAL).status_code == 303
    with store.reading() as session:
        (row,) = ledger.entries_of(session, people.tess)
        assert row.body["specimens"] == [{"specimen": "P4", "checkpoints": "12", "marks": "22", "of": "24"}]


def ticks(page: str, *entries: str) -> dict[str, list[str] | str]:
    """A form with these entries ticked, and with every edition that the page carries."""
    editions = re.findall(r'name="(edition-[^"]+)" value="([^"]+)"', page)
    return {"entry": list(entries), **dict(editions)}


def test_countersigning_many_after_reading(store: Database, people: People, as_emma: Browser) -> None:
    """The list shows all facts; what is ticked is signed together; nothing ticked says so."""
    with store.writing() as session:
        first = entered(session, people.tess, people.tess, "trainee").id
        second = entered(session, people.tess, people.tess, "trainee", date="2026-11-19").id
    unread = as_emma.send("/ledger/sign", {"entry": [first], f"edition-{first}": "0" * 64})
    assert (unread.status_code, "not been before you" in unread.get_data(as_text=True)) == (409, True)
    page = as_emma.get("/ledger/").get_data(as_text=True)
    assert ("2 entries need your countersignature" in page, page.count("Draw hooks")) == (True, 2)
    none = as_emma.send("/ledger/sign")
    assert (none.status_code, "Nothing is ticked" in none.get_data(as_text=True)) == (422, True)
    assert as_emma.send("/ledger/sign", {"entry": [first]}).status_code == 409, (
        "without the edition it showed"
    )
    assert as_emma.send("/ledger/sign", ticks(page, first, second)).status_code == 303
    assert "Nothing needs your countersignature" in as_emma.get("/ledger/").get_data(as_text=True)
    assert as_emma.send("/ledger/sign", ticks(page, first)).status_code == 409


def test_an_entry_that_changed_is_refused_and_the_others_stay_ticked(
    store: Database, people: People, as_emma: Browser
) -> None:
    """A file came after the page: that entry loses its tick and says why, the other keeps it; the next press signs."""
    with store.writing() as session:
        first = entered(session, people.tess, people.tess, "trainee").id
        second = entered(session, people.tess, people.tess, "trainee", date="2026-11-19").id
    page = as_emma.get("/ledger/").get_data(as_text=True)
    with store.writing() as session:
        evidence.attach(session, first, people.tess, "scan.pdf", PDF, NOW)
    refused = as_emma.send("/ledger/sign", ticks(page, first, second))
    page = refused.get_data(as_text=True)
    assert (refused.status_code, page.count("has changed since you read it")) == (409, 2)
    assert ("scan.pdf" in page, f'href="#tick-{first}"' in page) == (True, True)
    assert re.findall(r'value="([^"]+)" checked', page) == [second]
    assert as_emma.send("/ledger/sign", ticks(page, first, second)).status_code == 303


def test_the_page_of_one_entry_signs_what_it_showed(
    store: Database, people: People, waiting_id: str, as_emma: Browser
) -> None:
    """Reading it there is enough; what came since is refused on the list, where it stands."""
    page = as_emma.get(f"/ledger/entries/{waiting_id}").get_data(as_text=True)
    with store.writing() as session:
        evidence.attach(session, waiting_id, people.tess, "scan.pdf", PDF, NOW)
    assert as_emma.send("/ledger/sign", ticks(page, waiting_id)).status_code == 409
    page = as_emma.get(f"/ledger/entries/{waiting_id}").get_data(as_text=True)
    assert as_emma.send("/ledger/sign", ticks(page, waiting_id)).status_code == 303


def test_a_reversal_is_read_with_what_it_reverses(store: Database, people: People, as_emma: Browser) -> None:
    """Who signs that an entry no longer counts sees which."""
    with store.writing() as session:
        row = verified(session, people.tess, people.tess, "trainee", people.emma)
        ledger.reverse(session, row.id, "shifts of another", make_level_iii(session), NOW)
    page = as_emma.get("/ledger/").get_data(as_text=True)
    assert ("It reverses <a" in page, "Draw hooks" in page, "shifts of another" in page) == (True, True, True)


def test_many_are_read_some_at_a_time(store: Database, people: People, as_emma: Browser) -> None:
    """Eleven stand on two pages; what only the second page shows is not read by opening the first."""
    with store.writing() as session:
        ids = [
            entered(session, people.tess, people.tess, "trainee", date=f"2026-11-{day:02}").id
            for day in range(1, 12)
        ]
    page = as_emma.get("/ledger/").get_data(as_text=True)
    assert ("10 of 11" in page, page.count('type="checkbox"'), "1 to 10 of 11" in page) == (True, 10, True)
    unread = as_emma.send("/ledger/sign", {**ticks(page, ids[0], ids[10]), f"edition-{ids[10]}": "1" * 64})
    assert (unread.status_code, "not been before you" in unread.get_data(as_text=True)) == (409, True)
    for wild in ("2", "99999999", "-1", "x", "0", "2\u0663"):
        assert as_emma.get(f"/ledger/?page={wild}").status_code == 200
    second = as_emma.get("/ledger/?page=2").get_data(as_text=True)
    assert (second.count('type="checkbox"'), "Page before" in second) == (1, True)
    assert as_emma.send("/ledger/sign", ticks(second, ids[10])).status_code == 303


def test_refusing_with_a_reason(people: People, waiting_id: str, as_emma: Browser) -> None:
    """A refusal needs a reason and shows it."""
    path = f"/ledger/entries/{waiting_id}"
    assert "Countersign it" in as_emma.get(path).get_data(as_text=True)
    assert as_emma.send(f"{path}/reverse", {"reason": ""}).status_code == 422
    assert as_emma.send(f"{path}/reverse", {"reason": "you were on leave"}).status_code == 303
    page = as_emma.get(path).get_data(as_text=True)
    assert ("you were on leave" in page, "refused" in page) == (True, True)
    assert as_emma.send(f"{path}/reverse", {"reason": "again"}).status_code == 409


def test_the_own_hand_does_not_sign(people: People, store: Database, as_emma: Browser) -> None:
    """What Emma entered herself she cannot countersign."""
    with store.writing() as session:
        mine = entered(session, people.tess, people.emma, "employer").id
    assert as_emma.send("/ledger/sign", {"entry": [mine]}).status_code == 403


def test_another_house_finds_nothing(
    store: Database, people: People, waiting_id: str, as_omar: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """Omar and his employer find neither Tess's ledger nor her entries, whatever they send."""
    boss = signed_in(other_employer(store))
    for path in (
        f"/ledger/people/{people.tess}",
        f"/ledger/entries/{waiting_id}",
        f"/ledger/people/{people.tess}/enter/work",
    ):
        assert boss.get(path).status_code == 404
    assert boss.send("/ledger/sign", {"entry": [waiting_id]}).status_code == 404
    assert boss.send(f"/ledger/entries/{waiting_id}/reverse", {"reason": "x"}).status_code == 404
    assert boss.send(f"/ledger/people/{people.tess}/enter/work", BODIES["work"]).status_code == 404
    assert "Tess" not in boss.get("/ledger/people").get_data(as_text=True)
    assert as_omar.get(f"/record/entries/{waiting_id}").status_code == 404
    assert as_omar.send(f"/record/entries/{waiting_id}/take-back", {"reason": "x"}).status_code == 404
    assert "Draw hooks" not in as_omar.get("/record/ledger").get_data(as_text=True)


def test_an_instructor_reads_own_classes_only(store: Database, people: People, as_ian: Browser) -> None:
    """Who is in none of the instructor's classes is not there; who is, is."""
    assert as_ian.get(f"/ledger/people/{people.tess}").status_code == 404
    with store.writing() as session:
        make_class(session, people.ian, people.tess)
    assert as_ian.get(f"/ledger/people/{people.tess}").status_code == 200
    assert as_ian.get(f"/ledger/people/{people.emma}").status_code == 404


def test_wrong_roles(
    people: People, waiting_id: str, as_tess: Browser, as_emma: Browser, as_ian: Browser
) -> None:
    """Trainees do not countersign; others have no own record here."""
    assert as_tess.get("/ledger/").status_code == 403
    assert as_tess.send("/ledger/sign", {"entry": [waiting_id]}).status_code == 403
    assert as_emma.get("/record/").status_code == 403
    assert as_ian.get("/employer/").status_code == 403


def test_bad_ids(people: People, as_tess: Browser, as_emma: Browser) -> None:
    """Ids that name nothing are not found."""
    for wrong in ("e999999", "x" * 300, "%00", "e1'--"):
        assert as_tess.get(f"/record/entries/{wrong}").status_code == 404
        assert as_emma.get(f"/ledger/entries/{wrong}").status_code == 404
        assert as_emma.send("/ledger/sign", {"entry": [wrong]}).status_code == 404


def test_a_signed_entry_is_not_taken_back_by_the_trainee(
    store: Database, people: People, as_tess: Browser
) -> None:
    """Once countersigned only those entitled reverse it; the page says whom to tell."""
    with store.writing() as session:
        row = verified(session, people.tess, people.tess, "trainee", people.emma)
    assert "Tell the employer" in as_tess.get(f"/record/entries/{row.id}").get_data(as_text=True)
    assert as_tess.send(f"/record/entries/{row.id}/take-back", {"reason": "x"}).status_code == 403


def test_class_hours_page(store: Database, people: People, as_ian: Browser, as_emma: Browser) -> None:
    """The meetings are confirmed together; the entries then wait for Emma; a second time is told."""
    with store.writing() as session:
        made = make_class(session, people.ian, people.tess)
        done = make_meeting(session, people.ian, made.id)
        still_open = make_meeting(session, people.ian, made.id, starts_at=NOW.time().replace(hour=14))
        meetings.note_attendance(session, people.ian, done.id, [Noted(people.tess, "present")], NOW)
        path = f"/instructor/classes/{made.id}/hours"
    page = as_ian.get(path).get_data(as_text=True)
    assert ("1 meeting can be confirmed" in page, "attendance is open for Tess" in page) == (True, True)
    assert as_ian.send(path).status_code == 422
    both = as_ian.send(path, {"meeting": [done.id, still_open.id]})
    assert (both.status_code, "note the attendance of Tess" in both.get_data(as_text=True)) == (422, True)
    assert as_ian.send(path, {"meeting": [done.id]}).status_code == 303
    assert "0 of 1 countersigned" in as_ian.get(path).get_data(as_text=True)
    assert "1 entry needs your countersignature" in as_emma.get("/ledger/").get_data(as_text=True)
    assert as_ian.send(path, {"meeting": [done.id]}).status_code == 422
    assert as_ian.send(path, {"meeting": ["x"]}).status_code == 404
    assert as_ian.send(path, {"meeting": [999_999]}).status_code == 404


def test_class_hours_of_another_instructor(
    store: Database, people: People, signed_in: Callable[[int], Browser], as_emma: Browser
) -> None:
    """A class of somebody else is not there, and an employer confirms nothing."""
    with store.writing() as session:
        made = make_class(session, people.ian, people.tess)
        fellow = make_person(session, "TV-01", "Fellow", {"instructor"}).id
    path = f"/instructor/classes/{made.id}/hours"
    browser = signed_in(fellow)
    assert (browser.get(path).status_code, browser.send(path).status_code) == (404, 404)
    assert (as_emma.get(path).status_code, as_emma.send(path).status_code) == (403, 403)
