"""Every cell of role by route: who may open it, who is refused, and what another house finds (nothing)."""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator
from datetime import date

import pytest
from flask import Flask
from sqlalchemy import text
from werkzeug.routing import Rule

from tests.conftest import Browser
from tests.entering import entered, make_level_iii
from tests.examining import make_practical
from tests.files import PDF
from tests.house.test_routes import rules
from tests.make import NOW, People, make_meeting, make_person
from tests.sitting import make_closed
from trainer.drills.shelf import Shelf
from trainer.services.examining import appeals, sittings
from trainer.services.teaching import packs
from trainer.shopwork.pack import Pack as Plate
from trainer.store import Database
from trainer.store.models import ROLES, Person

# Who may open the pages of each blueprint; written here once more, so that a guard opened by mistake is seen.
WHO = {
    "public": {*ROLES, "signed out"},
    "account": {*ROLES},
    "trainee": {"trainee"},
    "record": {"trainee"},
    "instructor": {"instructor"},
    "appeals": {"examiner", "level_iii"},
    "people": {"instructor", "employer"},
    "ledger": {"instructor", "examiner", "level_iii", "employer"},
    "earlier": {"instructor", "examiner", "level_iii", "employer"},
    "employer": {"employer", "level_iii"},
    "practices": {"employer", "level_iii"},
    "drafts": {"instructor", "examiner", "level_iii"},
    "erasures": {"employer", "level_iii"},
    "exports": {"employer"},
    "signing": {"instructor", "examiner", "level_iii", "employer"},
    "issuers": {"employer"},
    "practicals": {"instructor", "examiner", "level_iii"},
    "reference": {*ROLES},
    "shop": {*ROLES},
}
# Acts that these roles may read about, but not do: the service behind the page refuses.
NARROWER = {
    "practices.approve": {"employer"},
    "practices.refuse": {"employer"},  # but for who drafted it
    "ledger.reverse": {"examiner"},  # of experience, which an examiner does not countersign
}
# Numbers that count things of the installation, which no house owns.
OF_NO_HOUSE = {"issuers.introduction"}
# What everybody with the role may open, do or read of about each one of the house; all else is its maker's, its class's
# or its trainee's alone, and not found by a colleague.
OF_THE_HOUSE = {
    "appeals.appeal", "appeals.mark_again",
    "drafts.approve_draft", "drafts.check_revision", "drafts.draft", "drafts.export_draft", "drafts.keep_draft",
    "drafts.put_forward", "drafts.rewrite_draft", "drafts.send_back", "drafts.withdraw_draft",
    "earlier.record_form", "earlier.record_preview", "earlier.take_record",
    "employer.person", "erasures.ask", "erasures.call_off", "erasures.erase",
    "exports.exports", "exports.file", "exports.give_back", "exports.revoke", "exports.suspend", "exports.take_in",
    "instructor.add_sheet", "instructor.change_pack", "instructor.key", "instructor.pack_page", "instructor.panel_kept",
    "instructor.retire_pack",
    "ledger.attach", "ledger.enter", "ledger.enter_form", "ledger.entry", "ledger.evidence_file", "ledger.person",
    "ledger.reverse",
    "people.back", "people.end_sign_ins", "people.gone", "people.person", "people.roles", "people.slip",
    "practicals.retire_specimen", "practicals.specimen",
    "practices.approve", "practices.refuse", "practices.revision",
}  # fmt: skip
# Blueprints of which an instructor reaches nobody but members of their own classes.
OF_OWN_CLASSES = {"ledger", "earlier"}
# Things that the house of these tests has none of: held by tests of their own.
NOT_IN_THE_HOUSE = {
    "drafts.changes_of_draft", "erasures.places", "instructor.handout", "instructor.keys_pdf", "instructor.papers_pdf",
    "instructor.question_statistics_page", "signing.record", "trainee.lesson",
}  # fmt: skip
# Texts in addresses, each with one that is there.
TEXTS = {
    "entry_id": "e1",
    "kind": "training",
    "form": "csv",
    "drill_id": "coil-low-fill-wall",
    "job_id": "job-small-coil",
    "token": "no-such-token",
    "rung": "formula",
    "find": "I",
    "slip": "turns-forgotten",
    "topic": "coil",
    "technique": "coil",
    "checklist_id": "bench-1",
    "position": 1,
    "role": "trainee",
}


