"""The instructor's pages in Spanish: words, counts, errors; what is kept stays English."""

from __future__ import annotations

import html
import re

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.examining import make_practical, mark_all
from tests.languages.test_every_word import MARKED
from tests.languages.unmarked import OPEN, SHUT, TAG
from tests.make import People, make_class
from tests.web.test_sittings import planned
from trainer import languages
from trainer.drills.shelf import Shelf
from trainer.store import Database
from trainer.store.models import Entry, PracticalSheet

SPANISH = {"Accept-Language": "es"}


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


def words(browser: Browser, path: str, language: str = "es") -> str:
    """The words of a page that a browser asks for in a language."""
    page = browser.get(path, headers={"Accept-Language": language}).get_data(as_text=True)
    page = re.sub(r"<script.*?</script>", " ", page, flags=re.DOTALL)
    return " ".join(html.unescape(re.sub(r"<[^>]+>", " ", page)).split())


def test_a_class_page_is_spanish_for_whoever_reads_spanish(own_class: int, as_ian: Browser) -> None:
    """Headings, counts, columns and presses are Spanish; to an English reader the same page is English."""
    page, english = (words(as_ian, f"/instructor/classes/{own_class}", one) for one in ("es", "en"))
    assert "MT-1 November: 1 en la lista, 0 sesiones" in page
    assert "Ninguna sesión todavía. Anote cada una con su día y sus horas" in page
    assert "Cerrar el grupo" in page
    assert "Agregar personas a la lista" in page
    assert "MT-1 November: 1 on the roster, 0 meetings" in english
    assert not re.search(r"\b(roster|meetings?|Enter|Close)\b", page)


def test_an_examination_page_says_its_state_in_spanish(own_class: int, as_ian: Browser) -> None:
    """Open, paused, closed: the words change, the states behind the presses do not."""
    number = planned(as_ian, own_class)
    page = words(as_ian, f"/instructor/sittings/{number}")
    assert "Coils: abierto, código" in page
    assert "Empezaron: 0; escriben: 0; terminaron: 0. Faltan por llegar: TV-07 Tess." in page
    assert as_ian.send(f"/instructor/sittings/{number}/pause").status_code == 303
    assert "Coils: en pausa" in words(as_ian, f"/instructor/sittings/{number}")
    assert "Coils: paused" in words(as_ian, f"/instructor/sittings/{number}", "en")


def test_what_a_service_refuses_is_said_in_spanish(own_class: int, as_ian: Browser) -> None:
    """An examination of four minutes is refused with a sentence in the reader's language, and what was typed stays."""
    typed = {"title": "Coils", "level": "I", "minutes": "4", "pass_mark": "80", "drill": "coil-low-fill-wall"}
    typed |= {"count-coil-low-fill-wall": "1"}
    address = f"/instructor/classes/{own_class}/examinations"
    reply = as_ian.send(address, typed, headers=SPANISH)
    page = reply.get_data(as_text=True)
    assert reply.status_code == 422
    assert "Los minutos son de 5 a 480." in page
    assert 'value="4"' in page
    assert "Minutes are 5 to 480." in as_ian.send(address, typed).get_data(as_text=True)


def test_the_entry_of_a_practical_is_kept_in_english(
    store: Database, shelf: Shelf, people: People, as_ian: Browser, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Closed by somebody who reads every text between marks, the note of the entry has none of them."""
    monkeypatch.setitem(languages.LANGUAGES, TAG, "marks")
    for module, name, marks in MARKED:
        monkeypatch.setattr(module, name, lambda _tag, marks=marks: marks)
    with store.writing() as session:
        sheet = make_practical(session, shelf.bank, people)
        mark_all(session, shelf.bank, people.ian, sheet.id, p1="missed", known_1="missed")
        number, title = sheet.id, shelf.bank.practical(sheet.checklist_id).practical.title
    assert f"{OPEN}{title}{SHUT}" in words(as_ian, f"/practicals/{number}", TAG)
    assert as_ian.send(f"/practicals/{number}/close", headers={"Accept-Language": TAG}).status_code == 303
    with store.reading() as session:
        entry = session.get_one(PracticalSheet, number).entry_id
        note = session.scalars(select(Entry).where(Entry.id == entry)).one().body["note"]
    assert note.startswith(title)
    assert OPEN not in note
