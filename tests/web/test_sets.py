"""An instructor sets drills for a class or a person; the trainees find them; who is how far is seen."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest
from sqlalchemy import select

from tests.conftest import Browser
from tests.make import NOW, People, make_class, make_person
from tests.web.test_practice import begin, right_answer
from trainer.drills.shelf import Shelf
from trainer.services.practising import skills
from trainer.services.teaching import assignments, classes
from trainer.store import Database
from trainer.store.models import Assignment, DrillSet, Exercise

COIL, PROD = "coil-low-fill-wall", "prod-current-asme"
FORM = {"title": "Coils 1", "due_on": "2026-12-04", "right_needed": "1", "drill": [COIL, PROD]}


@pytest.fixture
def own_class(store: Database, people: People) -> int:
    """Ian's class with Tess in it."""
    with store.writing() as session:
        return make_class(session, people.ian, people.tess).id


def give(browser: Browser, class_id: int, **changes: object) -> int:
    """Make a set of two drills and give it to the class; return the status."""
    form = {**FORM, "whom": f"class-{class_id}", **changes}
    return browser.send("/instructor/sets/new", form).status_code


def only(store: Database) -> int:
    """The one assignment."""
    with store.reading() as session:
        return session.scalars(select(Assignment.id)).one()


def answer_right(browser: Browser, store: Database, shelf: Shelf, number: int) -> None:
    """Answer an exercise as it should be."""
    browser.send(f"/trainee/practice/{number}", {"answer": right_answer(store, shelf, number)})


def test_a_set_is_given_and_done(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf, people: People
) -> None:
    """Ticked drills become a set; Tess sees it, does it, and is counted; then it is no longer open."""
    assert give(as_ian, own_class) == 303
    home = as_tess.get("/trainee/").get_data(as_text=True)
    assert "Coils 1" in home
    assert "0 of 2" in home
    given = only(store)
    for _ in range(2):
        answer_right(as_tess, store, shelf, begin(as_tess, set=str(given)))
    with store.reading() as session:
        assert session.scalars(select(Exercise.assignment_id)).all() == [given, given]
        assert assignments.open_for(session, shelf, people.tess, NOW.date()) == []
    assert "1 of 1 has finished Coils 1" in as_ian.get(f"/instructor/assignments/{given}").get_data(True)
    assert 'data-label="Finished by">1 of 1' in as_ian.get(f"/instructor/classes/{own_class}/sets").get_data(
        as_text=True
    )


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"title": ""}, "Write a name"),
        ({"due_on": "Friday"}, "year, month, day"),
        ({"right_needed": "0"}, "1 to 20"),
        ({"right_needed": "²"}, "1 to 20"),
        ({"drill": []}, "Tick at least one drill"),
    ],
)
def test_what_cannot_be_taken_is_told(
    as_ian: Browser, own_class: int, store: Database, changes: dict[str, object], says: str
) -> None:
    """A sentence at the field, what was ticked stays ticked, nothing is kept."""
    form = {**FORM, "whom": f"class-{own_class}", **changes}
    reply = as_ian.send("/instructor/sets/new", form)
    page = reply.get_data(as_text=True)
    assert reply.status_code == 422
    assert says in page
    assert page.count(" checked") == len(form["drill"])  # type: ignore[arg-type]
    with store.reading() as session:
        assert session.scalars(select(DrillSet)).all() == []


def test_searching_keeps_what_is_ticked(as_ian: Browser, own_class: int, store: Database) -> None:
    """The search narrows the list, keeps ticks and fields, and makes nothing."""
    reply = as_ian.send("/instructor/sets/new", {**FORM, "drill": [COIL], "do": "search", "q": "prod ASME"})
    page = reply.get_data(as_text=True)
    assert reply.status_code == 200
    assert (page.count(" checked"), 'value="Coils 1"' in page, 'value="prod ASME"' in page) == (1, True, True)
    nothing = as_ian.send("/instructor/sets/new", {"do": "search", "q": "zebra"}).get_data(as_text=True)
    assert 'data-none="No drill has these words. Try fewer.">' in nothing
    with store.reading() as session:
        assert session.scalars(select(DrillSet)).all() == []


def test_one_goes_on_with_what_was_found(as_ian: Browser, own_class: int) -> None:
    """After a search the first drill that has the words has the focus, on every list; what is ticked stands in front."""
    wanted = {"do": "search", "q": "prod ASME"}
    for path in ("sets/new", f"classes/{own_class}/examinations", f"classes/{own_class}/ask"):
        page = as_ian.send(f"/instructor/{path}", {**wanted, "drill": [COIL]}).get_data(as_text=True)
        assert re.search(rf'value="{PROD}" autofocus', page), path
        assert page.count(" autofocus") == 1
        if "ask" not in path:
            assert page.index(f'id="d-{COIL}"') < page.index('id="q"') < page.index(f'id="d-{PROD}"')