@pytest.fixture
def house(
    store: Database, shelf: Shelf, people: People, as_tess: Browser, as_ian: Browser, as_emma: Browser
) -> People:
    """A house with one of everything that has a number, most of it Tess's."""
    with store.writing() as session:
        paper = make_closed(session, shelf, people, part="")
        class_id = paper.sitting.class_id
        appeals.write_down(session, people.ian, paper.id, 1, "The unit was said to be free", NOW)
        assert class_id is not None
        make_meeting(session, people.ian, class_id)
        make_practical(session, shelf.bank, people)
        packs.add(session, people.ian, Plate("Pack A", {"rated": 3600.0, "duty": 0.25, "period": 240.0}), NOW)
        sittings.show_working(session, people.ian, paper.sitting_id, True, NOW)
        entered(session, people.tess, people.tess, "trainee")
        make_level_iii(session)
    as_tess.send("/record/entries/e1/evidence", {"file": (io.BytesIO(PDF), "scan.pdf")})
    as_tess.send("/trainee/practice", {})
    as_tess.send("/trainee/questions", {"topic": "prods"})
    as_tess.send("/trainee/printed")
    as_tess.send("/trainee/jobs", {"job": "job-small-coil", "verdict": "each"})
    sets = {
        "title": "Coils 1",
        "right_needed": "1",
        "drill": ["coil-low-fill-wall"],
        "whom": f"class-{class_id}",
    }
    as_ian.send("/instructor/sets/new", sets)
    as_emma.send(
        f"/employer/exports/{people.tess}", {"form": "credential", "on": date(2026, 11, 25).isoformat()}
    )
    as_ian.send(f"/instructor/classes/{class_id}/ask", {"ask": "coil-low-fill-wall"})
    as_tess.send("/trainee/asked/1")
    draft = {"scheme": "SNT-2020", "revision": "1", "in_force": "2026-11-25"}
    as_emma.send("/employer/practices/draft", draft)
    as_ian.send("/drafts/new/question", {"do": "keep"})
    panel = {"ratings": "80 65\n70 60", "title": "General", "plan": "small-1", "names": "", "says": "ours"}
    as_ian.send("/instructor/panel", panel | {"do": "keep"})
    return people


def address(rule: Rule) -> str:
    """The address of this page for the thing with the number 1."""
    built = rule.build({name: TEXTS.get(name, 1) for name in rule.arguments})
    assert built is not None, rule.rule
    return str(built[1])


def asked(browser: Browser, rule: Rule) -> Iterator[tuple[str, int]]:
    """Every way to ask for a page, with the status of the answer."""
    methods = rule.methods or set()
    if "GET" in methods:
        yield "GET", browser.get(address(rule)).status_code
    if "POST" in methods:
        yield "POST", browser.send(address(rule)).status_code


def owned(rule: Rule) -> bool:
    """Whether a page is about a thing that is somebody's."""
    return bool(rule.arguments - (TEXTS.keys() - {"entry_id"})) and rule.endpoint not in OF_NO_HOUSE


def colleagues_find(role: str, rule: Rule) -> bool:
    """Whether somebody of the house in this role, who made none of what is in it, finds this thing."""
    strange = role == "instructor" and rule.endpoint.split(".")[0] in OF_OWN_CLASSES
    return rule.endpoint in OF_THE_HOUSE and not strange


