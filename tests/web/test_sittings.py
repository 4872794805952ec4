"""A drill examination from plan to score, and what a candidate may not see or do."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from datetime import timedelta

import pytest
from flask import Flask
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import NOW, Clock, People, make_class, make_person
from tests.web.test_practice import begin
from trainer.drills.shelf import Shelf
from trainer.errors import Refused
from trainer.formulas.writing import number as written
from trainer.services.keeping import audit
from trainer.services.qualifying import ledger
from trainer.services.teaching import classes
from trainer.store import Database
from trainer.store.models import Entry, Paper, PaperAnswer, PersonRole, Sitting

COIL, PROD = "coil-low-fill-wall", "prod-current-asme"
PLAN = {
    "title": "Coils", "level": "I", "minutes": "30", "pass_mark": "50", "part": "specific",
    "drill": [COIL, PROD], f"count-{COIL}": "1", f"count-{PROD}": "1",
}  # fmt: skip


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


def planned(browser: Browser, class_id: int, **changes: object) -> int:
    """Plan an examination and open it; return its id."""
    reply = browser.send(f"/instructor/classes/{class_id}/examinations", PLAN | changes)
    assert reply.status_code == 303, reply.get_data(as_text=True)
    number = int(reply.location.rsplit("/", 1)[1])
    assert browser.send(f"/instructor/sittings/{number}/open").status_code == 303
    return number


def started(browser: Browser, store: Database, sitting_id: int) -> int:
    """Start the paper with the code; return its id."""
    with store.reading() as session:
        code = session.scalars(select(Sitting.code).where(Sitting.id == sitting_id)).one()
    reply = browser.send("/trainee/examination", {"code": code.lower()})
    assert reply.status_code == 303, reply.get_data(as_text=True)
    return int(reply.location.rsplit("/", 1)[1])


def right_for(store: Database, shelf: Shelf, paper_id: int, position: int) -> str:
    """What is right on one item."""
    with store.reading() as session:
        row = session.scalars(
            select(PaperAnswer).where(PaperAnswer.paper_id == paper_id, PaperAnswer.position == position)
        ).one()
        kept = dict(row.exercise)
    drawn = shelf.draw(kept["drill"], kept["seed"], kept["find"])
    unit = shelf.mould(kept["drill"], kept["find"]).read.drill.quantities[kept["find"]].unit
    return f"{drawn.answer:.6g} {'' if unit == '1' else unit}"


def test_from_plan_to_ledger(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf, people: People
) -> None:
    """Planned, opened, sat, handed in, closed: the score is exact and waits in the ledger."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    assert 'id="answer" name="answer"' in as_tess.get(f"/trainee/papers/{paper}/1").get_data(as_text=True)
    first = as_tess.send(
        f"/trainee/papers/{paper}/1", {"answer": right_for(store, shelf, paper, 1), "flag": "1"}
    )
    assert first.location.endswith(f"/papers/{paper}/2")
    as_tess.send(f"/trainee/papers/{paper}/2", {"answer": "1 A"})
    assert "look again" in as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 409
    for _ in range(2):
        assert as_tess.send(f"/trainee/papers/{paper}/hand-in").status_code == 303
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303
    page = as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    assert "1 of 2 right: the mark of 50 % is reached" in page
    with store.reading() as session:
        entry = session.scalars(select(Entry)).one()
        assert (entry.person_id, entry.kind, entry.body["right"], entry.body["of"]) == (
            people.tess,
            "examination",
            "1",
            "2",
        )
        assert audit.recent(session)[0].event["what"] == "examination closed"
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 409


def test_no_key_before_the_close(
    as_ian: Browser,
    as_tess: Browser,
    own_class: int,
    store: Database,
    shelf: Shelf,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """No page of a running or handed-in paper holds an answer, a limit, a seed, an edition or a verdict.

    Of one seed: of any other a limit may be the seconds of its clock by chance.
    """
    monkeypatch.setattr(secrets, "randbelow", lambda _below: 100_000_007)
    sitting = planned(as_ian, own_class, drill=["coil-low-fill-wall"])
    paper = started(as_tess, store, sitting)
    with store.reading() as session:
        kept = dict(session.scalars(select(PaperAnswer.exercise)).one())
    drawn = shelf.draw(kept["drill"], kept["seed"], kept["find"])
    pages = [as_tess.get(f"/trainee/papers/{paper}/1"), as_tess.get(f"/trainee/papers/{paper}")]
    as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "77 A"})
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    pages.append(as_tess.get(f"/trainee/papers/{paper}"))
    hidden = [written(v) for v in (drawn.answer, drawn.accepted.low, drawn.accepted.high)]
    hidden += [str(kept["seed"]), kept["edition"][:8], "wrong", "turns were left out"]
    for page in pages:
        text = re.sub(r'value="[0-9a-f]{32}"|nonce|csrf[^>]*', "", page.get_data(as_text=True))
        assert not [one for one in hidden if one in text]


