"""Long lists come page by page, are searched by the store, and survive whatever stands in the address."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import timedelta

import pytest

from tests.conftest import Browser
from tests.entering import entered, make_level_iii, verified
from tests.make import NOW, People, make_class
from tests.work import statements_in
from trainer.services.admitting import accounts
from trainer.services.keeping.paging import ROWS
from trainer.store import Database
from trainer.store.models import (
    DrillSet,
    Person,
    PersonRole,
    PrintedSheet,
    Sitting,
    TaughtClass,
)

MANY = 100
HOSTILE = ("0", "-1", "999999999", "9" * 40, "x", "1.5", "٣", "", "2 OR 1=1", "<b>")


@pytest.fixture
def crowd(store: Database, people: People) -> list[int]:
    """A hundred trainees of the house, TV-1000 to TV-1099; the last of them has accents in her name."""
    with store.writing() as session:
        home = session.get_one(Person, people.ian).organisation_id
        rows = [
            Person(
                organisation_id=home, works_number=f"TV-{1000 + n}", name="Zoë Ñandú" if n == MANY - 1 else f"Mate {n}",
                email=None, passphrase_hash=None, created_at=NOW, left_at=None, erased_at=None,
                role_rows=[PersonRole(role="trainee", granted_at=NOW)],
            )
            for n in range(MANY)
        ]  # fmt: skip
        session.add_all(rows)
        session.flush()
        return [row.id for row in rows]


def text_of(browser: Browser, path: str) -> str:
    """The page at an address, which must be there."""
    response = browser.get(path)
    assert response.status_code == 200, path
    return str(response.get_data(as_text=True))


def numbers(page: str) -> list[str]:
    """The works numbers of the crowd on a page, each once, in their order."""
    return list(dict.fromkeys(re.findall(r"TV-1\d\d\d", page)))


@pytest.fixture
def lists(
    store: Database, people: People, crowd: list[int], as_ian: Browser, as_emma: Browser
) -> list[tuple[Browser, str, str]]:
    """Every list of people: who asks, its address, the name of the list in that address."""
    with store.writing() as session:
        taught = make_class(session, people.ian, *crowd)
        for person_id in crowd:
            entered(session, person_id, person_id, "trainee")
        for one in session.query(Person).filter(Person.id.in_(crowd)):
            one.left_at = None
        other = make_class(session, people.ian, title="Another").id
    return [
        (as_ian, "/people/", ""),
        (as_ian, f"/instructor/classes/{taught.id}", "roster-"),
        (as_ian, f"/instructor/classes/{other}", "others-"),
        (as_ian, "/ledger/people", ""),
        (as_ian, "/practicals/", "people-"),
        (as_emma, "/ledger/", ""),
        (as_emma, "/employer/", "people-"),
        (as_emma, "/employer/matrix", ""),
    ]


def test_every_list_of_people_comes_page_by_page(lists: list[tuple[Browser, str, str]]) -> None:
    """Leafing by the links shows everybody once, some at a time; the foot says which of how many."""
    for browser, path, _name in lists:
        seen: list[str] = []
        there: str | None = path
        while there is not None:
            page = text_of(browser, there)
            shown = numbers(page)
            assert 0 < len(shown) <= ROWS, there
            assert re.search(r"\d+ to \d+ of 10\d", page), there
            seen += shown
            found = re.search(r'rel="next" href="([^"#]+)', page)
            there = found[1].replace("&amp;", "&") if found else None
        assert sorted(seen) == [f"TV-{1000 + n}" for n in range(MANY)], path


def test_every_list_of_people_is_searched(lists: list[tuple[Browser, str, str]]) -> None:
    """Words in any case, with accents or without, find whom they name; words of nobody say so."""
    for browser, path, name in lists:
        words = "words" if path.startswith("/employer") else f"{name}words"
        for asked in ("zoe nandu", "ZOË", "tv-1099 ñ"):
            assert numbers(text_of(browser, f"{path}?{words}={asked}")) == ["TV-1099"], (path, asked)
        for nobody in ("nobody%25", "%25", "_", "tv-1099 mate"):
            page = text_of(browser, f"{path}?{words}={nobody}")
            assert (numbers(page), "ody" in page) == ([], True), (path, nobody)


def test_words_stay_while_leafing(as_ian: Browser, crowd: list[int]) -> None:
    """The links to other pages of what was searched keep the words, and what is typed is only ever text."""
    page = text_of(as_ian, "/people/?words=mate&page=2")
    assert ("41 to 80 of 99" in page, 'value="mate"' in page) == (True, True)
    assert re.findall(r'rel="(?:prev|next)" href="([^"]+)"', page) == [
        "/people/?words=mate",
        "/people/?page=3&amp;words=mate",
    ]
    assert "<b>" not in text_of(as_ian, "/people/?words=<b>")


def test_two_lists_of_a_page_turn_apart(
    store: Database, people: People, as_ian: Browser, crowd: list[int]
) -> None:
    """Turning one list of a page leaves the other where it is."""
    with store.writing() as session:
        made = make_class(session, people.ian, *crowd[:50])
    page = text_of(as_ian, f"/instructor/classes/{made.id}?roster-page=2&others-words=mate&level=x")
    assert ("41 to 50 of 50" in page, "1 to 40 of 49" in page) == (True, True)
    links = [link.replace("&amp;", "&") for link in re.findall(r'rel="\w+" href="([^"]+)"', page)]
    assert any(
        "roster-page=2" in one and "others-page=2" in one and one.endswith("#others-list") for one in links
    )


def test_hostile_pages_give_the_nearest(lists: list[tuple[Browser, str, str]]) -> None:
    """Whatever stands for the number of a page, one that there is is shown."""
    for browser, path, name in lists:
        first, last = text_of(browser, path), numbers(text_of(browser, f"{path}?{name}page=99999"))
        for text in HOSTILE:
            shown = numbers(text_of(browser, f"{path}?{name}page={text}"))
            assert shown in (numbers(first), last), (path, text)
            assert shown, (path, text)
        assert numbers(text_of(browser, f"{path}?{name}page=-1")) == numbers(first)


def test_what_is_printed_is_whole(
    lists: list[tuple[Browser, str, str]], as_emma: Browser, as_ian: Browser
) -> None:
    """Matrix and due list have everybody on one sheet where that is asked for; lists to work with never do."""
    for path in ("/employer/matrix?page=all", "/employer/?people-page=all"):
        page = text_of(as_emma, path)
        assert (len(numbers(page)), "Page by page" in page) == (MANY, True)
    assert "page=all" in text_of(as_emma, "/employer/matrix")
    assert len(numbers(text_of(as_ian, "/people/?page=all"))) <= ROWS


def test_what_is_due_comes_page_by_page(
    store: Database, people: People, as_emma: Browser, crowd: list[int]
) -> None:
    """The next days stand in front, after them what has run out, the latest first; printed and exported it is whole."""
    with store.writing() as session:
        level_iii = make_level_iii(session)
        for place, person_id in enumerate(reversed(crowd)):
            day = NOW.date() - timedelta(days=400 - place)
            verified(session, person_id, people.emma, "employer", level_iii, "vision", date=day.isoformat())
    pages = [
        text_of(as_emma, f"/employer/?page={number}").split("Who may do what")[0] for number in (1, 2, 3)
    ]
    shown = [numbers(page.split("Due until")[1]) for page in pages]
    assert [len(page) for page in shown] == [40, 40, 20]
    gone = 35  # of 400 days ago to 301; good for a year
    ahead, behind = range(gone, MANY), reversed(range(gone))
    assert shown[0] + shown[1] + shown[2] == [f"TV-{1099 - place}" for place in (*ahead, *behind)]
    assert "1 to 40 of 100" in pages[0]
    whole = text_of(as_emma, "/employer/?page=all").split("Who may do what")[0]
    assert len(numbers(whole.split("Due until")[1])) == MANY
    assert as_emma.send("/employer/calendar").get_data(as_text=True).count("BEGIN:VEVENT") == MANY


@pytest.mark.sqlite
def test_a_page_asks_the_store_for_its_rows_only(
    store: Database, people: People, as_ian: Browser, crowd: list[int]
) -> None:
    """The question for people is cut in the store; nothing asks for all of them."""
    asked = statements_in(store, lambda: as_ian.get("/people/?page=2"))
    fetched = [one for one in asked if one.startswith("SELECT person.id") and "count(" not in one]
    assert fetched
    assert all("LIMIT" in one or "person.id = ?" in one for one in fetched)


def test_the_own_lists_of_an_instructor(store: Database, people: People, as_ian: Browser) -> None:
    """Classes, sets, examinations and printed sheets come page by page and are searched by name."""
    with store.writing() as session:
        home, taught = session.get_one(Person, people.ian).organisation_id, make_class(session, people.ian)
        for n in range(50):
            session.add_all(
                (
                    TaughtClass(
                        organisation_id=home, instructor_id=people.ian, title=f"Kürs {n:02}", level="I",
                        starts_on=NOW.date(), created_at=NOW, closed_at=NOW,
                    ),
                    DrillSet(organisation_id=home, made_by_id=people.ian, title=f"Sërie {n:02}", made_at=NOW),
                    Sitting(
                        organisation_id=home, class_id=taught.id, kind="drill", level="I", title=f"Kürs {n:02}", minutes=9,
                        opened_by_id=people.ian, code=f"C{n}", plan={"mark": 80}, state="planned", made_at=NOW,
                    ),
                    PrintedSheet(person_id=people.tess, made_at=NOW, items={"exercises": []}),
                )
            )  # fmt: skip
    plain = str.maketrans("üë", "ue")
    lists = {"classes": "Kürs", "sets": "Sërie", f"classes/{taught.id}/examinations": "Kürs"}
    for path, name in lists.items():
        both = text_of(as_ian, f"/instructor/{path}"), text_of(as_ian, f"/instructor/{path}?page=2")
        titles = [set(re.findall(rf"{name} \d\d", page)) for page in both]
        assert (len(titles[0] | titles[1]), titles[0] & titles[1]) == (50, set()), path
        found = text_of(as_ian, f"/instructor/{path}?words={name.translate(plain).lower()} 07")
        assert set(re.findall(rf"{name} \d\d", found)) == {f"{name} 07"}
    assert "41 to 50 of 50" in text_of(as_ian, "/instructor/printed?page=2")
    assert "50 have these words" not in text_of(as_ian, "/instructor/printed?words=omar")


def test_a_set_is_given_to_somebody_who_was_searched_for(
    store: Database, people: People, as_ian: Browser, crowd: list[int]
) -> None:
    """The form of a new set finds one person among many without losing what is typed; so does the page of a set."""
    typed = {"title": "Coils 1", "drill": ["coil-low-fill-wall"], "do": "search", "whom-words": "zoe"}
    page = as_ian.send("/instructor/sets/new", typed).get_data(as_text=True)
    assert (numbers(page), 'value="Coils 1"' in page) == (["TV-1099"], True)
    whom = {"whom": f"person-{crowd[-1]}", "do": "search", "whom-words": "mate"}
    assert "TV-1099" in as_ian.send("/instructor/sets/new", {**typed, **whom}).get_data(as_text=True)
    made = as_ian.send("/instructor/sets/new", {"title": "Coils 1", "drill": ["coil-low-fill-wall"]}).location
    assert numbers(text_of(as_ian, f"{made}?words=zoe")) == ["TV-1099"]


def test_a_candidate_of_another_page_stays_chosen(as_ian: Browser, people: People, crowd: list[int]) -> None:
    """A form that comes back with a fault keeps the candidate, also one who is not on the first page; rubbish is nobody."""
    page = as_ian.send("/practicals/", {"person": str(crowd[-1])}).get_data(as_text=True)
    assert f'<option value="{crowd[-1]}" selected>TV-1099' in page
    for rubbish in ("x", "9" * 30, str(people.omar)):
        page = as_ian.send("/practicals/", {"person": rubbish}).get_data(as_text=True)
        assert ("Omar" in page, "selected>HK" in page) == (False, False)


def test_the_notes_of_a_day(store: Database, people: People, as_emma: Browser) -> None:
    """The chain is opened at a day; a day that is none is said so, and older notes go on from any place."""
    with store.writing() as session:
        for n in range(60):
            accounts.set_left(session, people.emma, people.tess, n % 2 == 0, NOW + timedelta(days=n))
    newest = text_of(as_emma, "/employer/chain")
    assert ("Earlier notes" in newest, "Newest notes" in newest) == (True, False)
    day = (NOW + timedelta(days=4)).date().isoformat()
    page = text_of(as_emma, f"/employer/chain?day={day}")
    assert (day in page, (NOW + timedelta(days=5)).date().isoformat() in page, "Newest notes" in page) == (
        True,
        False,
        True,
    )
    for text in ("1850-01-01", "x", "2026-13-01", "9" * 30):
        assert "This is no date" in text_of(as_emma, f"/employer/chain?day={text}")
    assert "Nothing was done yet" in text_of(as_emma, "/employer/chain?day=1999-01-01")


def test_another_house_is_not_searched(
    people: People, crowd: list[int], signed_in: Callable[[int], Browser], store: Database
) -> None:
    """Words find nobody of another house."""
    with store.writing() as session:
        home = session.get_one(Person, people.omar).organisation_id
        boss = accounts.add_person(session, home, "HK-90", "Boss", frozenset({"employer"}), NOW).id
    browser = signed_in(boss)
    for path in ("/people/", "/ledger/people", "/employer/", "/employer/matrix", "/employer/erasures/"):
        assert numbers(text_of(browser, f"{path}?words=mate")) == []