def ordered(app: Flask) -> list[Rule]:
    """Every page; those that end something (a class, a membership) late, those that end a sign-in last."""
    ending = ("gone", "close", "drop", "remove", "withdraw", "void", "suspend", "revoke")

    def late(rule: Rule) -> int:
        name = rule.endpoint.split(".")[1]
        return 3 if name == "sign_out" else 2 if name.startswith("end") else int(name.startswith(ending))

    return sorted(rules(app), key=late)


def test_every_blueprint_has_its_row(app: Flask) -> None:
    """A blueprint that is added must say here who may open it; an exception must be a page."""
    assert WHO.keys() == app.blueprints.keys()
    assert NARROWER.keys() | OF_NO_HOUSE | OF_THE_HOUSE | NOT_IN_THE_HOUSE <= app.view_functions.keys()


@pytest.mark.parametrize("role", [*ROLES, "signed out", "left"])
def test_every_cell(
    app: Flask,
    store: Database,
    house: People,
    nobody: Browser,
    signed_in: Callable[[int], Browser],
    role: str,
) -> None:
    """Whom the table names is never refused (the form may be at fault); everybody else always is.

    What is a colleague's is not found: the class, examination or set of another instructor, the paper of another trainee.
    Whoever has left is signed out on the browser that still holds the sign-in, whatever they were.
    """
    browser = nobody
    if role != "signed out":
        with store.writing() as session:
            one = make_person(session, "TV-77", "Somebody of the house", {role} & {*ROLES} or {*ROLES}).id
        browser = signed_in(one)
    if role == "left":
        with store.writing() as session:
            session.get_one(Person, one).left_at = NOW
        role = "signed out"
    for rule in ordered(app):
        allowed = WHO[rule.endpoint.split(".")[0]] - NARROWER.get(rule.endpoint, set())
        for method, status in asked(browser, rule):
            cell = (role, method, rule.rule, status)
            assert status < 500, cell
            if role in allowed:
                assert status not in {401, 403, 405}, cell
                assert status == 404 or not owned(rule) or colleagues_find(role, rule), cell
            elif role == "signed out":
                assert status == (401 if method == "POST" else 303), cell
            else:
                assert status == 403, cell


def test_the_house_holds_one_of_everything(store: Database, house: People) -> None:
    """The next test asks for things that are there: each table with a number 1 has its row."""
    tables = (
        "taught_class", "meeting", "drill_set", "assignment", "exercise", "job_sheet", "sitting", "paper",
        "entry", "evidence_file", "export", "practice_revision", "class_question", "draft", "appeal", "pack", "panel",
        "practical_sheet", "specimen", "printed_sheet", "question_sheet",
    )  # fmt: skip
    with store.reading() as session:
        empty = [
            name for name in tables if not session.execute(text(f"SELECT count(*) FROM {name}")).scalar()
        ]
    assert empty == []


def test_somebody_of_the_house_finds_each_thing(
    app: Flask, store: Database, house: People, signed_in: Callable[[int], Browser]
) -> None:
    """A page that nobody at all is shown would be not found by strangers too, whoever guarded it."""
    with store.writing() as session:
        others = [make_person(session, f"TV-8{at}", role, {role}).id for at, role in enumerate(ROLES)]
    browsers = [signed_in(one) for one in (house.tess, house.ian, house.emma, *others)]
    unseen = {
        rule.endpoint
        for rule in ordered(app)
        if owned(rule) and "GET" in (rule.methods or set())
        and not {browser.get(address(rule)).status_code for browser in browsers} & {200, 303}
    }  # fmt: skip
    assert unseen == NOT_IN_THE_HOUSE


def test_another_house_finds_nothing(
    app: Flask, store: Database, house: People, signed_in: Callable[[int], Browser]
) -> None:
    """Somebody of another house who holds every role gets 404 for each thing with a number or an entry's name."""
    with store.writing() as session:
        stranger = make_person(session, "HK-99", "Stranger", set(ROLES), house="Hook and Chain Works").id
    browser = signed_in(stranger)
    for rule in ordered(app):
        if not owned(rule):
            continue
        for method, status in asked(browser, rule):
            assert status == 404, (method, rule.rule, status)
