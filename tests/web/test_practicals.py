"""Pages of practicals: marked press by press, settled, closed, printed; the map stays with the examiners."""

from __future__ import annotations

import html
import io
import re
from collections.abc import Callable

import pytest
from flask import Flask
from sqlalchemy import func, select

from tests.conftest import Browser
from tests.examining import make_examiner, make_practical, make_specimen, mark_all
from tests.house.test_routes import address, rules
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.examinations.specimen_file import EXAMPLE
from trainer.services.proving import ledger_check
from trainer.store import Database
from trainer.store.models import Entry, Link, PracticalMark, PracticalSheet, Specimen


@pytest.fixture
def sheet(store: Database, shelf: Shelf, people: People) -> int:
    """Tess before Ian."""
    with store.writing() as session:
        return make_practical(session, shelf.bank, people).id


def words(browser: Browser, path: str, status: int = 200) -> str:
    """The words of a page."""
    reply = browser.get(path)
    assert reply.status_code == status, (path, reply.status_code)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", reply.get_data(as_text=True))).split())


def test_from_specimen_to_ledger(
    store: Database, shelf: Shelf, people: People, as_ian: Browser, as_tess: Browser
) -> None:
    """A specimen is entered, a practical begun, every point pressed, closed: the entry is Tess's."""
    piece = {"code": "p4", "title": "Butt weld", "drawn": "toe crack; 120; 45; 8; must"}
    assert as_ian.send("/practicals/specimens", piece).location == "/practicals/specimens/1"
    assert "toe crack" in words(as_ian, "/practicals/specimens/1")
    begun = {"person": people.tess, "checklist": "bench-1", "specimen": 1, "second": "", "pass_mark": "80"}
    assert as_ian.send("/practicals/", begun).location == "/practicals/1"
    assert "12 of 12 to mark" in words(as_ian, "/practicals/1")
    for point in ("known-1", *(f"p{n}" for n in range(1, 11))):
        reply = as_ian.send("/practicals/1/mark", {"point": point, "mark": "done", "key": f"k{point}"})
        assert (reply.status_code, reply.location) == (303, f"/practicals/1#point-{point}")
    assert as_ian.send("/practicals/1/stand").status_code == 422
    as_ian.send("/practicals/1/mark", {"point": "false-calls", "mark": "1", "key": "f"})
    as_ian.send("/practicals/1/stand")
    assert "TV-07 Tess: passed" in words(as_ian, "/practicals/1")
    assert as_ian.send("/practicals/1/close").status_code == 303
    assert "In the ledger as e1" in words(as_ian, "/practicals/1")
    assert "passed" in words(as_ian, "/practicals/")
    assert "practical" in words(as_tess, "/record/ledger")


def test_a_press_sent_twice_is_one(store: Database, sheet: int, as_ian: Browser) -> None:
    """The same key comes again after the network was away: one row, the same reply."""
    for _ in range(2):
        reply = as_ian.send(f"/practicals/{sheet}/mark", {"point": "p1", "mark": "done", "key": "one"})
        assert reply.status_code == 303
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(PracticalMark)) == 1


def test_what_is_pressed_is_shown_pressed(sheet: int, as_ian: Browser) -> None:
    """After a press exactly that button of that point says so."""
    as_ian.send(f"/practicals/{sheet}/mark", {"point": "p1", "mark": "partly", "key": "one"})
    page = as_ian.get(f"/practicals/{sheet}").get_data(as_text=True)
    pressed = re.findall(r'value="([a-z0-9]+)" aria-pressed="true"', page)
    assert pressed == ["partly"]
    keys = re.findall(r'name="key" value="([0-9a-f]{32})"', page)
    assert len(keys) == len(set(keys)) == 14


@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"person": ""}, "Choose the candidate"),
        ({"pass_mark": "0"}, "1 to 100 percent"),
        ({"pass_mark": "x"}, "1 to 100 percent"),
        ({"person": "2"}, "Nobody examines themselves"),
    ],
)
def test_a_form_that_cannot_be_taken_keeps_what_was_typed(
    store: Database, people: People, as_ian: Browser, changed: dict[str, str], says: str
) -> None:
    """One sentence at 422, the choices still chosen, nothing begun."""
    with store.writing() as session:
        piece = make_specimen(session, people.ian).id
    form = {"person": people.tess, "checklist": "bench-1", "specimen": piece, "pass_mark": "80", **changed}
    reply = as_ian.send("/practicals/", form)
    page = reply.get_data(as_text=True)
    assert (reply.status_code, says in page) == (422, True)
    assert '<option value="bench-1" selected>' in page
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(PracticalSheet)) == 0


