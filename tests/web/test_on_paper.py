"""An examination on paper: printed without a key, keys apart, marks typed twice, then the same score and entry."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import NOW, People, make_class, make_person
from tests.web.test_sittings import planned, started
from tests.web.test_written import planned as planned_written
from trainer.drills.marking import written
from trainer.drills.shelf import Shelf
from trainer.services.examining import paper_items, printed_papers
from trainer.services.teaching import classes
from trainer.store import Database
from trainer.store.models import Entry, Paper, PaperAnswer, PrintedPaper, TypedMarks


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it, and Ada with the works number TV-11."""
    with store.writing() as session:
        ada = make_person(session, "TV-11", "Ada").id
        taught = make_class(session, people.ian, people.tess).id
        classes.add_members(session, people.ian, taught, [ada], NOW)
        return taught


def text_of(browser: Browser, path: str) -> str:
    """All text of a PDF."""
    reply = browser.get(path)
    assert reply.status_code == 200, reply.get_data(as_text=True)
    return "\n".join(page.extract_text() for page in PdfReader(io.BytesIO(reply.data)).pages)


def keys(store: Database, shelf: Shelf, number: int) -> str:
    """The right sign of every item of a printed paper."""
    with store.reading() as session:
        row = session.scalars(select(PrintedPaper).where(PrintedPaper.number == number)).one()
        items = printed_papers.items_of(session, row)
        return "".join(
            paper_items.question(session, shelf, one).key if paper_items.is_question(one) else "R"
            for one in items
        )


def type_in(browser: Browser, sitting: int, turn: int, marks: str) -> str:
    """Type marks in a turn; return the page that follows."""
    reply = browser.send(
        f"/instructor/sittings/{sitting}/on-paper/marks", {"turn": str(turn), "marks": marks}
    )
    assert reply.status_code == 303, reply.get_data(as_text=True)
    return browser.get(reply.location).get_data(as_text=True)


def test_from_printing_to_the_ledger(
    as_ian: Browser, own_class: int, store: Database, shelf: Shelf, people: People
) -> None:
    """Two written papers typed twice: a difference is shown and mended, both are scored and entered at the close."""
    sitting = planned_written(as_ian, own_class)
    here = f"/instructor/sittings/{sitting}/on-paper"
    assert as_ian.send(here, {"copies": "2"}).status_code == 303
    right = keys(store, shelf, 1)
    other = "-" * len(right)
    type_in(as_ian, sitting, 1, f"1 TV-07 {right}\n2 TV-11 {other}")
    slipped = "-" + right[1:]
    page = type_in(as_ian, sitting, 2, f"1 tv-07 {slipped}\n2 TV-11 {other}")
    assert "1 paper differs between the two typings" in page
    assert f"item 1: {right[0]} at first, then -" in page
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 409
    assert "taken: TV-07 Tess" in type_in(as_ian, sitting, 2, f"1 TV-07 {right}")
    board = as_ian.get(f"/instructor/sittings/{sitting}").get_data(as_text=True)
    assert "marks of paper 1 taken" in board
    assert "0 writing, 2 done" in board
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303
    with store.reading() as session:
        found = {p.person_id: p.score for p in session.scalars(select(Paper))}
        bodies = {e.person_id: (e.body["right"], e.body["of"]) for e in session.scalars(select(Entry))}
    of = len(right)
    assert found[people.tess] == {"right": of, "of": of, "mark": 70}
    assert bodies[people.tess] == (str(of), str(of))
    assert sorted(right for right, _ in bodies.values()) == sorted(["0", str(of)])


def test_no_key_stands_on_a_paper(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf
) -> None:
    """The papers carry number and figures but no answer; the keys' file has grid and answers; both are Ian's alone."""
    sitting = planned(as_ian, own_class)
    as_ian.send(f"/instructor/sittings/{sitting}/on-paper", {"copies": "3"})
    with store.reading() as session:
        row = session.scalars(select(PrintedPaper).where(PrintedPaper.number == 2)).one()
        mould, drawn = paper_items.exercise(session, shelf, printed_papers.items_of(session, row)[0])
    answer = written(mould, drawn.answer)
    papers = text_of(as_ian, f"/instructor/sittings/{sitting}/papers-1-3.pdf")
    behind = text_of(as_ian, f"/instructor/sittings/{sitting}/keys-1-3.pdf")
    assert (answer in papers, "paper 2 of specific" in papers or "paper 2 of drill" in papers) == (
        False,
        True,
    )
    assert (answer in behind, "Marking grid" in behind, "key of paper 2" in behind) == (True, True, True)
    assert as_tess.get(f"/instructor/sittings/{sitting}/papers-1-3.pdf").status_code == 403
    assert as_ian.get(f"/instructor/sittings/{sitting}/papers-4-9.pdf").status_code == 404
    assert as_ian.get(f"/instructor/sittings/{sitting}/keys-3-1.pdf").status_code == 404


