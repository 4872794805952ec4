"""A written examination with questions and drills: planned from a scheme, sat, closed; and no key before the close."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from flask import Flask
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import NOW, People, make_class, make_person
from tests.web.test_sittings import right_for, started
from trainer.drills.shelf import Shelf
from trainer.questions.ask import Asked
from trainer.services.examining import paper_items
from trainer.services.practising import questions
from trainer.services.teaching import classes
from trainer.store import Database
from trainer.store.models import Entry, Paper, PaperAnswer, Sitting

FORM = {
    "plan": "small-1", "scheme": "SNT-2016-A1", "title": "General, November", "count": "4", "minutes": "30",
    "pass_mark": "70", "weight-coil": "1", "do": "plan",
}  # fmt: skip


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


def planned(browser: Browser, class_id: int, **changes: str) -> int:
    """Plan a written examination and open it; return its id."""
    reply = browser.send(f"/instructor/classes/{class_id}/examinations/written", FORM | changes)
    assert reply.status_code == 303, reply.get_data(as_text=True)
    number = int(reply.location.rsplit("/", 1)[1])
    assert browser.send(f"/instructor/sittings/{number}/open").status_code == 303
    return number


def asked_of(store: Database, shelf: Shelf, paper: int) -> dict[int, Asked | None]:
    """The questions of a paper by their position; None where a drill stands."""
    with store.reading() as session:
        rows = session.scalars(select(PaperAnswer).where(PaperAnswer.paper_id == paper)).all()
        return {
            row.position: paper_items.question(session, shelf, row) if paper_items.is_question(row) else None
            for row in rows
        }


def text(browser: Browser, path: str) -> str:
    """A page as text."""
    return browser.get(path).get_data(as_text=True)


def test_the_bank_is_seen_at_once(as_ian: Browser, own_class: int) -> None:
    """The scheme's numbers with their place, what the bank has, and what it lacks when more is asked."""
    path = f"/instructor/classes/{own_class}/examinations/written"
    page = text(as_ian, path)
    assert "coil: 39 wanted, 5 to be had" in page.lower()
    assert "ASNT SNT-TC-1A, 2016" in page
    assert "unconfirmed, check your copy" in page
    tried = as_ian.send(path, FORM | {"do": "try"}).get_data(as_text=True)
    assert "The bank can fill these papers: 4 of 6 questions each" in tried
    assert "two share" in tried
    assert 'value="General, November"' in tried
    assert as_ian.get(f"{path}?plan=nothing").status_code == 404
    assert as_ian.get(f"{path}?scheme=nothing").status_code == 404
    assert as_ian.get(f"{path}?scheme=ACCP-II").status_code == 200


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"count": "6"}, "The bank cannot fill this paper: coil: 6 wanted, 5 fit beside the rest"),
        ({"count": "0"}, "A paper has 1 to 60 questions"),
        ({"count": ""}, "Write how many questions"),
        ({"weight-coil": "0"}, "at least one topic"),
        ({"minutes": "1"}, "Minutes are 5 to 480"),
        ({"pass_mark": "0"}, "pass mark is 1 to 100"),
        ({"title": ""}, "Write a title"),
    ],
)
def test_what_cannot_be_planned_is_told(
    as_ian: Browser, own_class: int, store: Database, changes: dict[str, str], says: str
) -> None:
    """A sentence, what was typed stays, and nothing is kept."""
    reply = as_ian.send(f"/instructor/classes/{own_class}/examinations/written", FORM | changes)
    assert (reply.status_code, says in reply.get_data(as_text=True)) == (422, True)
    with store.reading() as session:
        assert session.scalars(select(Sitting)).all() == []


def test_from_plan_to_ledger(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf, people: People
) -> None:
    """Four questions and a drill: letters and numbers kept, scored exactly and by kind, entered as general."""
    sitting = planned(as_ian, own_class, shown="1")
    paper = started(as_tess, store, sitting)
    front = text(as_tess, f"/trainee/papers/{paper}")
    assert "Open book: the card of the shop may lie on the table" in front
    items = asked_of(store, shelf, paper)
    assert sorted(asked is None for asked in items.values()) == [False] * 4 + [True]
    wrong = next(position for position, asked in items.items() if asked)
    for position, asked in items.items():
        right = asked.key if asked else right_for(store, shelf, paper, position)
        answer = (
            next(c.letter for c in asked.choices if not c.right) if asked and position == wrong else right
        )
        assert as_tess.send(f"/trainee/papers/{paper}/{position}", {"answer": answer}).status_code == 303
    kept = text(as_tess, f"/trainee/papers/{paper}/{wrong}")
    assert kept.count('name="answer" value=') == 4
    assert kept.count(" checked") == 1
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303
    page = text(as_tess, f"/trainee/papers/{paper}")
    assert "4 of 5 right: the mark of 70 % is reached" in page
    assert "3 of 4 questions, 1 of 1 drills right" in page
    reasons = text(as_tess, f"/trainee/papers/{paper}/{wrong}/verdict")
    asked = items[wrong]
    assert asked is not None
    assert all(choice.because in reasons for choice in asked.choices)
    with store.reading() as session:
        entry = session.scalars(select(Entry)).one()
        body = (entry.body["part"], entry.body["right"], entry.body["of"], entry.body["paper"])
        assert body == ("general", "4", "5", f"general-{sitting}-{paper}")
    board = text(as_ian, f"/instructor/sittings/{sitting}")
    assert "Questions: coil" in board
    sheet = text(as_ian, f"/instructor/papers/{paper}")
    assert "3 of 4 right" in sheet


