"""A drill examination from plan to score, and what a candidate may not see or do."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import Clock, People, make_class
from trainer.drills.shelf import Shelf
from trainer.formulas.writing import number as written
from trainer.services import audit
from trainer.store import Database
from trainer.store.models import Entry, Paper, PaperAnswer, Sitting

PLAN = {
    "title": "Coils", "minutes": "30", "pass_mark": "50", "each": "1", "part": "specific",
    "drill": ["coil-low-fill-wall", "prod-current-asme"],
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
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf
) -> None:
    """No page of a running or handed-in paper holds an answer, a limit, a seed, an edition or a verdict."""
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
        ({"pass_mark": "101"}, "pass mark 1 to 100"),
        ({"each": "99"}, "at most 60 items"),
        ({"drill": []}, "Tick at least one drill"),
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
    for path in (f"/trainee/papers/{paper}", f"/trainee/papers/{paper}/1"):
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


def test_a_clock_set_back_reopens_nothing_handed_in(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, clock: Clock
) -> None:
    """A paper that is handed in stays so, whatever the clock says."""
    sitting = planned(as_ian, own_class)
    paper = started(as_tess, store, sitting)
    as_tess.send(f"/trainee/papers/{paper}/hand-in")
    clock.now -= timedelta(minutes=10)
    assert as_tess.send(f"/trainee/papers/{paper}/1", {"answer": "1 A"}).status_code == 422
