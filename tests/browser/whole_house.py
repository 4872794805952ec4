"""The demo shop with everything in it that a page can show, and the address of every page in it."""

from __future__ import annotations

import io
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import timedelta
from html import unescape
from urllib.parse import urlencode

from flask import Flask
from sqlalchemy import select
from werkzeug.exceptions import HTTPException, MethodNotAllowed

from tests.conftest import Browser
from tests.entering import entered
from tests.make import NOW, PASSPHRASE, Clock, make_person, make_token
from trainer.app import create_app
from trainer.examinations.plan import Line, Plan
from trainer.formulas.writing import plain_text
from trainer.services.admitting import accounts, joining
from trainer.services.authoring.draft_text import start
from trainer.services.examining import papers, scoring_papers, sittings
from trainer.services.inventing import demo
from trainer.services.overseeing import erasing
from trainer.services.practising import practice
from trainer.settings import Settings
from trainer.store.models import Person
from trainer.web.access import COOKIE, Parts

TESS, ANNA, IAN, EMMA, NOBODY = "TV-07", "TV-01", "TV-00", "TV-90", "nobody"
WALKERS = (TESS, ANNA, IAN, EMMA, NOBODY)
DRILL, FIND = "coil-low-fill-wall", "I"
COIL = {"L": "10 in", "D": "2 in", "N": "5", "Di": "12 in", "find": "I"}
TOPIC = "safety"
CLASS_ID = SET_ID = 1
DOWNLOADS = {
    "drafts.export_draft", "instructor.handout", "instructor.keys_pdf", "instructor.papers_pdf",
    "instructor.question_table", "ledger.evidence_file", "public.take_along", "record.evidence_file",
}  # fmt: skip
"""Pages that are taken along as files."""
A_FEW = 3  # addresses of one page that are opened to look for links
LINK = re.compile(r'<(?:a|iframe)\b[^>]*?(?:href|src)="([^"#]+)')


@dataclass
class House:
    """An application over the filled demo, and who signs in with what."""

    app: Flask
    starts: dict[str, list[str]] = field(default_factory=lambda: {one: ["/"] for one in WALKERS})

    @property
    def parts(self) -> Parts:
        """Store, bank and shelf of the application."""
        parts: Parts = self.app.extensions["trainer"]
        return parts

    def id_of(self, number: str) -> int:
        """The id of the person with a works number."""
        with self.parts.database.reading() as session:
            return session.scalars(select(Person.id).where(Person.works_number == number)).one()

    def token(self, number: str) -> str:
        """A sign-in of the person with a works number."""
        with self.parts.database.writing() as session:
            return make_token(session, self.id_of(number))

    def client(self, number: str) -> Browser:
        """A client signed in as somebody, or as nobody."""
        browser = self.app.test_client()
        assert isinstance(browser, Browser)
        if number != NOBODY:
            browser.set_cookie(COOKIE, self.token(number))
        return browser


def filled(settings: Settings) -> House:
    """An application over an empty store, with the shipped bank and everything that a page can show."""
    app = create_app(settings, clock=Clock())
    app.test_client_class, app.testing = Browser, True
    return fill(app)


def fill(app: Flask) -> House:
    """The demo, and whatever it lacks: one of each thing that a page is about, in each state that has a page."""
    house = House(app)
    list(demo.fill(house.parts.database, house.parts.shelf, NOW))
    _practise(house)
    _sit(house)
    _teach(house)
    _write(house)
    _judge(house)
    _attach(house)
    _sign(house)
    _erase(house)
    return house


def addresses(house: House) -> dict[str, tuple[str, str]]:
    """One address of each page that links lead to, with who opens it there: {endpoint: (works number, address)}."""
    found: dict[str, tuple[str, str]] = {}
    for number in WALKERS:
        for endpoint, address in _walk(house.client(number), house.starts[number], _matcher(house.app)):
            found.setdefault(endpoint, (number, address))
    return found