def test_time_is_the_servers(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf, clock: Clock
) -> None:
    """After the deadline nothing is taken and it is told; extra minutes with a reason open it again; kept answers count."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/1", {"answer": right_for(store, shelf, paper, 1)})
    assert (
        as_ian.send(f"/instructor/papers/{paper}/time", {"minutes": "5", "reason": "power cut"}).status_code
        == 303
    )
    clock.now += timedelta(minutes=34)
    assert as_tess.send(f"/trainee/papers/{paper}/2", {"answer": "1 A"}).status_code == 303
    clock.now += timedelta(minutes=2)
    late = as_tess.send(f"/trainee/papers/{paper}/2", {"answer": "2 A"})
    assert late.status_code == 422
    assert "Time is over" in late.get_data(as_text=True)
    assert "Time is over" in as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    clock.now -= timedelta(minutes=20)
    assert as_tess.send(f"/trainee/papers/{paper}/2", {"answer": "3 A"}).status_code == 422
    clock.now += timedelta(minutes=20)
    assert as_tess.get(f"/trainee/papers/{paper}/2").status_code == 303
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303
    with store.reading() as session:
        found = session.get(Paper, paper)
        assert found is not None
        assert found.score == {"right": 1, "of": 2, "mark": 50}
        assert [a.text for a in found.answers][1] == "1 A"


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"title": ""}, "Write a title"),
        ({"minutes": "-5"}, "Minutes are 5 to 480"),
        ({"pass_mark": "101"}, "pass mark is 1 to 100"),
        ({f"count-{COIL}": "99"}, "how many: 1 to 10"),
        ({f"count-{COIL}": "²"}, "how many: 1 to 10"),
        ({"drill": []}, "Tick at least one drill"),
        ({"level": "IV"}, "The level is I or II"),
        ({"part": "practical"}, "general or the specific"),
    ],
)
def test_what_cannot_be_planned_is_told(
    as_ian: Browser, own_class: int, store: Database, changes: dict[str, object], says: str
) -> None:
    """A sentence, and nothing is kept."""
    reply = as_ian.send(f"/instructor/classes/{own_class}/examinations", PLAN | changes)
    assert reply.status_code == 422
    assert says in reply.get_data(as_text=True)
    with store.reading() as session:
        assert session.scalars(select(Sitting)).all() == []


def test_void_is_not_scored(as_ian: Browser, as_tess: Browser, own_class: int, store: Database) -> None:
    """A void examination takes no answers and scores nothing; the reason is asked for."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    assert as_ian.send(f"/instructor/sittings/{sitting}/void", {"reason": ""}).status_code == 422
    assert as_ian.send(f"/instructor/sittings/{sitting}/void", {"reason": "fire alarm"}).status_code == 303
    assert as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"}).status_code == 422
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 409
    with store.reading() as session:
        assert session.scalars(select(Entry)).all() == []