def test_papers_of_one_sitting_are_alike(
    as_ian: Browser,
    as_tess: Browser,
    own_class: int,
    store: Database,
    people: People,
    signed_in: Callable[[int], Browser],
) -> None:
    """Two candidates have as many questions of each kind; the page says how much their papers share."""
    with store.writing() as session:
        other = make_person(session, "TV-08", "Theo").id
        classes.add_members(session, people.ian, own_class, [other], NOW)
    sitting = planned(as_ian, own_class, count="3")
    started(as_tess, store, sitting)
    started(signed_in(other), store, sitting)
    page = text(as_ian, f"/instructor/sittings/{sitting}")
    assert "How alike the 2 papers are" in page
    with store.reading() as session:
        held = [set(paper_items.question_ids(one)) for one in session.scalars(select(Paper))]
    assert len(held[0] & held[1]) <= 2, "the least used questions come first"


def test_only_letters_are_kept(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf
) -> None:
    """What is none of the four letters counts as no answer."""
    paper = started(as_tess, store, planned(as_ian, own_class))
    position = next(p for p, asked in asked_of(store, shelf, paper).items() if asked)
    for sent in ("E", "AB", "<b>", "a" * 300):
        as_tess.send(f"/trainee/papers/{paper}/{position}", {"answer": sent})
        with store.reading() as session:
            row = session.scalars(
                select(PaperAnswer).where(PaperAnswer.paper_id == paper, PaperAnswer.position == position)
            ).one()
            assert row.text == ""


def test_what_was_asked_is_hidden_from_practice(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, people: People
) -> None:
    """The candidate's questions are out of practice until the instructor shows the items."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    with store.reading() as session:
        ids = set(paper_items.question_ids(session.get_one(Paper, paper)))
        assert questions.hidden(session, people.tess) == ids
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    as_ian.send(f"/instructor/sittings/{sitting}/close")
    as_ian.send(f"/instructor/sittings/{sitting}/show", {"shown": "1"})
    with store.reading() as session:
        assert questions.hidden(session, people.tess) == frozenset()


def pages_of(app: Flask, paper: int, items: int) -> Iterator[str]:
    """Every address of the program that can be asked for, with the numbers of this paper where it takes some."""
    for rule in app.url_map.iter_rules():
        if "GET" not in (rule.methods or set()) or rule.endpoint == "static":
            continue
        for position in range(1, items + 1) if "position" in rule.arguments else (1,):
            values = {name: paper if name == "paper_id" else 1 for name in rule.arguments} | (
                {"position": position} if "position" in rule.arguments else {}
            )
            built = rule.build(values)
            if built is not None:
                yield str(built[1])


def test_a_candidate_finds_no_key_on_any_page(
    app: Flask, as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf
) -> None:
    """During a sitting and after the hand-in no page gives a candidate a reason, id, edition, seed or verdict."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    items = [asked for asked in asked_of(store, shelf, paper).values() if asked]
    hidden = {str(asked.seed) for asked in items} | {asked.entry.edition[:8] for asked in items}
    hidden |= {asked.entry.id for asked in items}
    hidden |= {choice.because for asked in items for choice in asked.choices}
    seen = 0
    for handed_in in (False, True):
        if handed_in:
            as_tess.send(f"/trainee/papers/{paper}/hand-in")
        for path in pages_of(app, paper, 5):
            reply = as_tess.get(path)
            page = re.sub(r'value="[0-9a-f]{32}"|nonce|csrf[^>]*', "", reply.get_data(as_text=True))
            assert not [one for one in hidden if one in page], path
            seen += reply.status_code == 200
    assert seen > 12


def test_numbers_below_the_scheme_are_told(as_ian: Browser, own_class: int) -> None:
    """Fewer items or a lower mark than the scheme asks for: told when tried and when planned, and not refused."""
    path = f"/instructor/classes/{own_class}/examinations/written"
    short = (
        "This paper has 5 items, and the scheme chosen asks for 40",
        "The pass mark is 60 %, and the scheme",
    )
    tried = as_ian.send(path, FORM | {"do": "try", "pass_mark": "60"}).get_data(as_text=True)
    assert [says in tried for says in short] == [True, True]
    reply = as_ian.send(path, FORM)
    page = text(as_ian, reply.location)
    assert [says in page for says in short] == [True, False]


def test_an_unknown_candidate_is_told_before_the_close(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database
) -> None:
    """The board counts papers whose identity nobody has confirmed, until it is."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    board = f"/instructor/sittings/{sitting}"
    assert "1 paper has no confirmed identity" in text(as_ian, board)
    as_ian.send(f"/instructor/papers/{paper}/identity")
    assert "no confirmed identity" not in text(as_ian, board)
