"""A Spanish reader sees the same figures and verdicts in Spanish; what is signed or read by programs is English."""

from __future__ import annotations

import io
import json
import re
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy import delete, select

from tests.conftest import Browser
from tests.entering import verified
from tests.languages.unmarked import texts_of
from tests.make import People
from trainer.languages import language
from trainer.services.admitting.habits import Habits, keep
from trainer.services.overseeing.acts import ACTS
from trainer.services.proving import exporting, signing_key
from trainer.store import Database
from trainer.store.models import Entry, Export, Link

SPANISH = {"Accept-Language": "es-MX,es;q=0.9"}
PICTURE = re.compile(r"<svg.*?</svg>", re.DOTALL)
FIGURE = re.compile(r"\d+(?:[.,:-]\d+)*")
URN = "urn:uuid:00000000-0000-4000-8000-00000000000a"


@pytest.fixture
def recorded(store: Database, people: People) -> People:
    """Tess has near vision that ran out, a day of experience, and one entry that nobody has countersigned."""
    with store.writing() as session:
        verified(session, people.tess, people.tess, "trainee", people.emma, "vision", date="2025-11-10")
        verified(session, people.tess, people.tess, "trainee", people.emma)
    return people


def read(browser: Browser, path: str, **headers: str) -> str:
    """Everything that is read on the sheet of a page but its pictures, with the language asked for by the device."""
    page = browser.get(path, headers=headers or None).get_data(as_text=True)
    sheet = PICTURE.sub("", page.partition("<main")[2].partition('<footer class="foot">')[0])
    return "\n".join(" ".join(text.split()) for text in texts_of(sheet))


@contextmanager
def wanting_spanish(store: Database, person_id: int) -> Iterator[None]:
    """The person has chosen Spanish for the pages."""
    with store.writing() as session:
        keep(session, person_id, Habits(language="es"))
    yield
    with store.writing() as session:
        keep(session, person_id, Habits(language="en"))


@pytest.mark.parametrize("who", ["trainee", "employer"])
def test_a_standing_has_the_same_figures(
    recorded: People, as_tess: Browser, as_emma: Browser, who: str
) -> None:
    """Both languages show the same numbers, days and clauses in the same places, and the same verdict."""
    path = "/record/?scheme=SNT-2020&level=I&on=2026-11-25"
    browser = as_tess
    if who == "employer":
        path, browser = path.replace("/record/", f"/employer/people/{recorded.tess}"), as_emma
    english, spanish = read(browser, path), read(browser, path, **SPANISH)
    assert FIGURE.findall(english) == FIGURE.findall(spanish)
    for told, said in (("expired", "vencido"), ("not met", "no cumplido")):
        assert english.split("\n").count(told) == spanish.split("\n").count(said) > 0
    assert "Near vision" not in spanish
    assert "Visión de cerca" in spanish
    assert "camino más corto" in spanish
    assert "shortest way" not in spanish


def test_two_readers_at_once_each_read_their_own(recorded: People, as_emma: Browser) -> None:
    """After a page in Spanish the next one is English again."""
    assert "Vencimientos" in read(as_emma, "/employer/", **SPANISH)
    assert "Vencimientos" not in read(as_emma, "/employer/")
    assert language() == "en"


def test_a_visitor_verifies_in_spanish(recorded: People, as_emma: Browser, nobody: Browser) -> None:
    """Without an account the device says the language; valid is válido, and an altered file is never that."""
    data = as_emma.send(f"/employer/exports/{recorded.tess}", {"form": "credential"}).data

    def judged(sent: bytes) -> str:
        body = {"file": (io.BytesIO(sent), "tess.json")}
        return nobody.send("/verify", body, headers=SPANISH).get_data(as_text=True)

    page = judged(data)
    assert '<html lang="es"' in page
    assert "Auténtico y sin cambios" in page
    assert "nada ha cambiado en él desde entonces" in page
    assert "no se puede ver una retirada de este registro" in page
    altered = judged(data.replace(b'"7.5"', b'"9.5"'))
    assert "No se fíe de este archivo" in altered
    assert "Auténtico" not in altered