def test_not_yours(
    as_ian: Browser, as_tess: Browser, as_omar: Browser, own_class: int, store: Database
) -> None:
    """Another's paper or class is not found; a wrong code opens nothing; roles and methods are kept apart."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    for path in (
        f"/trainee/papers/{paper}",
        f"/trainee/papers/{paper}/1",
        f"/trainee/papers/{paper}/1/verdict",
    ):
        assert as_omar.get(path).status_code == 404
        assert as_ian.get(path).status_code == 403
    assert as_omar.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"}).status_code == 404
    assert as_omar.send(f"/trainee/papers/{paper}/hand-in").status_code == 404
    with store.reading() as session:
        code = session.scalars(select(Sitting.code)).one()
    for typed in (code, "WRONG1", ""):
        assert as_omar.send("/trainee/examination", {"code": typed}).status_code == 422
    assert as_tess.get(f"/instructor/sittings/{sitting}").status_code == 403
    assert as_tess.get(f"/trainee/papers/{paper}/99").status_code == 404
    assert as_tess.get(f"/trainee/papers/{paper}/hand-in").status_code == 405
    assert as_ian.get("/instructor/sittings/999").status_code == 404
    assert as_ian.get(f"/instructor/sittings/{sitting}").status_code == 200
    assert as_ian.send("/instructor/papers/999/time", {"minutes": "5", "reason": "x y"}).status_code == 404


def test_a_pause_gives_its_time_back(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, clock: Clock
) -> None:
    """In a pause nothing is taken and it is told; afterwards everybody has as long as before it."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    clock.now += timedelta(minutes=20)
    assert as_tess.send(f"/instructor/sittings/{sitting}/pause").status_code == 403
    assert as_ian.send(f"/instructor/sittings/{sitting}/pause").status_code == 303
    clock.now += timedelta(minutes=45)
    told = as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"})
    assert (told.status_code, "paused" in told.get_data(as_text=True)) == (503, True)
    assert "Paused: your time stands still" in as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    assert "Go on" in as_ian.get(f"/instructor/sittings/{sitting}").get_data(as_text=True)
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 409
    assert as_ian.send(f"/instructor/sittings/{sitting}/resume").status_code == 303
    clock.now += timedelta(minutes=9)
    assert as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"}).status_code == 303
    clock.now += timedelta(minutes=1)
    assert as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "2 A"}).status_code == 422
    assert as_ian.send(f"/instructor/sittings/{sitting}/resume").status_code == 409


def test_two_windows_of_one_paper(as_ian: Browser, as_tess: Browser, own_class: int, store: Database) -> None:
    """A window made before another one wrote is told what is kept; pressed again it replaces it."""
    paper = started(as_tess, store, planned(as_ian, own_class))
    here = f"/trainee/papers/{paper}/1"
    first, second = (hidden(as_tess.get(here).get_data(as_text=True)) for _ in range(2))
    assert as_tess.send(here, {"answer": "10 A", **first}).status_code == 303
    assert as_tess.send(here, {"answer": "11 A", **first}).status_code == 303
    told = as_tess.send(here, {"answer": "20 A", **second})
    page = told.get_data(as_text=True)
    assert (told.status_code, "has kept “11 A”" in page, 'value="20 A"' in page) == (422, True, True)
    assert texts(store) == ["11 A", ""]
    assert as_tess.send(here, {"answer": "20 A", **hidden(page)}).status_code == 303
    assert as_tess.send(here, {"answer": "11 A", **first}).status_code == 422
    assert texts(store) == ["20 A", ""]


def test_every_press_keeps(as_ian: Browser, as_tess: Browser, own_class: int, store: Database) -> None:
    """A number leads to its item, anything strange to the review; typing is kept without leaving the page."""
    paper = started(as_tess, store, planned(as_ian, own_class))
    here = f"/trainee/papers/{paper}/1"
    for go, place in (("2", "/2"), ("1", "/1"), ("", "/2"), ("all", ""), ("99", ""), ("-1", ""), ("²", "")):
        reply = as_tess.send(here, {"answer": f"{len(go)} A", "go": go})
        assert reply.location == f"/trainee/papers/{paper}{place}"
    typing = as_tess.send(here, {"answer": "42 A"}, headers={"X-Keep": "1"})
    assert (typing.status_code, typing.get_data()) == (204, b"")
    assert texts(store) == ["42 A", ""]
    as_tess.send(here, {"answer": "9" * 5000})
    assert texts(store)[0] == "9" * 200


def test_practice_is_closed_while_a_paper_is_sat(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database
) -> None:
    """Practice pages lead to the paper until it is handed in, also in a pause; then they are open again."""
    before = begin(as_tess, drill=COIL)
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    for path in ("/trainee/", "/trainee/drills", f"/trainee/practice/{before}", "/reference/words", "/work/"):
        reply = as_tess.get(path)
        assert (reply.status_code, reply.location) == (303, f"/trainee/papers/{paper}")
    assert as_tess.send("/trainee/practice", {"drill": COIL}).location == f"/trainee/papers/{paper}"
    assert as_tess.send(f"/trainee/practice/{before}/working").location == f"/trainee/papers/{paper}"
    as_ian.send(f"/instructor/sittings/{sitting}/pause")
    assert as_tess.get("/trainee/drills").status_code == 303
    as_ian.send(f"/instructor/sittings/{sitting}/resume")
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    assert as_tess.get("/trainee/drills").status_code == 200
    assert as_tess.get("/work/").status_code == 200