def test_a_faulty_map_comes_back(people: People, as_ian: Browser) -> None:
    """The line with the fault is named and the text is still there."""
    form = {"code": "P9", "title": "Weld", "drawn": "crack; 1; 2; 3\nseam; here"}
    reply = as_ian.send("/practicals/specimens", form)
    page = reply.get_data(as_text=True)
    assert reply.status_code == 422
    assert "Line 2 of the map" in page
    assert "seam; here" in page


def sent_file(browser: Browser, text: str) -> tuple[int, str]:
    """Choose a file of specimens; status and page."""
    file = (io.BytesIO(text.encode()), "pieces.yaml")
    reply = browser.send("/practicals/specimens/file", {"file": file})
    return reply.status_code, html.unescape(reply.get_data(as_text=True))


def carried(page: str) -> str:
    """The text of the file as the preview's form carries it."""
    found = re.search(r'name="text" value="([^"]*)"', page)
    assert found
    return found[1]


def held(store: Database) -> int:
    """How many specimens there are."""
    with store.reading() as session:
        return session.scalar(select(func.count()).select_from(Specimen)) or 0


def test_many_specimens_from_one_file(store: Database, people: People, as_ian: Browser) -> None:
    """The preview writes nothing and shows each with its map; then all are entered, each with its link."""
    assert "toe crack" in as_ian.get("/practicals/specimens/file").get_data(as_text=True)
    status, page = sent_file(as_ian, EXAMPLE)
    assert (status, "2 specimens can be entered" in page, "seam at 33, 77, 21.5 mm long" in page, held(store)) == (
        200, True, True, 0,
    )  # fmt: skip
    taken = as_ian.send("/practicals/specimens/file/take", {"text": carried(page)})
    assert (taken.status_code, held(store)) == (303, 2)
    assert "toe crack" in words(as_ian, "/practicals/specimens/1")
    assert ledger_check_holds(store)


def ledger_check_holds(store: Database) -> bool:
    """Whether the chain holds and tells of both specimens."""
    with store.reading() as session:
        told = [link.event["what"] for link in session.scalars(select(Link))]
        return ledger_check.walk(session).broken is None and told.count("specimen entered") == 2


def test_nothing_of_a_file_with_a_bad_specimen_is_entered(
    store: Database, people: People, as_ian: Browser
) -> None:
    """A code in use, one twice in the file, a faulty map: each is named; taken by hand all the same, nothing is."""
    with store.writing() as session:
        make_specimen(session, people.ian, code="P4")
    doubled = EXAMPLE + "  - {code: p5, title: Again, known: [{kind: seam, x: 1, y: 2, length: 3}]}\n"
    bad = doubled + "  - {code: P6, title: Bad, known: [{kind: seam, x: 1, y: 2}]}\n"
    status, page = sent_file(as_ian, bad)
    assert (status, "3 lines stand in the way" in page, "Enter all of them" in page) == (422, True, False)
    for says in ("P4: There is a specimen P4 already", "p5: There is a specimen P5", "The key 'length'"):
        assert says in page
    assert as_ian.send("/practicals/specimens/file/take", {"text": bad}).status_code == 422
    assert held(store) == 1


def test_somebody_entered_one_since_the_preview(store: Database, people: People, as_ian: Browser) -> None:
    """Taking it over shows the preview again, with the one that is in the way, and enters nothing."""
    _, page = sent_file(as_ian, EXAMPLE)
    with store.writing() as session:
        make_specimen(session, people.ian, code="P5")
    again = as_ian.send("/practicals/specimens/file/take", {"text": carried(page)})
    assert (again.status_code, "P5: There is" in again.get_data(as_text=True), held(store)) == (422, True, 1)


