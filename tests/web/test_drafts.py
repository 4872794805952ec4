"""Own items as pages: written with every check beside them, approved by another, in the bank at once."""

from __future__ import annotations

import io
import re
from collections.abc import Callable

import pytest
from flask import Flask
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import People, make_person
from trainer.services.authoring.draft_text import start
from trainer.services.authoring.item_files import GIVEN
from trainer.store import Database
from trainer.store.models import Link
from trainer.store.models.drafts import KINDS
from trainer.web.access import Parts

TEXT = start("question")
BOMB = "a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n"


@pytest.fixture
def as_eva(store: Database, people: People, signed_in: Callable[[int], Browser]) -> Browser:
    """The browser of Eva, who examines and so may approve what Ian wrote."""
    with store.writing() as session:
        made = make_person(session, "TV-60", "Eva", {"examiner"}).id
    return signed_in(made)


def text(browser: Browser, path: str) -> str:
    """A page that must be there."""
    response = browser.get(path)
    assert response.status_code == 200, path
    return response.get_data(as_text=True)


def begin(browser: Browser, typed: str = TEXT, kind: str = "question") -> str:
    """Keep a draft; return its address."""
    sent = browser.send(f"/drafts/new/{kind}", {"text": typed, "do": "keep"})
    assert sent.status_code == 303
    return str(sent.location)


def bank(app: Flask) -> frozenset[str]:
    """The own items that the running pages have."""
    held: Parts = app.extensions["trainer"]
    return held.bank.private


def test_from_the_first_word_to_the_bank(app: Flask, as_ian: Browser, as_eva: Browser) -> None:
    """Ian writes and puts forward, Eva approves, the running program has it; withdrawn it is gone again."""
    place = begin(as_ian)
    assert "own-question-1: draft" in text(as_ian, place)
    assert as_ian.send(f"{place}/put-forward", {"number": "1"}).status_code == 303
    mine, hers = text(as_ian, place), text(as_eva, place)
    assert ("Approve it for the bank" in mine, "somebody else who examines" in mine) == (False, True)
    assert ("Approve it for the bank" in hers, "1 item waits" in text(as_eva, "/drafts/")) == (True, True)
    assert bank(app) == frozenset()
    assert as_eva.send(f"{place}/approve", {"number": "1"}).status_code == 303
    assert bank(app) == {"own-question-1"}
    assert "own-question-1: approved" in text(as_ian, place)
    assert as_eva.send(f"{place}/withdraw", {"number": "1", "reason": "fact doubted"}).status_code == 303
    assert bank(app) == frozenset()
    assert "fact doubted" in text(as_ian, place)


def test_own_words_cannot_be_approved(app: Flask, as_ian: Browser) -> None:
    """Not by leaving out the page either."""
    place = begin(as_ian)
    as_ian.send(f"{place}/put-forward", {"number": "1"})
    assert as_ian.send(f"{place}/approve", {"number": "1"}).status_code == 403
    assert bank(app) == frozenset()


@pytest.mark.parametrize("kind", KINDS)
def test_a_preview_stands_beside_the_text(people: People, as_ian: Browser, kind: str) -> None:
    """What one begins from has no fault and is shown as it will be met."""
    page = text(as_ian, f"/drafts/new/{kind}")
    shown = {"question": "draws an arc", "drill": "Every find with this draw", "practical": "critical"}
    assert ("No fault" in page, shown[kind] in page) == (True, True)


def test_other_numbers(people: People, as_ian: Browser) -> None:
    """The seed stays while one types, and moves on at a press."""
    page = as_ian.send("/drafts/new/drill", {"text": start("drill"), "seed": "7"}).get_data(as_text=True)
    other = as_ian.send("/drafts/new/drill", {"text": start("drill"), "seed": "7", "do": "other"})
    seeds = [re.search(r'name="seed" value="(\d+)"', one) for one in (page, other.get_data(as_text=True))]
    assert [found[1] for found in seeds if found] == ["7", "8"]


def test_faults_stand_with_their_lines_and_what_was_typed_is_kept(people: People, as_ian: Browser) -> None:
    """Checking keeps nothing; the line, the sentence and the text are on the page, with marks made harmless."""
    typed = TEXT.replace("level: I", "level: <b>IV</b>")
    page = as_ian.send("/drafts/new/question", {"text": typed, "do": "check"}).get_data(as_text=True)
    line = typed[: typed.index("level:")].count("\n") + 1
    assert f'data-line="{line}"' in page
    assert ("<b>IV</b>" in page, page.count("level: &lt;b&gt;IV&lt;/b&gt;")) == (False, 2)
    assert "No own items yet" in text(as_ian, "/drafts/")


def test_the_region_alone_says_the_same(people: People, as_ian: Browser) -> None:
    """What the script fetches is the piece of the page, nothing is kept by it."""
    piece = as_ian.send("/drafts/check/question", {"text": "topic: ["}).get_data(as_text=True)
    assert ("1 fault" in piece, "<html" in piece) == (True, False)
    place = begin(as_ian)
    again = as_ian.send(f"{place}/check", {"text": TEXT}).get_data(as_text=True)
    assert "No fault" in again


