"""How a person wants the pages: kept for every device, theirs alone, and nothing else is taken."""

from __future__ import annotations

import pytest
from sqlalchemy import func, select

from tests.conftest import Browser
from tests.make import NOW, People, make_class
from tests.web.test_practice import begin
from trainer.drills.shelf import Shelf
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import paper_items, papers, sittings
from trainer.store import Database
from trainer.store.models import Answer, Habit, JobSheet, Paper, PaperAnswer

ALL = {"language": "device", "decimal": "comma", "lengths": "mm", "text_size": "large", "paper": "blue"}


def test_what_is_chosen_comes_with_every_page(as_tess: Browser, as_ian: Browser) -> None:
    """Text and paper stand on the page itself, so that no script is needed; Ian's pages stay as they were."""
    assert as_tess.send("/account/pages", ALL).status_code == 303
    page = as_tess.get("/trainee/").get_data(as_text=True)
    assert '<html lang="en" data-text="large" data-paper="blue">' in page
    assert '<html lang="en">' in as_ian.get("/account/").get_data(as_text=True)
    chosen = as_tess.get("/account/pages").get_data(as_text=True)
    assert chosen.count(" checked") == 5
    assert as_tess.send("/account/pages", ALL | {"paper": "device"}).status_code == 303
    assert "data-paper=" not in as_tess.get("/trainee/").get_data(as_text=True).split(">")[1]


def test_a_comma_is_read_as_the_person_types_it_and_stays_so(as_tess: Browser, store: Database) -> None:
    """1,5 kA can be read only by habit; changed habits later do not change what was answered."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    path = f"/trainee/practice/{number}"
    assert as_tess.send(path, {"answer": "1,5 kA"}).status_code == 422
    as_tess.send("/account/pages", ALL)
    assert as_tess.send(path, {"answer": "1,5 kA"}).status_code == 303
    before = as_tess.get(f"{path}/verdict").get_data(as_text=True)
    as_tess.send("/account/pages", ALL | {"decimal": "point", "paper": "device", "text_size": "usual"})
    after = as_tess.get(f"{path}/verdict").get_data(as_text=True)
    assert before[before.index("<h1>") :].split("</h1>")[0] == after[after.index("<h1>") :].split("</h1>")[0]
    with store.reading() as session:
        assert session.scalar(select(Answer.decimal)) == "comma"


def test_lengths_stand_beside_themselves(as_tess: Browser) -> None:
    """With millimetres chosen an inch length has its millimetres in the parts list."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    path = f"/trainee/practice/{number}"
    assert "mm)" not in as_tess.get(path).get_data(as_text=True)
    as_tess.send("/account/pages", ALL)
    assert as_tess.get(path).get_data(as_text=True).count("mm)") == 3


@pytest.mark.parametrize("name", ALL)
def test_other_words_are_refused(as_tess: Browser, store: Database, name: str) -> None:
    """A word that the page does not offer is answered with a sentence, and nothing is kept."""
    reply = as_tess.send("/account/pages", ALL | {name: "purple"})
    assert reply.status_code == 422
    assert "Choose one of the answers" in reply.get_data(as_text=True)
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(Habit)) == 0


def test_a_job_reads_the_sign_of_its_beginning(as_tess: Browser, store: Database) -> None:
    """Begun with a comma, its steps are read with a comma to the end, whatever is chosen in between."""
    as_tess.send("/account/pages", ALL)
    path = as_tess.send("/trainee/jobs", {"job": "job-small-coil", "verdict": "each"}).location
    as_tess.send("/account/pages", ALL | {"decimal": "point"})
    assert as_tess.send(f"{path}/1", {"answer": "1234,5 A-turn"}).status_code == 303
    with store.reading() as session:
        assert session.scalar(select(JobSheet.decimal)) == "comma"


def test_a_paper_is_scored_with_the_sign_of_its_beginning(
    as_tess: Browser, as_ian: Browser, store: Database, shelf: Shelf, people: People
) -> None:
    """A candidate who types commas is marked by commas at the close, though the house has points."""
    as_tess.send("/account/pages", ALL)
    with store.writing() as session:
        taught = make_class(session, people.ian, people.tess).id
        wanted = Plan((Line("coil-low-fill-wall", "I", 1),), 80)
        made = sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, "ABC234", NOW)
        sittings.open_sitting(session, people.ian, made.id, NOW)
    assert as_tess.send("/trainee/examination", {"code": "ABC234"}).status_code == 303
    as_tess.send("/account/pages", ALL | {"decimal": "point"})
    with store.reading() as session:
        paper = session.scalars(select(Paper)).one()
        drawn = paper_items.exercise(session, shelf, papers.item(paper, 1))[1]
    typed = f"{drawn.answer / 1000:.4f} kA".replace(".", ",")
    as_tess.send(f"/trainee/papers/{paper.id}/1", {"answer": typed})
    as_tess.send(f"/trainee/papers/{paper.id}/hand-in")
    as_ian.send(f"/instructor/sittings/{made.id}/close")
    with store.reading() as session:
        assert session.scalar(select(PaperAnswer.verdict)) == "right"