def _walk(
    browser: Browser, starts: list[str], endpoint_of: Callable[[str], str]
) -> Iterator[tuple[str, str]]:
    coming, seen, opened = list(starts), set(starts), dict[str, int]()
    while coming:
        path = coming.pop(0)
        endpoint = endpoint_of(path.partition("?")[0])
        opened[endpoint] = opened.get(endpoint, 0) + 1
        if not endpoint or endpoint == "static" or opened[endpoint] > A_FEW:
            continue
        reply = browser.get(path)
        yield from [(endpoint, path)] if reply.status_code == 200 else []
        page = reply.get_data(as_text=True) if reply.mimetype == "text/html" else ""
        links = [reply.location or "", *(unescape(link) for link in LINK.findall(page))]
        fresh = [link for link in dict.fromkeys(links) if link.startswith("/") and link not in seen]
        seen.update(fresh)
        coming.extend(fresh)


def _matcher(app: Flask) -> Callable[[str], str]:
    """Say which page an address belongs to; none where only a form is taken there."""
    adapter = app.url_map.bind("localhost")

    def endpoint_of(path: str) -> str:
        try:
            return str(adapter.match(path, "GET")[0])
        except MethodNotAllowed:
            return ""
        except HTTPException as fault:
            raise AssertionError(f"a link leads to {path}: {fault}") from fault

    return endpoint_of


def _send(house: House, number: str, path: str, **data: object) -> str:
    """Send a form as somebody; return where the reply leads, which is walked from then on."""
    reply = house.client(number).send(path, data)
    assert reply.status_code == 303, (path, reply.status_code)
    there = str(reply.location).partition("#")[0]
    house.starts[number].append(there)
    return there


def _practise(house: House) -> None:
    """Let Tess make one slip twice, so that a lesson is due, and begin one of everything that is practised."""
    for seed in (3, 4):
        _slip(house, house.id_of(TESS), seed)
    lesson = _send(house, TESS, "/trainee/practice")
    assert "/lessons/" in lesson
    _send(house, TESS, lesson)
    _send(house, TESS, "/trainee/jobs", job="job-bath-morning")
    asked = _send(house, TESS, "/trainee/questions", topic=TOPIC)
    _send(house, TESS, asked, answer="A")
    _send(house, TESS, "/trainee/questions", topic=TOPIC)
    _send(house, TESS, "/trainee/printed")
    house.starts[TESS].append(f"/work/coil/sheet?{urlencode(COIL)}")


def _slip(house: House, person_id: int, seed: int) -> None:
    shelf = house.parts.shelf
    with house.parts.database.writing() as session:
        line = practice.lines_of(shelf, [(DRILL, FIND)])[0]
        row = practice.offer(session, shelf, person_id, line, "chosen", seed, NOW)
        drawn = shelf.draw(DRILL, row.seed, row.find)
        typed = f"{plain_text(min(drawn.slips).value, 6)} A"
        practice.take(session, shelf, person_id, row.id, typed, None, NOW)
        house.starts[TESS].append(f"/trainee/practice/{row.id}/verdict")


def _sit(house: House) -> None:
    """Hold one examination that is closed and shown, and one that Anna sits."""
    shelf, ian = house.parts.shelf, house.id_of(IAN)
    wanted = Plan((Line(DRILL, None, 1), Line("prod-current-asme", None, 1)), 80, shown=True)
    papers_of: dict[str, tuple[int, int]] = {}
    for number, code in ((TESS, "ABC234"), (ANNA, "DEF234")):
        with house.parts.database.writing() as session:
            made = sittings.plan(session, shelf, ian, CLASS_ID, "Coils", "I", 30, wanted, code, NOW).id
            sittings.open_sitting(session, ian, made, NOW)
            paper = papers.start(session, shelf, house.id_of(number), code, lambda: 7, NOW).id
            papers_of[number] = (made, paper)
            papers.save(session, house.id_of(number), paper, 1, "12 A", False, NOW)
            if number == TESS:
                papers.hand_in(session, house.id_of(number), paper, NOW)
                scoring_papers.close(session, shelf, ian, made, NOW, "point")

    appeal = {"appeal-item": "1", "appeal-says": "The figure gives a range"}
    _send(house, IAN, f"/instructor/papers/{papers_of[TESS][1]}/appeal", **appeal)
    with house.parts.database.writing() as session:
        made = sittings.plan(session, shelf, ian, CLASS_ID, "On paper", "I", 30, wanted, "GHJ234", NOW).id
    _send(house, IAN, f"/instructor/sittings/{made}/on-paper", copies="2")


