"""What a trainee's first page shows of the answers so far, and that it does not read more than it shows."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy.orm import Session

from tests.answering import DRILL, practise, right_text
from tests.banks import shipped_shelf
from tests.make import NOW, People, make_people
from tests.work import calls_in
from trainer.drills.shelf import Shelf
from trainer.practice.skill import Skill, after
from trainer.services.keeping.moments import local_day
from trainer.services.keeping.paging import Wish
from trainer.services.practising import practice
from trainer.services.teaching import progress, wanted
from trainer.services.teaching.progress import Home

ALL = Wish()


@pytest.fixture
def four(session: Session) -> People:
    """The four people of the test house."""
    return make_people(session)


def answered(session: Session, shelf: Shelf, person: int, days_ago: range) -> list[bool]:
    """One answer a day, every third one wrong."""
    rights = []
    for turn, days in enumerate(days_ago):
        at, drawn = NOW - timedelta(days=days), shelf.draw(DRILL, days, "I")
        row = practice.keep(session, shelf, person, drawn, "a test", "plain", at)
        text = right_text(shelf.mould(DRILL, "I"), drawn) if turn % 3 else "1 A"
        rights.append(practice.take(session, shelf, person, row.id, text, None, at).right)
    return rights


def first_page(session: Session, shelf: Shelf, person: int, wish: Wish = ALL) -> Home:
    """What the first page gathers."""
    lines, _ = wanted.lines_for(session, shelf, person, NOW)
    return progress.home(session, shelf, person, lines, lines, NOW, wish)


def test_the_chart_shows_what_a_replay_of_all_answers_gives(
    session: Session, shelf: Shelf, four: People
) -> None:
    """The averages of the last four weeks, worked out backwards, are those that the whole log gives forwards."""
    rights = answered(session, shelf, four.tess, range(45, -1, -1))
    skill, shown = Skill(), []
    for days, right in zip(range(45, -1, -1), rights, strict=True):
        day = local_day(NOW - timedelta(days=days))
        skill = after(skill, right, day)
        shown.append((day, right, pytest.approx(skill.theta, abs=1e-9)))
    (line,) = first_page(session, shelf, four.tess).skills.rows
    assert [(one.day, one.right, one.value) for one in line.strokes] == shown[-28:]


def test_years_of_practice_do_not_make_the_first_page_slower(
    session: Session, shelf: Shelf, four: People
) -> None:
    """Whoever has given a hundred answers before the last four weeks costs the page no more than who has given ten."""
    answered(session, shelf, four.tess, range(45, -1, -1))
    answered(session, shelf, four.omar, range(145, -1, -1))
    session.flush()
    for person in (four.tess, four.omar):
        first_page(session, shelf, person)
    usual = calls_in(lambda: first_page(session, shelf, four.tess))
    assert calls_in(lambda: first_page(session, shelf, four.omar)) < usual * 1.05


def test_skills_come_page_by_page(session: Session, four: People) -> None:
    """All that are begun, those due first, each page with their charts; words narrow them; counted are all of a state."""
    shelf = shipped_shelf()
    families = list({entry.drill.skill: entry.id for entry in shelf.bank.drills.values()}.items())[:5]
    for seed, (_, drill) in enumerate(families):
        find = next(iter(shelf.bank.drill(drill).drill.finds))
        practise(session, shelf, four.tess, seed > 0, seed, find, drill)
    pages = [first_page(session, shelf, four.tess, Wish(number, rows=3)) for number in (1, 2)]
    assert [len(one.skills.rows) for one in pages] == [3, 2]
    assert all(one.in_state == {"begun": 5} and one.skills.whole == 5 for one in pages)
    lines = [line for one in pages for line in one.skills.rows]
    assert {line.family for line in lines} == {family for family, _ in families}
    assert all(len(line.strokes) == 1 for line in lines)
    wanted_one = lines[-1]
    found = first_page(session, shelf, four.tess, Wish(words=wanted_one.title.upper(), rows=3))
    assert wanted_one in found.skills.rows
    assert (found.skills.whole, found.in_state["begun"]) == (5, found.skills.of)
    assert found.skills.of < 5