def test_who_teaches_and_sits_a_paper_sees_no_key(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, people: People
) -> None:
    """A candidate who is an instructor elsewhere comes neither to workings of drills nor to own items with their keys."""
    with store.writing() as session:
        for role in ("instructor", "examiner"):
            session.add(
                PersonRole(person_id=people.tess, role=role, granted_by_id=people.emma, granted_at=NOW)
            )
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    for path in (f"/instructor/drills/{COIL}", "/instructor/bank", "/drafts/", "/drafts/new/question"):
        reply = as_tess.get(path)
        assert (reply.status_code, reply.location) == (303, f"/trainee/papers/{paper}"), path
    assert as_tess.send("/drafts/export", {"topic": "questions/coil"}).location == f"/trainee/papers/{paper}"
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    assert as_tess.get(f"/instructor/drills/{COIL}").status_code == 200


def test_working_is_shown_only_if_the_instructor_says_so(
    as_ian: Browser, as_tess: Browser, as_omar: Browser, own_class: int, store: Database
) -> None:
    """After the close the score alone; verdict and working once the instructor shows them."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"})
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    verdict = f"/trainee/papers/{paper}/1/verdict"
    assert as_tess.get(verdict).status_code == 404
    as_ian.send(f"/instructor/sittings/{sitting}/show", {"shown": "1"})
    assert as_tess.get(verdict).status_code == 404
    as_ian.send(f"/instructor/sittings/{sitting}/show", {"shown": "0"})
    as_ian.send(f"/instructor/sittings/{sitting}/close")
    assert "not right" not in as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    assert as_tess.get(verdict).status_code == 404
    as_ian.send(f"/instructor/sittings/{sitting}/show", {"shown": "1"})
    assert "not right" in as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    assert "The working" in as_tess.get(verdict).get_data(as_text=True)
    assert as_omar.get(verdict).status_code == 404
    assert "Not answered" in as_tess.get(f"/trainee/papers/{paper}/2/verdict").get_data(as_text=True)
    assert "not answered" in as_ian.get(f"/instructor/papers/{paper}").get_data(as_text=True)
    board = as_ian.get(f"/instructor/sittings/{sitting}").get_data(as_text=True)
    assert board.split("How each drill went")[1].count("0 of 1") == 2


def test_a_power_cut_is_made_good(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, clock: Clock
) -> None:
    """Extra time opens a paper again that only its deadline handed in; too little of it, or a hand-in, does not."""
    paper = started(as_tess, store, planned(as_ian, own_class))
    clock.now += timedelta(minutes=40)
    assert "time over" in as_ian.get("/instructor/sittings/1").get_data(as_text=True)
    little = as_ian.send(f"/instructor/papers/{paper}/time", {"minutes": "5", "reason": "power cut"})
    assert (little.status_code, "over 11 minutes ago" in little.get_data(as_text=True)) == (422, True)
    for bad in ({"minutes": "900", "reason": "power cut"}, {"minutes": "20", "reason": ""}):
        assert as_ian.send(f"/instructor/papers/{paper}/time", bad).status_code == 422
    assert (
        as_ian.send(f"/instructor/papers/{paper}/time", {"minutes": "20", "reason": "cut"}).status_code == 303
    )
    assert "20 of them extra" in as_ian.get("/instructor/sittings/1").get_data(as_text=True)
    assert as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"}).status_code == 303
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    assert (
        as_ian.send(f"/instructor/papers/{paper}/time", {"minutes": "20", "reason": "cut"}).status_code == 422
    )


def test_one_paper_is_void_and_the_others_count(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, people: People,
    signed_in: Callable[[int], Browser],
) -> None:  # fmt: skip
    """A void paper takes nothing more, is told to its candidate, and neither scored nor entered."""
    with store.writing() as session:
        ada = make_person(session, "TV-11", "Ada").id
        classes.add_members(session, people.ian, own_class, [ada], NOW)
    as_ada, sitting = signed_in(ada), planned(as_ian, own_class)
    hers, tess = started(as_ada, store, sitting), started(as_tess, store, sitting)
    assert as_ian.send(f"/instructor/papers/{hers}/void", {"void-reason": ""}).status_code == 422
    assert as_ian.send(f"/instructor/papers/{hers}/void", {"void-reason": "copied"}).status_code == 303
    assert as_ian.send(f"/instructor/papers/{hers}/void", {"void-reason": "copied"}).status_code == 422
    assert as_ada.send(f"/trainee/papers/{hers}/1", {"answer": "1 A"}).status_code == 422
    assert "Declared void" in as_ada.get(f"/trainee/papers/{hers}").get_data(as_text=True)
    as_tess.send(f"/trainee/papers/{tess}/hand-in")
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303
    with store.reading() as session:
        assert session.scalars(select(Entry.person_id)).all() == [people.tess]
        assert session.get_one(Paper, hers).score is None


def test_what_the_ledger_refuses_keeps_nobody_from_a_score(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The paper is marked, the refusal is told, and the score is entered once the cause is mended."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    with monkeypatch.context() as patch:
        patch.setattr(ledger, "enter", refuse)
        assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303
    assert "not entered" in as_ian.get(f"/instructor/sittings/{sitting}").get_data(as_text=True)
    assert "The ledger is shut" in as_ian.get(f"/instructor/papers/{paper}").get_data(as_text=True)
    assert "0 of 2 right" in as_tess.get(f"/trainee/papers/{paper}").get_data(as_text=True)
    assert as_ian.send(f"/instructor/papers/{paper}/enter").status_code == 303
    assert as_ian.send(f"/instructor/papers/{paper}/enter").status_code == 409
    with store.reading() as session:
        assert len(session.scalars(select(Entry)).all()) == 1


def test_a_crash_at_the_close_leaves_nothing_half_done(
    as_ian: Browser,
    as_tess: Browser,
    own_class: int,
    store: Database,
    app: Flask,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """If the program dies while it marks, no paper is marked and the close can be pressed again."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    app.testing = False
    with monkeypatch.context() as patch:
        patch.setattr(ledger, "enter", break_down)
        assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 500
    with store.reading() as session:
        assert session.get_one(Paper, paper).score is None
        assert session.scalars(select(PaperAnswer.verdict)).all() == [None, None]
        assert session.get_one(Sitting, sitting).state == "open"
    assert as_ian.send(f"/instructor/sittings/{sitting}/close").status_code == 303