def test_a_list_begins_with_a_topic_or_an_earlier_set(
    as_ian: Browser, own_class: int, signed_in: Callable[[int], Browser], store: Database
) -> None:
    """One press ticks a topic's drills of a level or an own set's, names it, and keeps what was ticked and typed."""
    assert give(as_ian, own_class, drill=[COIL], **{f"find-{COIL}": "I"}) == 303
    for path in ("sets/new", f"classes/{own_class}/examinations"):
        like = {"do": "begin", "like": "prods/I", "title": "", "drill": [COIL]}
        page = as_ian.send(f"/instructor/{path}", like).get_data(as_text=True)
        assert 'name="like" autofocus' in page, "one goes on where one was, close to the end of the form"
        assert ('value="Prods, Level I"' in page, page.count('name="drill"'), ticked(page)) == (
            True, page.count("data-words") + 2, [COIL, PROD],
        )  # fmt: skip
        page = as_ian.send(f"/instructor/{path}", {**like, "like": "set-1", "drill": []}).get_data(
            as_text=True
        )
        assert ('value="Coils 2"' in page, 'value="I" selected' in page, ticked(page)) == (True, True, [COIL])
        nothing = as_ian.send(f"/instructor/{path}", {**like, "like": "", "title": "Mine"})
        assert 'value="Mine"' in nothing.get_data(as_text=True)
        for wrong in ("prods/V", "no-such-topic/I", "set-9", "set-x"):
            assert as_ian.send(f"/instructor/{path}", {**like, "like": wrong}).status_code == 404
    assert give(as_ian, own_class, title="Prods, Level I") == 303
    again = as_ian.send("/instructor/sets/new", {"do": "begin", "like": "prods/I"}).get_data(as_text=True)
    assert 'value="Prods, Level I 2"' in again
    with store.writing() as session:
        ada = make_person(session, "TV-02", "Ada", {"instructor"}).id
    assert signed_in(ada).send("/instructor/sets/new", {"do": "begin", "like": "set-1"}).status_code == 404


def ticked(page: str) -> list[str]:
    """The drills that are ticked on a page."""
    return re.findall(r'name="drill" value="([^"]+)" checked', page)


def test_what_is_proven_of_a_set_counts_on_the_way(
    as_tess: Browser, as_ian: Browser, own_class: int, store: Database, people: People
) -> None:
    """The way to all proven is that of the whole set, its proven skill hatched."""
    give(as_ian, own_class, right_needed="")
    with store.writing() as session:
        for days in (*[9] * 8, 8, 4):
            skills.move(session, people.tess, PROD, True, NOW - timedelta(days=days))
    page = as_tess.get("/trainee/").get_data(as_text=True)
    assert "A bar of 2 skills: 1 proven, 0 steady and to be proven, 1 before that." in page
    assert "if none is missed: 10." in page


def test_a_line_may_name_what_is_asked(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf
) -> None:
    """The chosen unknown is asked for, and only its right answers count."""
    assert give(as_ian, own_class, drill=[COIL], **{f"find-{COIL}": "N"}) == 303
    number = begin(as_tess, set=str(only(store)))
    with store.reading() as session:
        assert session.get_one(Exercise, number).find == "N"
    assert give(as_ian, own_class, title="Coils 2", drill=[COIL], **{f"find-{COIL}": "XX"}) == 404


def test_a_set_for_one_person_on_any_day(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, shelf: Shelf, people: People
) -> None:
    """Given to Tess alone, and open although her skill itself waits for a later day."""
    with store.writing() as session:
        for _ in range(8):
            skills.move(session, people.tess, COIL, True, NOW)
    assert give(as_ian, own_class, whom=f"person-{people.tess}", drill=[COIL], right_needed="2") == 303
    number = begin(as_tess, set=str(only(store)))
    page = as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True)
    assert "because it is set for you" in page
    answer_right(as_tess, store, shelf, number)
    assert "1 of 2" in as_ian.get(f"/instructor/assignments/{only(store)}").get_data(as_text=True)


def test_until_proven_ends_with_the_skill(
    as_ian: Browser, own_class: int, store: Database, shelf: Shelf, people: People
) -> None:
    """A set until proven counts the skill, also where its drill was never asked in this set."""
    assert give(as_ian, own_class, drill=[COIL], right_needed="") == 303
    with store.writing() as session:
        assert [s.of for s in assignments.open_for(session, shelf, people.tess, NOW.date())] == [1]
        for day in range(60):
            skills.move(session, people.tess, COIL, True, NOW + timedelta(days=day))
        assert skills.skills_of(session, people.tess)[COIL].state == "proven"
        assert assignments.open_for(session, shelf, people.tess, NOW.date()) == []


def test_the_way_counts_what_is_proven_in_the_set(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, people: People
) -> None:
    """Of a set of two skills with one proven the first page shows one proven and one to go."""
    assert give(as_ian, own_class, drill=[COIL, PROD], right_needed="") == 303
    with store.writing() as session:
        for day in range(60):
            skills.move(session, people.tess, COIL, True, NOW + timedelta(days=day))
    page = as_tess.get("/trainee/").get_data(as_text=True)
    assert ("1 proven" in page, "1 to go" in page, "1 of 2 skills proven" in page) == (True, True, True)


