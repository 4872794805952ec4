"""A sheet on paper has no key in it; the key is for an instructor of the same house; neither moves a skill."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from sqlalchemy import func, select

from tests.conftest import Browser
from tests.make import People, make_person
from trainer.drills.shelf import Shelf
from trainer.services.teaching import printed
from trainer.store import Database
from trainer.store.models import Exercise, PrintedSheet, SkillState
from trainer.web.sheets import presenting


def test_a_sheet_and_its_key(
    as_tess: Browser,
    as_ian: Browser,
    store: Database,
    shelf: Shelf,
    people: People,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Four exercises with numbers of their own; every answer stands in the key and none with its exercise."""
    monkeypatch.setattr(
        "trainer.web.trainee.printed.secrets.randbelow", lambda _below: 7
    )  # the same numbers always
    reply = as_tess.send("/trainee/printed")
    assert reply.status_code == 303
    sheet = as_tess.get(reply.location).get_data(as_text=True)
    with store.reading() as session:
        row = session.scalars(select(PrintedSheet)).one()
        it = printed.own(session, shelf, people.tess, row.id)
        assert session.scalar(select(func.count()).select_from(Exercise)) == 0
        assert session.scalar(select(func.count()).select_from(SkillState)) == 0
    key = as_ian.get(f"/instructor/printed/{row.id}").get_data(as_text=True)
    assert f"/instructor/printed/{row.id}" in as_ian.get("/instructor/printed").get_data(as_text=True)
    assert sheet.count('class="question"') == key.count('class="question"') == printed.EXERCISES
    assert {drawn.drill for _, drawn in it.exercises} == {"coil-low-fill-wall", "prod-current-asme"}
    for (mould, drawn), asked in zip(it.exercises, sheet.split('class="question"')[1:], strict=True):
        answer = presenting.answer_words(mould, drawn)
        assert answer in key
        assert f">{answer}<" not in asked


def test_two_sheets_have_different_numbers(as_tess: Browser, store: Database) -> None:
    """Made twice, drawn twice."""
    for _ in range(2):
        as_tess.send("/trainee/printed")
    with store.reading() as session:
        one, two = session.scalars(select(PrintedSheet.items))
    assert one != two


def test_a_sheet_is_its_own_persons_and_a_key_its_own_houses(
    as_tess: Browser, as_omar: Browser, store: Database, people: People, signed_in: Callable[[int], Browser]
) -> None:
    """Omar finds no sheet of Tess; an instructor of another house finds neither key nor row; Tess gets no key."""
    path = as_tess.send("/trainee/printed").location
    number = path.rsplit("/", 1)[1]
    assert as_omar.get(path).status_code == 404
    with store.writing() as session:
        other = make_person(session, "HK-00", "Hanna", {"instructor"}, house="Hook and Chain Works").id
    hanna = signed_in(other)
    assert hanna.get(f"/instructor/printed/{number}").status_code == 404
    assert "Nobody has printed" in hanna.get("/instructor/printed").get_data(as_text=True)
    assert as_tess.get(f"/instructor/printed/{number}").status_code == 403