def test_everybody_is_asked_the_same_with_other_numbers(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, people: People,
    signed_in: Callable[[int], Browser],
) -> None:  # fmt: skip
    """Two papers have the same drills and unknowns in the same order, and no item with the same numbers."""
    with store.writing() as session:
        ada = make_person(session, "TV-11", "Ada").id
        classes.add_members(session, people.ian, own_class, [ada], NOW)
    counts = {f"count-{COIL}": "3", f"find-{PROD}": "I"}
    sitting = planned(as_ian, own_class, **counts)
    ids = [started(browser, store, sitting) for browser in (as_tess, signed_in(ada))]
    with store.reading() as session:
        one, two = ([a.exercise for a in session.get_one(Paper, number).answers] for number in ids)
    assert [(a["drill"], a["find"]) for a in one] == [(b["drill"], b["find"]) for b in two]
    assert len({a["find"] for a in one[:3]}) > 1
    assert all(a["seed"] != b["seed"] for a, b in zip(one, two, strict=True))


def test_the_invigilator_sees_who_is_missing(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, clock: Clock
) -> None:
    """Who has not started is named, then who has gone quiet; the region alone comes for the refresh."""
    sitting = planned(as_ian, own_class)
    page = f"/instructor/sittings/{sitting}"
    assert "Not here yet: TV-07 Tess" in as_ian.get(page).get_data(as_text=True)
    started(as_tess, store, sitting)
    clock.now += timedelta(minutes=8)
    region = as_ian.get(page, headers={"X-Fragment": "1"}).get_data(as_text=True)
    assert ("nothing kept for 8 min" in region, "22 min left" in region, "<html" in region) == (
        True,
        True,
        False,
    )


def refuse(*_: object, **_more: object) -> None:
    """A ledger that takes nothing."""
    raise Refused("The ledger is shut. Try again tomorrow.")


def break_down(*_: object) -> None:
    """A program that dies."""
    raise RuntimeError("power cut")


def hidden(page: str) -> dict[str, str]:
    """The page's name and the name of the page that wrote before it."""
    found = dict(re.findall(r'name="(key|over)" value="([^"]*)"', page))
    return {"key": found["key"], "over": found["over"]}


def texts(store: Database) -> list[str]:
    """What is kept, item by item."""
    with store.reading() as session:
        return list(session.scalars(select(PaperAnswer.text).order_by(PaperAnswer.position)))


def test_a_clock_set_back_reopens_nothing_handed_in(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, clock: Clock
) -> None:
    """A paper that is handed in stays so, whatever the clock says."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    clock.now -= timedelta(minutes=10)
    assert as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"}).status_code == 422