def test_a_set_is_copied_put_away_and_taken_up(as_ian: Browser, own_class: int, store: Database) -> None:
    """A copy begins with the same ticks and the next number; what is put away cannot be given."""
    assert give(as_ian, own_class, **{f"find-{COIL}": "I"}) == 303
    copy = as_ian.get("/instructor/sets/new?like=1").get_data(as_text=True)
    assert ('value="Coils 2"' in copy, copy.count(" checked"), 'value="I" selected' in copy) == (
        True,
        2,
        True,
    )
    assert as_ian.send("/instructor/sets/1/retire").status_code == 303
    told = as_ian.send("/instructor/sets/1/give", {"whom": f"class-{own_class}"})
    assert (told.status_code, "put away" in told.get_data(as_text=True)) == (422, True)
    assert "put away" in as_ian.get("/instructor/sets").get_data(as_text=True)
    assert as_ian.send("/instructor/sets/1/restore").status_code == 303
    assert "Put it away" in as_ian.get("/instructor/sets/1").get_data(as_text=True)


def test_twice_is_told(as_ian: Browser, own_class: int, store: Database) -> None:
    """The same set pressed twice is made once, and given once to the same class."""
    assert [give(as_ian, own_class), give(as_ian, own_class)] == [303, 422]
    again = as_ian.send("/instructor/sets/1/give", {"whom": f"class-{own_class}"})
    assert (again.status_code, "given there already" in again.get_data(as_text=True)) == (422, True)
    nobody = as_ian.send("/instructor/sets/1/give", {"whom": ""})
    assert (nobody.status_code, "Choose a class" in nobody.get_data(as_text=True)) == (422, True)
    with store.reading() as session:
        assert len(session.scalars(select(Assignment)).all()) == 1


def test_taken_back_or_closed_is_gone(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, people: People
) -> None:
    """A set that is taken back, or whose class is closed, is gone from the trainee's page."""
    give(as_ian, own_class)
    with store.writing() as session:
        classes.set_closed(session, people.ian, own_class, True, NOW)
    assert "Coils 1" not in as_tess.get("/trainee/").get_data(as_text=True)
    with store.writing() as session:
        classes.set_closed(session, people.ian, own_class, False, NOW)
    assert "Coils 1" in as_tess.get("/trainee/").get_data(as_text=True)
    for _ in range(2):
        assert as_ian.send("/instructor/assignments/1/withdraw").status_code == 303
    assert "Coils 1" not in as_tess.get("/trainee/").get_data(as_text=True)
    assert "taken back" in as_ian.get("/instructor/assignments/1").get_data(as_text=True)


def test_an_exercise_is_looked_at_before(as_ian: Browser) -> None:
    """The preview shows an exercise with its working, for the unknown that is wanted."""
    page = as_ian.get(f"/instructor/drills/{COIL}?find=N").get_data(as_text=True)
    assert ("find it" in page, "The working" in page) == (True, True)
    assert as_ian.get(f"/instructor/drills/{COIL}?find=XX").status_code == 404
    assert as_ian.get("/instructor/drills/no-such-drill").status_code == 404


def test_not_yours(
    as_ian: Browser, as_tess: Browser, own_class: int, store: Database, signed_in: Callable[[int], Browser],
    people: People,
) -> None:  # fmt: skip
    """Another's set or class is not found, a trainee is refused, wrong ids and methods are told."""
    give(as_ian, own_class)
    with store.writing() as session:
        ada = make_person(session, "TV-02", "Ada", {"instructor"}).id
    as_ada = signed_in(ada)
    for path in ("/sets/1", "/assignments/1", f"/classes/{own_class}/sets", f"/classes/{own_class}/now"):
        assert as_ada.get(f"/instructor{path}").status_code == 404
        assert as_tess.get(f"/instructor{path}").status_code == 403
    for path in ("/sets/1/give", "/sets/1/retire", "/sets/1/restore", "/assignments/1/withdraw"):
        assert as_ada.send(f"/instructor{path}", {"whom": f"class-{own_class}"}).status_code == 404
        assert as_ian.get(f"/instructor{path}").status_code == 405
        assert as_ian.send(f"/instructor{path.replace('1', '99')}").status_code in {404, 422}
    assert as_ada.get("/instructor/sets/new?like=1").status_code == 404
    assert give(as_ada, own_class) == 404
    assert give(as_ian, own_class, title="Coils 3", whom=f"person-{people.omar}") == 404
    assert give(as_ian, own_class, title="Coils 3", whom=f"person-{people.emma}") == 422
    assert give(as_ian, own_class, title="Coils 3", whom="class-x") == 404
    assert give(as_ian, own_class, title="Coils 3", drill=["no-such-drill"]) == 404
