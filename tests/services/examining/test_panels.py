"""Panels are kept: every sheet stays, the newest of the last round counts, and the worked example comes out."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.make import NOW, People, make_people, make_person
from tests.statistics.vectors import EXAMPLES
from trainer.drills.shelf import Shelf
from trainer.errors import NotFound, Refused
from trainer.services.examining import panels
from trainer.services.keeping import audit
from trainer.services.proving import ledger_check
from trainer.store.models import Panel, PanelSheet

CASE = EXAMPLES["W9"]
RATINGS = "\n".join(" ".join(f"{100 * one:.0f}" for one in row) for row in CASE["ratings_judges_by_items"])


@pytest.fixture
def people(session: Session) -> People:
    """The four."""
    return make_people(session)


def kept(session: Session, shelf: Shelf, people: People, **changes: str) -> Panel:
    """The worked example, kept for no plan."""
    facts = {"title": "Coils", "plan_id": "", "names": "", "ratings": RATINGS, "says": ""} | changes
    return panels.keep(session, shelf.bank, people.ian, **facts, now=NOW)


def test_the_worked_panel_comes_back_from_the_store(session: Session, shelf: Shelf, people: People) -> None:
    """5.78 of 8 items with its standard error, from what was kept and from nothing else."""
    number = kept(session, shelf, people).id
    session.expire_all()
    found = panels.figures_of(panels.standing(panels.own(session, people.ian, number)))
    assert found.cut == Fraction(578, 100)
    assert found.error == pytest.approx(CASE["recomputed"]["se_of_cut"], abs=1e-6)
    assert found.apart == pytest.approx(CASE["recomputed"]["sd_between_judges"], abs=1e-6)
    words = panels.words(panels.own(session, people.ian, number))
    assert words == "72.25 % of 8 items by 5 judges, standard error 1.6 %"


def test_every_sheet_stays(session: Session, shelf: Shelf, people: People) -> None:
    """A mended first round, then a second one: three sheets, the second round counts, the chain tells all of it."""
    number = kept(session, shelf, people, ratings="50 50\n60 60").id
    panels.add(session, people.ian, number, "55 50\n60 60", "a slip", True, NOW)
    found = panels.own(session, people.ian, number)
    assert (panels.standing(found).round, float(panels.figures_of(panels.standing(found)).cut)) == (1, 1.125)
    panels.add(session, people.ian, number, "70 62,5\n80 60", "", False, NOW)
    assert [(one.round, one.ratings["judges"][0]) for one in found.sheets] == [
        (1, ["50", "50"]), (1, ["55", "50"]), (2, ["70", "125/2"]),
    ]  # fmt: skip
    assert panels.standing(found).round == 2
    assert [link.event["what"] for link in audit.recent(session, 4)] == ["panel sheet kept"] * 3 + [
        "panel made"
    ]
    assert ledger_check.walk(session).broken is None


def test_items_are_those_of_the_bank(session: Session, shelf: Shelf, people: People) -> None:
    """Named for a plan they must be in the bank; worded anew since, they are named."""
    named = {"plan_id": "small-1", "ratings": "50 60", "names": "yokes-off-first, hot-lug-first"}
    made = kept(session, shelf, people, **named)
    assert panels.names_of(made) == ["yokes-off-first", "hot-lug-first"]
    assert panels.changed_since(made, shelf.bank) == []
    fewer = {name: one for name, one in shelf.bank.questions.items() if name != "hot-lug-first"}
    assert panels.changed_since(made, replace(shelf.bank, questions=fewer)) == ["hot-lug-first"]
    assert panels.for_plan(session, people.ian, "small-1") is made
    assert panels.for_plan(session, people.ian, "other") is None
    for changes, says in (
        ({"names": "yokes-off-first"}, "1 items are named and each judge has 2 ratings"),
        ({"names": "hot-lug-first hot-lug-first"}, "Name each item once"),
        ({"names": "hot-lug-first cold-lug"}, "no question or drill cold-lug"),
        ({"names": "a " + "b" * 81, "plan_id": ""}, "at most 80 characters"),
        ({"title": " "}, "The title"),
        ({"ratings": "50 x"}, "no percentage"),
    ):
        with pytest.raises(Refused, match=says):
            kept(session, shelf, people, **(named | changes))
    with pytest.raises(NotFound):
        kept(session, shelf, people, **(named | {"plan_id": "nothing"}))
    assert len(session.scalars(select(Panel)).all()) == 1


def test_a_sheet_of_other_items_is_refused(session: Session, shelf: Shelf, people: People) -> None:
    """A later sheet has as many items as the first."""
    number = kept(session, shelf, people, ratings="50 60").id
    with pytest.raises(Refused, match="about 2 items; the sheet has 3"):
        panels.add(session, people.ian, number, "50 60 70", "", False, NOW)
    assert len(session.scalars(select(PanelSheet)).all()) == 1


def test_of_ones_own_house_only(session: Session, shelf: Shelf, people: People) -> None:
    """A colleague sees it, another house does not."""
    number = kept(session, shelf, people).id
    colleague = make_person(session, "TV-02", "Ivo", {"instructor"}).id
    stranger = make_person(session, "HK-01", "Otto", {"instructor"}, house="Hook and Chain Works").id
    assert panels.own(session, colleague, number).title == "Coils"
    assert panels.of_house(session, stranger) == []
    with pytest.raises(NotFound):
        panels.add(session, stranger, number, RATINGS, "", False, NOW)
