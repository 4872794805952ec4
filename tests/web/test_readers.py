"""A reader of Spanish who writes a decimal comma: words and numbers are theirs, what is kept is everybody's."""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import People, make_person
from tests.web.test_habits import ALL
from tests.web.test_lessons import DRILL, slip
from tests.web.test_practice import begin
from trainer.drills.shelf import Shelf
from trainer.languages.numerals import reading_with
from trainer.store import Database
from trainer.store.models import Answer, Exercise, JobSheet, Lesson, PrintedSheet
from trainer.web.shelving import in_language

SPANISH = ALL | {"language": "es", "lengths": "drawn", "text_size": "usual", "paper": "device"}
SHOWN = re.compile(r"<(?:script|style|svg)\b.*?</(?:script|style|svg)>|<[^>]*>", re.DOTALL)


def words_of(browser: Browser, path: str) -> str:
    """What a page shows, without drawings."""
    return " ".join(SHOWN.sub(" ", browser.get(path).get_data(as_text=True)).split())


def test_a_verdict_is_in_spanish_with_commas(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """Exercise and verdict of a slip: heading, working, dial and menu in Spanish, numbers with a comma."""
    as_tess.send("/account/pages", SPANISH)
    number = begin(as_tess, drill=DRILL, find="I")
    asked = words_of(as_tess, f"/trainee/practice/{number}")
    for word in (
        "por hallar",
        "Corregir mi respuesta",
        "porque lo eligió usted",
        "Número y unidad, como 1234",
    ):
        assert word in asked
    path = as_tess.send(f"/trainee/practice/{number}", {"answer": "12,5 A"}).location
    page = as_tess.get(path).get_data(as_text=True)
    shown = words_of(as_tess, path)
    assert "<h1>Incorrecto" in page
    for word in (
        "Usted respondió 12,5",
        "El desarrollo",
        "Se acepta",
        "Usted escribió",
        "Ejercicios",
        "Cerrar sesión",
    ):
        assert word in shown
    assert "La aguja está en 12,5" in page, "the drawing says it too"
    assert "Medidor de su respuesta" in page
    for english in ("Not right", "Accepted is", "You answered", "The working", "Meter for your answer"):
        assert english not in page


def test_english_with_a_point_is_as_ever(as_tess: Browser) -> None:
    """Who has chosen nothing reads the same page as before."""
    number = begin(as_tess, drill=DRILL, find="I")
    path = as_tess.send(f"/trainee/practice/{number}", {"answer": "12.5 A"}).location
    assert "You answered 12.5" in words_of(as_tess, path)


def test_the_banks_sentences_have_the_readers_comma(as_tess: Browser) -> None:
    """What a slip is told has the decimals of the numbers beside it; each sign has its own words, for every reader."""
    held = as_tess.application.extensions["trainer"]

    def told(sign: str) -> str:
        with reading_with(sign):
            drill = in_language(held, "es").shelf.bank.drills[DRILL].drill
        return next(slip.says for slip in drill.slips if "25.4" in slip.says.replace(",", "."))

    assert "un factor de 25,4." in told("comma")
    assert "un factor de 25.4." in told("point")


def test_a_reader_of_english_may_have_the_comma(as_tess: Browser) -> None:
    """The sign is a choice of its own: English words, decimals behind a comma, in parts list and drawing."""
    as_tess.send("/account/pages", SPANISH | {"language": "en", "lengths": "mm"})
    number = begin(as_tess, drill=DRILL, find="I")
    listed = re.findall(
        r"\(([\d,.]+)\u202fmm\)", as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True)
    )
    assert listed
    assert any("," in one for one in listed)
    assert not any("." in one for one in listed)
    path = as_tess.send(f"/trainee/practice/{number}", {"answer": "12,5 A"}).location
    assert "You answered 12,5" in words_of(as_tess, path)


def test_an_error_page_speaks_too(as_tess: Browser) -> None:
    """A refusal that shows as a page has its heading and its sentence in Spanish."""
    as_tess.send("/account/pages", SPANISH)
    page = as_tess.get("/trainee/practice/999999").get_data(as_text=True)
    assert "No hay ninguna hoja en esta dirección" in page
    assert "Ese ejercicio no existe." in page