@pytest.mark.parametrize("form", sorted(set(exporting.FORMS) - {"certificate", *exporting.FOR_PEOPLE}))
def test_an_export_is_the_english_one(
    monkeypatch: pytest.MonkeyPatch,
    store: Database,
    recorded: People,
    as_tess: Browser,
    as_emma: Browser,
    form: str,
) -> None:
    """A file that programs read, or that is signed, is byte for byte the same for whoever asks for it."""
    monkeypatch.setattr(signing_key, "fresh_urn", lambda: URN)
    monkeypatch.setattr(exporting.chain, "head_of", fixed_head(exporting.chain.head_of))
    path = f"/employer/exports/{recorded.tess}"
    sent = {"form": form, "on": "2026-11-25", "scheme": "SNT-2020", "level": "I"}
    english = as_emma.send(path, sent).data
    forget_exports(store)
    with wanting_spanish(store, recorded.emma):
        assert "Exportar el registro" in as_emma.get(path).get_data(as_text=True)
        spanish = as_emma.send(path, sent).data
    assert (len(english) > 0, spanish == english) == (True, True)
    for word in ("Visión", "vencido", "refrendar"):
        assert word.encode() not in spanish


def fixed_head(real: object) -> object:
    """The head of an empty chain, so that a signed file does not tell how often somebody signed in before."""
    return lambda links, time: real([], time)  # type: ignore[operator]


def forget_exports(store: Database) -> None:
    """Begin the places of the status lists anew."""
    with store.writing() as session:
        session.execute(delete(Export))


def test_the_calendar_of_the_house_is_in_the_language_of_its_reader(
    store: Database, recorded: People, as_emma: Browser
) -> None:
    """A calendar is for a person: its words are Spanish, its events and their days are those of the English one."""
    english = as_emma.send("/employer/calendar", {}).data
    with wanting_spanish(store, recorded.emma):
        spanish = as_emma.send("/employer/calendar", {}).data
    kept = re.compile(rb"^(?:UID|DTSTART|DTEND).*", re.MULTILINE)
    assert kept.findall(spanish) == kept.findall(english) != []
    assert b"runs out" in english
    assert b"runs out" not in spanish
    assert "vence visión de cerca" in spanish.decode().lower()


def test_the_chain_keeps_english(store: Database, recorded: People, as_emma: Browser) -> None:
    """What a Spanish reader does is noted in English, and shown to them in Spanish."""
    with wanting_spanish(store, recorded.emma):
        as_emma.send(f"/employer/exports/{recorded.tess}", {"form": "csv"})
        page = read(as_emma, "/employer/chain")
    assert "registro exportado" in page
    assert "La cadena está entera" in page
    with store.reading() as session:
        noted = {str(link.event["what"]) for link in session.scalars(select(Link))}
    assert "record exported" in noted
    assert noted <= ACTS


def test_what_a_spanish_reader_enters_is_kept_as_in_english(
    store: Database, people: People, as_tess: Browser
) -> None:
    """The words of a form are chosen in Spanish and kept as the same keys; a fault comes back in Spanish."""
    with wanting_spanish(store, people.tess):
        form = as_tess.get("/record/enter/vision").get_data(as_text=True)
        assert 'value="near"' in form
        assert "de cerca" in form
        told = {
            "test": "near",
            "result": "pass",
            "date": "2026-11-10",
            "chart": "jaeger_1",
            "distance_cm": "31",
        }
        wrong = as_tess.send("/record/enter/vision", {**told, "distance_cm": "lejos"})
        assert (wrong.status_code, "decimal simple" in wrong.get_data(as_text=True)) == (422, True)
        assert as_tess.send("/record/enter/vision", told).status_code == 303
        shown = read(as_tess, "/record/ledger")
    assert "prueba de cerca" in shown
    with store.reading() as session:
        body = session.scalars(select(Entry).order_by(Entry.seq.desc())).first().body
    assert (body["test"], body["result"]) == ("near", "pass")
    assert "Anotado" not in json.dumps(body)


@pytest.mark.parametrize("role", ["trainee", "instructor", "employer"])
def test_help_in_spanish(people: People, nobody: Browser, role: str) -> None:
    """Each help page has its sentences in Spanish, as many as in English."""
    english, spanish = read(nobody, f"/help/{role}"), read(nobody, f"/help/{role}", **SPANISH)
    said = {"trainee": "Responder un ejercicio a la vez", "instructor": "Confirmar las horas"}
    assert said.get(role, "Leer, después refrendar") in spanish
    assert not {line for line in english.split("\n") if line.count(" ") > 5} & set(spanish.split("\n"))