def test_files_of_specimens_that_are_none(people: People, as_ian: Browser, as_tess: Browser) -> None:
    """No file, no text, not YAML: a sentence each; a trainee has no business here."""
    assert as_ian.send("/practicals/specimens/file").status_code == 422
    assert sent_file(as_ian, "specimens: [")[0] == 422
    assert as_ian.send("/practicals/specimens/file/take").status_code == 422
    for path in ("/practicals/specimens/file", "/practicals/specimens/file/take"):
        assert as_tess.send(path, {"text": EXAMPLE}).status_code == 403


def test_two_examiners_see_the_other_only_at_the_end(
    store: Database, shelf: Shelf, people: People, as_ian: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """While one still marks nothing of the other is shown; then differences stand with both marks."""
    with store.writing() as session:
        edna = make_examiner(session)
        sheet = make_practical(session, shelf.bank, people, edna).id
        mark_all(session, shelf.bank, people.ian, sheet, p4="missed", p2="partly")
    hers = signed_in(edna)
    page = hers.get(f"/practicals/{sheet}").get_data(as_text=True)
    assert 'aria-pressed="true"' not in page
    assert "first missed" not in page
    assert "your marks stand, the other examiner is still marking" in words(as_ian, f"/practicals/{sheet}")
    with store.writing() as session:
        mark_all(session, shelf.bank, edna, sheet)
    seen = words(hers, f"/practicals/{sheet}")
    assert "you differ on 1 that decides" in seen
    assert "first missed, second done" in seen
    refused = hers.send(f"/practicals/{sheet}/close")
    assert refused.status_code == 422
    as_ian.send(f"/practicals/{sheet}/mark", {"point": "p4", "mark": "done", "key": "again"})
    assert hers.send(f"/practicals/{sheet}/close").status_code == 303
    assert "passed" in words(as_ian, f"/practicals/{sheet}")


def test_void_with_a_reason(store: Database, sheet: int, as_ian: Browser) -> None:
    """Without a reason it goes on; with one it is void and enters nothing."""
    assert as_ian.send(f"/practicals/{sheet}/void").status_code == 422
    as_ian.send(f"/practicals/{sheet}/void", {"reason": "Power cut"})
    assert "Reason: Power cut" in words(as_ian, f"/practicals/{sheet}")
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(Entry)) == 0


def test_the_printed_forms_hold_no_map(
    store: Database, shelf: Shelf, people: People, sheet: int, as_ian: Browser
) -> None:
    """Empty and filled: every checkpoint and box, no kind and no place of a discontinuity."""
    empty = words(as_ian, "/practicals/checklists/bench-1")
    with store.writing() as session:
        mark_all(session, shelf.bank, people.ian, sheet)
    filled = words(as_ian, f"/practicals/{sheet}/form")
    for page in (empty, filled):
        assert "Part is clamped before the current goes on. critical" in page
        assert "toe crack" not in page
        assert "120 mm" not in page
    assert "Discontinuity 1 of specimen S-BENCH-1" in filled
    assert "(ticked)" in filled
    assert "(ticked)" not in empty


def test_nobody_else_finds_it(
    store: Database, sheet: int, people: People, signed_in: Callable[[int], Browser]
) -> None:
    """An examiner of the house who is not on it gets 404 for every page and press of it."""
    with store.writing() as session:
        person = make_examiner(session)
    edna = signed_in(person)
    assert edna.get(f"/practicals/{sheet}").status_code == 404
    assert edna.get(f"/practicals/{sheet}/form").status_code == 404
    for press in ("mark", "stand", "close"):
        assert edna.send(f"/practicals/{sheet}/{press}", {"point": "p1", "mark": "done"}).status_code == 404
    assert edna.send(f"/practicals/{sheet}/void", {"reason": "No"}).status_code == 404


def test_a_candidate_finds_the_map_on_no_page(
    app: Flask, store: Database, shelf: Shelf, people: People, as_ian: Browser, as_tess: Browser
) -> None:
    """While it is marked and after the close, no page that Tess can open holds a word of the map."""
    with store.writing() as session:
        sheet = make_practical(session, shelf.bank, people).id
        mark_all(session, shelf.bank, people.ian, sheet, known_1="missed")
    for closed in (False, True):
        if closed:
            assert as_ian.send(f"/practicals/{sheet}/close").status_code == 303
        for rule in rules(app):
            if "GET" in (rule.methods or set()):
                page = as_tess.get(address(rule), follow_redirects=True).get_data()
                assert b"toe crack" not in page, rule
                assert b"seam" not in page, rule