@pytest.mark.parametrize("typed", [BOMB, "[" * 5000, "{" * 300, "x" * 70_000, "", "\x01\x02", "- " * 9000])
@pytest.mark.parametrize("kind", KINDS)
def test_hostile_texts_get_a_sentence(people: People, as_ian: Browser, kind: str, typed: str) -> None:
    """Whatever is typed, the page is there with a fault, and so is the region that the script fetches."""
    for path in (f"/drafts/new/{kind}", f"/drafts/check/{kind}"):
        response = as_ian.send(path, {"text": typed})
        assert (response.status_code, "Line 1" in response.get_data(as_text=True)) == (200, True), path


def test_too_long_a_text_is_not_kept(people: People, as_ian: Browser) -> None:
    """The sentence says by how much; what was typed is still there."""
    response = as_ian.send("/drafts/new/question", {"text": "# x\n" * 20_000, "do": "keep"})
    page = response.get_data(as_text=True)
    assert (response.status_code, "shorten it" in page, page.count("# x") > 19_000) == (422, True, True)
    assert "No own items yet" in text(as_ian, "/drafts/")


def test_two_people_at_one_draft(as_ian: Browser, as_eva: Browser) -> None:
    """Who saves second keeps the text on the page and is told; nothing is overwritten."""
    place = begin(as_ian)
    hers, his = TEXT.replace("Omar", "Tess"), TEXT.replace("Omar", "Emma")
    assert as_eva.send(f"{place}/write", {"text": hers, "number": "1", "do": "keep"}).status_code == 303
    second = as_ian.send(f"{place}/write", {"text": his, "number": "1", "do": "keep"})
    page = second.get_data(as_text=True)
    assert (second.status_code, "Revision 2 was written" in page, "Emma has shot" in page) == (
        409,
        True,
        True,
    )
    changes = text(as_ian, f"{place}/changes/2")
    assert ("Tess has shot" in changes, "Omar has shot" in changes) == (True, True)
    assert as_ian.get(f"{place}/changes/1").status_code == 404
    assert as_ian.get(f"{place}/changes/3").status_code == 404


def test_files_in_and_out(people: People, as_ian: Browser) -> None:
    """A draft goes out word for word and comes in again; a faulty file is told by line, and nothing is taken."""
    place = begin(as_ian)
    out = as_ian.get(f"{place}/text")
    assert (out.data.decode(), "attachment" in out.headers["Content-Disposition"]) == (TEXT, True)
    as_ian.send("/drafts/import", {"file": (io.BytesIO(start("drill").encode()), "own.yaml")})
    assert "own-drill-1" in text(as_ian, "/drafts/")
    bad = as_ian.send("/drafts/import", {"file": (io.BytesIO(BOMB.encode()), "bomb.yaml")})
    page = bad.get_data(as_text=True)
    assert (bad.status_code, '<a href="#file">Line 1: ' in page, "Own items, newest first" in page) == (
        422,
        True,
        True,
    )
    assert as_ian.send("/drafts/import").status_code == 422
    assert (
        text(as_ian, "/drafts/").count('href="/drafts/') - text(as_ian, "/drafts/").count("/drafts/new") == 3
    )


@pytest.mark.parametrize(("form", "kind"), [("yaml", "application/yaml"), ("qti", "application/zip")])
def test_a_topic_is_given_away(
    store: Database, people: People, as_ian: Browser, form: str, kind: str
) -> None:
    """As YAML or QTI; who took it is noted once; a topic that is none is not found."""
    found = as_ian.send("/drafts/export", {"topic": "questions/coil", "form": form})
    assert (found.status_code, found.headers["Content-Type"]) == (200, kind)
    assert as_ian.send("/drafts/export", {"topic": "questions/none", "form": form}).status_code == 404
    with store.reading() as session:
        noted = [link.event for link in session.scalars(select(Link)) if link.event["what"] == GIVEN]
    assert [(event["who"], event["about"]) for event in noted] == [(people.ian, "questions/coil")]


def test_another_house_finds_nothing(
    store: Database, as_ian: Browser, signed_in: Callable[[int], Browser]
) -> None:
    """Neither page nor deed, as if there were no such draft."""
    place = begin(as_ian)
    with store.writing() as session:
        una = make_person(session, "HK-60", "Una", {"instructor"}, house="Hook and Chain Works").id
    browser = signed_in(una)
    for path in ("", "/write", "/changes/2", "/text"):
        assert browser.get(place + path).status_code == 404, path
    for path in ("/write", "/check", "/put-forward", "/approve", "/send-back", "/withdraw"):
        assert browser.send(place + path, {"number": "1", "reason": "x"}).status_code == 404, path


@pytest.mark.parametrize("path", ["/drafts/new/scheme", "/drafts/check/scheme"])
def test_a_kind_that_is_none(people: People, as_ian: Browser, path: str) -> None:
    """Only the three kinds are written here."""
    assert as_ian.send(path, {"text": "x"}).status_code == 404


def test_trainees_never_see_a_draft(as_ian: Browser, as_tess: Browser) -> None:
    """A key of an examination stands in it."""
    place = begin(as_ian)
    assert as_tess.get(place).status_code == 403
    assert as_tess.send("/drafts/export", {"topic": "questions/coil"}).status_code == 403