def test_every_paper_has_numbers_of_its_own(as_ian: Browser, own_class: int, store: Database) -> None:
    """No two printed papers share a drawn exercise, over two printings whose numbers go on."""
    sitting = planned(as_ian, own_class)
    for copies in ("2", "1"):
        as_ian.send(f"/instructor/sittings/{sitting}/on-paper", {"copies": copies})
    with store.reading() as session:
        rows = session.scalars(select(PrintedPaper).order_by(PrintedPaper.number)).all()
    seeds = [kept["seed"] for row in rows for kept in row.items["items"]]
    assert [row.number for row in rows] == [1, 2, 3]
    assert len(set(seeds)) == len(seeds)


@pytest.mark.parametrize(
    ("marks", "says"),
    [
        ("1 TV-07 R", "2 items, here are 1 signs"),
        ("1 TV-99 RW", "nobody in this class has the works number TV-99"),
        ("1 TV-07 RW\n2 TV-07 RR", "Papers 1 and 2 both name TV-07"),
        ("<b>9</b> TV-07 RW", "Line 1: begins with the number"),
        ("", "Type a line for each paper"),
    ],
)
def test_lines_that_cannot_be_taken(
    as_ian: Browser, own_class: int, store: Database, marks: str, says: str
) -> None:
    """The sentence stands at the field, what was typed is kept, and no line is."""
    sitting = planned(as_ian, own_class)
    as_ian.send(f"/instructor/sittings/{sitting}/on-paper", {"copies": "2"})
    reply = as_ian.send(f"/instructor/sittings/{sitting}/on-paper/marks", {"turn": "1", "marks": marks})
    page = reply.get_data(as_text=True)
    assert (reply.status_code, says in page, "<b>9" in page) == (422, True, False)
    with store.reading() as session:
        assert session.scalars(select(TypedMarks)).all() == []


def test_who_sat_at_a_screen_has_no_second_paper(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database
) -> None:
    """A candidate with a paper already is refused; a line taken back lets the close go on."""
    sitting = planned(as_ian, own_class)
    as_ian.send(f"/instructor/sittings/{sitting}/on-paper", {"copies": "1"})
    type_in(as_ian, sitting, 1, "1 TV-07 RW")
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    again = as_ian.send(
        f"/instructor/sittings/{sitting}/on-paper/marks", {"turn": "2", "marks": "1 TV-07 RW"}
    )
    assert (again.status_code, "has a paper of this examination" in again.get_data(as_text=True)) == (
        422,
        True,
    )
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 409
    type_in(as_ian, sitting, 1, "1 -")
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303


def test_what_was_judged_by_hand_is_told_afterwards(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database
) -> None:
    """A drill judged on paper counts as judged, and its page shows the working without marking a text anew."""
    sitting = planned(as_ian, own_class, shown="1")
    as_ian.send(f"/instructor/sittings/{sitting}/on-paper", {"copies": "1"})
    for turn in (1, 2):
        type_in(as_ian, sitting, turn, "1 TV-07 RW")
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303
    with store.reading() as session:
        assert session.scalars(select(PaperAnswer.verdict).order_by(PaperAnswer.position)).all() == [
            "right", "wrong",
        ]  # fmt: skip
        paper = session.scalars(select(Paper.id)).one()
    assert "1 of 2 right" in as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    page = as_tess.get(f"/trainee/papers/{paper}/2/verdict").get_data(as_text=True)
    assert "Judged not right, on paper" in page
    assert "The working" in page


@pytest.mark.parametrize("copies", ["", "0", "41", "²", "-1"])
def test_a_count_that_is_none(as_ian: Browser, own_class: int, store: Database, copies: str) -> None:
    """The sentence stands at the field and nothing is drawn."""
    sitting = planned(as_ian, own_class)
    reply = as_ian.send(f"/instructor/sittings/{sitting}/on-paper", {"copies": copies})
    assert (reply.status_code, "1 to 40 at once" in reply.get_data(as_text=True)) == (422, True)
    with store.reading() as session:
        assert session.scalars(select(PrintedPaper)).all() == []