def test_a_form_speaks_too(as_ian: Browser, people: People) -> None:
    """Labels and sentences of a form are said to the reader, not when the program starts."""
    as_ian.send("/account/pages", SPANISH)
    page = as_ian.send("/people/", {"works_number": "", "name": "x" * 300}).get_data(as_text=True)
    assert "Escriba un número de empleado, por ejemplo TV-07." in page
    assert "Escriba como máximo 200 caracteres." in page
    assert "Write" not in SHOWN.sub(" ", page)


def test_nothing_that_is_kept_differs(
    people: People,
    store: Database,
    shelf: Shelf,
    signed_in: Callable[[int], Browser],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """The same story in two readers' pages leaves the same rows: reasons, numbers, verdicts, lesson, job, sheets."""
    monkeypatch.setattr(secrets, "randbelow", lambda most: 20261125 % most)
    with store.writing() as session:
        other = make_person(session).id
    kept = []
    for person, habits in ((people.tess, SPANISH | {"language": "en", "decimal": "point"}), (other, SPANISH)):
        browser = signed_in(person)
        browser.send("/account/pages", habits)
        _story(browser, store, shelf)
        kept.append(_rows(store, person))
    assert kept[0] == kept[1]
    reasons = [row["reason"] for row in kept[0]["exercise"]]
    assert "exercise 1 of 3 on just this: the radius went in for the diameter" in reasons
    assert "because it is new to you" in reasons


def _story(browser: Browser, store: Database, shelf: Shelf) -> None:
    number = begin(browser)
    browser.get(f"/trainee/practice/{number}")
    browser.send(f"/trainee/practice/{number}", {"answer": "12 A"})
    for _turn in range(2):
        slip(browser, store, shelf, "radius-for-diameter")
    lesson = browser.send("/trainee/practice").location
    browser.get(lesson)
    exercise = browser.send(lesson).location
    browser.send(exercise, {"answer": "12 A"})
    job = browser.send("/trainee/jobs", {"job": "job-small-coil", "verdict": "each"}).location
    assert browser.send(f"{job}/1", {"answer": "12"}).status_code in {303, 422}
    assert browser.send(f"{job}/1", {"leave": "out"}).status_code in {303, 409}
    browser.get(job)
    assert browser.send("/trainee/printed").status_code == 303


def _rows(store: Database, person: int) -> dict[str, list[dict[str, Any]]]:
    """What is kept of a person's practice, without numbers of rows, and without the habit of typing itself."""
    found = {}
    with store.reading() as session:
        for model in (Exercise, Lesson, JobSheet, PrintedSheet):
            rows = session.scalars(select(model).where(model.person_id == person).order_by(model.id))
            found[model.__tablename__] = [_plain(row) for row in rows]
        answers = select(Answer).where(Answer.person_id == person).order_by(Answer.id)
        found["answer"] = [_plain(row) for row in session.scalars(answers)]
    return found


def _plain(row: Any) -> dict[str, Any]:
    own = {"id", "person_id", "exercise_id", "decimal"}
    return {
        column.name: getattr(row, column.name) for column in row.__table__.columns if column.name not in own
    }


def test_a_job_shows_the_sign_it_is_read_with(as_tess: Browser, monkeypatch: pytest.MonkeyPatch) -> None:
    """Begun with a comma, the job shows commas to its end, since its answers are read with a comma to the end."""
    monkeypatch.setattr(secrets, "randbelow", lambda most: 20261125 % most)
    as_tess.send("/account/pages", SPANISH | {"language": "en"})
    path = as_tess.send("/trainee/jobs", {"job": "job-small-coil", "verdict": "each"}).location
    as_tess.send("/account/pages", SPANISH | {"language": "en", "decimal": "point"})
    shown = words_of(as_tess, path)
    assert re.search(r"[0-9],[0-9]+ (?:in|mm)", shown)
    assert not re.search(r"[0-9]\.[0-9]+ (?:in|mm)", shown)
