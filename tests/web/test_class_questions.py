"""A question to the whole class: own numbers, verdicts withheld until shown, mistakes worked on the wall."""

from __future__ import annotations

import re

import pytest

from tests.conftest import Browser
from tests.make import Clock, People, make_class, make_person
from tests.web.test_board import slip_value
from tests.web.test_practice import right_answer
from trainer.drills.shelf import Shelf
from trainer.store import Database

DRILL = "coil-low-fill-wall"


@pytest.fixture
def class_id(store: Database, people: People) -> int:
    """Ian's class with Tess and one more."""
    with store.writing() as session:
        more = make_person(session, "TV-08", "Hugh").id
        return make_class(session, people.ian, people.tess, more).id


def ask(browser: Browser, class_id: int, find: str = "I") -> str:
    """Ask the class the coil drill; return the page of the question."""
    reply = browser.send(f"/instructor/classes/{class_id}/ask", {"ask": DRILL, f"find-{DRILL}": find})
    assert reply.status_code == 303
    return str(reply.location)


def take_up(browser: Browser, page: str) -> int:
    """Take the question up as a trainee; return the number of the exercise."""
    question = page.rsplit("/", 1)[1]
    reply = browser.send(f"/trainee/asked/{question}")
    assert reply.status_code == 303
    return int(reply.location.rsplit("/", 1)[1])


def text(browser: Browser, path: str, **more: object) -> str:
    """The text of a page that is there."""
    reply = browser.get(path, **more)  # type: ignore[arg-type]
    assert reply.status_code == 200
    return str(reply.get_data(as_text=True))


def test_a_verdict_waits_until_the_outcome_is_shown(
    as_ian: Browser, as_tess: Browser, class_id: int, store: Database, shelf: Shelf
) -> None:
    """Asked, answered wrongly: nothing tells right from wrong before it is shown, everything after."""
    page = ask(as_ian, class_id)
    assert "Ian asks the whole class" in text(as_tess, "/trainee/")
    number = take_up(as_tess, page)
    assert number == take_up(as_tess, page), "pressed twice it is the same exercise"
    sheet = text(as_tess, f"/trainee/practice/{number}")
    assert ("Show me the formula" in sheet, "A worked one first" in sheet) == (False, False)
    as_tess.send(
        f"/trainee/practice/{number}", {"answer": slip_value(store, shelf, number, "turns-forgotten")}
    )
    before = text(as_tess, f"/trainee/practice/{number}/verdict")
    assert ("Your answer is kept" in before, "Not right" in before, "turns" in before) == (True, False, False)
    on_wall = text(as_ian, f"{page}?wall=1")
    assert ("1 of 2 have answered" in on_wall, "Hugh" in on_wall, "turns were" in on_wall) == (
        True, False, False,
    )  # fmt: skip
    assert "Hugh" in text(as_ian, page)
    as_ian.send(f"{page}/show")
    after = text(as_tess, f"/trainee/practice/{number}/verdict")
    assert "Not right" in after
    shown = text(as_ian, page)
    assert ("0 of 1 right" in shown, "The turns were left out" in shown, "<svg" in shown) == (True,) * 3


def test_an_answer_after_the_show_is_not_in_the_outcome(
    as_ian: Browser, as_tess: Browser, class_id: int, store: Database, shelf: Shelf, clock: Clock
) -> None:
    """Who answers after the outcome is on the wall gets a verdict at once and is not counted."""
    page = ask(as_ian, class_id)
    number = take_up(as_tess, page)
    as_ian.send(f"{page}/show")
    clock.now = clock.now.replace(minute=50)
    as_tess.send(f"/trainee/practice/{number}", {"answer": right_answer(store, shelf, number)})
    assert "is accepted" in text(as_tess, f"/trainee/practice/{number}/verdict")
    assert "0 of 0 right" in text(as_ian, page)


def test_no_help_while_the_class_is_asked(as_ian: Browser, as_tess: Browser, class_id: int) -> None:
    """The hint ladder stays shut before the outcome is shown, also by its address."""
    number = take_up(as_tess, ask(as_ian, class_id))
    reply = as_tess.send(f"/trainee/practice/{number}/working")
    assert reply.status_code == 409
    assert "help opens when" in reply.get_data(as_text=True)


def test_asking_again_ends_what_was_open(as_ian: Browser, as_tess: Browser, class_id: int) -> None:
    """A class has one question before it; an ended one cannot be taken up, and nothing of it is withheld."""
    first = ask(as_ian, class_id)
    second = ask(as_ian, class_id, "N")
    home = text(as_tess, "/trainee/")
    assert home.count("asks the whole class") == 1
    assert as_tess.send(f"/trainee/asked/{first.rsplit('/', 1)[1]}").status_code == 409
    as_ian.send(f"{second}/end")
    assert "asks the whole class" not in text(as_tess, "/trainee/")
    assert "over" in text(as_ian, f"/instructor/classes/{class_id}/ask")


def test_somebody_elses_question_is_not_there(as_ian: Browser, as_omar: Browser, class_id: int) -> None:
    """Omar is in no class of Ian's: the question is not found, and nothing is drawn for him."""
    page = ask(as_ian, class_id)
    assert as_omar.send(f"/trainee/asked/{page.rsplit('/', 1)[1]}").status_code == 404
    assert as_ian.get("/instructor/asked/999").status_code == 404
    assert as_ian.send("/instructor/classes/999/ask", {"ask": DRILL}).status_code == 404
    assert as_ian.send(f"/instructor/classes/{class_id}/ask", {"ask": "no-such"}).status_code == 404


def test_the_table_of_answers(
    as_ian: Browser, as_tess: Browser, class_id: int, store: Database, shelf: Shelf
) -> None:
    """The outcome leaves as CSV with the mistake by name; text that acts as a formula is made harmless."""
    page = ask(as_ian, class_id)
    number = take_up(as_tess, page)
    as_tess.send(
        f"/trainee/practice/{number}", {"answer": slip_value(store, shelf, number, "turns-forgotten")}
    )
    reply = as_ian.get(f"{page}.csv")
    assert reply.headers["Content-Disposition"].startswith("attachment")
    assert "TV-07,Tess," in reply.get_data(as_text=True)
    assert "the turns were left out" in reply.get_data(as_text=True).lower()
    spanish = as_ian.get(f"{page}.csv", headers={"Accept-Language": "es"}).get_data(as_text=True)
    assert "Número de empleado,Nombre,Respuesta,Resultado,Error" in spanish
    assert ",incorrecta," in spanish


def test_a_mistake_from_the_board_is_worked_on_the_wall(
    as_ian: Browser, as_tess: Browser, class_id: int, store: Database, shelf: Shelf
) -> None:
    """One press on the board puts the mistake beside the right way, with nobody's name on it."""
    number = take_up(as_tess, ask(as_ian, class_id))
    wrong = slip_value(store, shelf, number, "turns-forgotten")
    as_tess.send(f"/trainee/practice/{number}", {"answer": wrong})
    board = text(as_ian, f"/instructor/classes/{class_id}/now?wall=1")
    link = re.search(r'href="(/instructor/classes/\d+/slips/[^"]+)"', board)
    assert link
    page = text(as_ian, link[1])
    assert ("As it should be" in page, "Here the slip enters" in page, "Tess" in page) == (True, True, False)
    assert as_ian.get(f"/instructor/classes/{class_id}/slips/{DRILL}/I/no-such-slip").status_code == 404