def _write(house: House) -> None:
    """Let Ian draft an item of his own and write it once more, so that two wordings stand side by side."""
    draft = _send(house, IAN, "/drafts/new/question", do="keep", text=start("question"))
    again = {
        "do": "keep",
        "number": "1",
        "text": start("question").replace("own-question-1", "own-question-2"),
    }
    assert house.client(IAN).send(f"{draft}/write", again).status_code == 303


def _teach(house: House) -> None:
    """Ask the class one question and show what came of it; make a hand-out; look at a drill; hold a join slip."""
    asked = _send(house, IAN, f"/instructor/classes/{CLASS_ID}/ask", ask=DRILL)
    _send(house, IAN, f"{asked}/show")
    _send(house, IAN, f"/instructor/sets/{SET_ID}/handout", copies="2")
    house.starts[IAN].append(f"/instructor/drills/{DRILL}")
    house.starts[NOBODY].append("/join")


def _judge(house: House) -> None:
    """Keep a panel's sheet, so that its page is there."""
    sheet = {"ratings": "80 65\n70 60", "title": "Panel of November", "plan": "", "names": "", "says": ""}
    _send(house, IAN, "/instructor/panel", do="keep", **sheet)


def _attach(house: House) -> None:
    """Let Tess attach a file to an entry of her own, which Emma sees; lead Emma to the form of a practice."""
    browser = house.client(TESS)
    found = re.findall(r'href="(/record/entries/\w+)"', browser.get("/record/ledger").get_data(as_text=True))
    scan = (io.BytesIO(b"%PDF-1.4\n%%EOF\n"), "shift sheet.pdf")
    _send(house, TESS, f"{found[0]}/evidence", file=scan)
    entry = found[0].rsplit("/", 1)[1]
    house.starts[EMMA] += [f"/ledger/entries/{entry}", "/employer/practices/draft?scheme=SNT-2016-A1"]


def _sign(house: House) -> None:
    """Let Emma make a key and export a record that names her, and one that she has signed."""
    browser, tess = house.client(EMMA), house.id_of(TESS)
    _send(house, EMMA, "/signing/key", **{"new-passphrase": PASSPHRASE, "new-again": PASSPHRASE})
    signer = f"{house.id_of(EMMA)} Level III"
    for number in (1, 2):
        reply = browser.send(f"/employer/exports/{tess}", {"form": "credential", "signer": signer})
        assert reply.status_code == 200
        assert browser.get(f"/signing/{number}").status_code == 200
    assert browser.send("/signing/1/sign", {"passphrase": PASSPHRASE}).status_code == 303


def _erase(house: House) -> None:
    """Let somebody who left long ago be erased, and still be named in an entry of Tess's."""
    emma, vera, long_ago = house.id_of(EMMA), house.id_of("TV-91"), NOW - timedelta(days=4020)
    with house.parts.database.writing() as session:
        gone = make_person(session, "TV-66", "Wilf Oxley").id
        entered(session, house.id_of(TESS), emma, "employer", note="together with Wilf Oxley")
        accounts.set_left(session, emma, gone, True, long_ago)
        erasing.ask(session, emma, gone, "asked by letter", 10, NOW)
    with house.parts.database.writing() as session:
        erasing.erase(session, vera, gone, NOW)


def first_address(app: Flask) -> str:
    """Where the first account of an empty house is made."""
    parts: Parts = app.extensions["trainer"]
    with parts.database.writing() as session:
        return f"/first/{joining.first_code(session, NOW)}"
