"""What is remembered of a house is what judging all of it anew would say, whatever was done to its ledgers meanwhile."""

from __future__ import annotations

import random
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.entering import entered, make_level_iii
from tests.make import NOW, People, make_people, make_person
from tests.work import calls_in
from trainer.errors import Conflict, Refused
from trainer.qualification import Scheme
from trainer.services.admitting import accounts
from trainer.services.keeping import paging
from trainer.services.keeping.paging import Wish
from trainer.services.qualifying import countersigning, ledger, placings, schemes, standing
from trainer.services.qualifying.placings import Look, Placings
from trainer.store.models import Person

ON = date(2026, 11, 25)
KINDS = ("vision", "certificate", "training", "experience", "examination", "application")


@pytest.fixture(scope="module")
def known() -> dict[str, Scheme]:
    """The schemes that are shipped."""
    return schemes.known(Path("nowhere"))


def judged_anew(session: Session, by_id: int, known: dict[str, Scheme]) -> Look:
    """Everybody of the house judged now, in the order of the lists."""
    placed = standing.of_house(session, by_id, ON, known)
    dues = [
        (due.until, one.person.works_number, one.outline, due.row.id) for one in placed for due in one.dues
    ]
    dues.sort(key=lambda due: due[:2])
    expiries = [placings.Expiry(outline, row, until) for until, _number, outline, row in dues]
    return Look([one.outline for one in placed], expiries)


class Shop:
    """A house in which things happen by chance."""

    def __init__(self, session: Session, seed: int) -> None:
        self.session, self.chance = session, random.Random(seed)
        self.four: People = make_people(session)
        self.level_iii = make_level_iii(session)
        self.people = [self.four.tess, self.four.ian]
        self.unsigned: list[tuple[str, int]] = []

    def act(self) -> None:
        """Somebody comes, goes, comes back; something is entered, countersigned or reversed."""
        self.chance.choice(
            [self.come, self.enter, self.enter, self.enter, self.sign, self.sign, self.reverse, self.go]
        )()

    def come(self) -> None:
        number = f"TV-{100 + len(self.people)}"
        roles = self.chance.choice([{"trainee"}, {"trainee", "instructor"}, {"instructor"}])
        self.people.append(make_person(self.session, number, f"Érika {number}", roles).id)

    def go(self) -> None:
        somebody = self.session.get_one(Person, self.chance.choice(self.people))
        accounts.set_left(self.session, self.four.emma, somebody.id, somebody.left_at is None, NOW)

    def enter(self) -> None:
        day = ON - timedelta(days=self.chance.randrange(1, 900))
        person, kind = self.chance.choice(self.people), self.chance.choice(KINDS)
        role = "examiner" if kind in {"examination", "vision"} else "level_iii"
        row = entered(self.session, person, self.level_iii, role, kind, date=day.isoformat())
        self.unsigned.append((row.id, person))

    def sign(self) -> None:
        if self.unsigned:
            entry_id, _person = self.unsigned.pop(self.chance.randrange(len(self.unsigned)))
            if entry_id in [row.id for row in countersigning.waiting(self.session, self.four.emma)]:
                countersigning.countersign(self.session, [entry_id], self.four.emma, NOW)

    def reverse(self) -> None:
        if self.unsigned:
            entry_id, _person = self.unsigned.pop()
            ledger.reverse(self.session, entry_id, "wrong sheet", self.level_iii, NOW)


@pytest.mark.parametrize("seed", range(6))
def test_a_look_is_what_judging_anew_would_say(session: Session, known: dict[str, Scheme], seed: int) -> None:
    """After each of many acts by chance: the same people, in the same order, with the same rows and days."""
    shop, remembered = Shop(session, seed), Placings()
    for _round in range(12):
        for _act in range(shop.chance.randrange(1, 6)):
            try:
                with session.begin_nested():
                    shop.act()
            except (Refused, Conflict):  # the same fact twice
                continue
        assert remembered.look(session, shop.four.emma, ON, known) == judged_anew(
            session, shop.four.emma, known
        )


def test_pages_and_searches_are_parts_of_the_whole(session: Session, known: dict[str, Scheme]) -> None:
    """All pages one after the other are the whole list; a search finds whom the words name, accents or not."""
    shop = Shop(session, 1)
    for _person in range(30):
        shop.come()
    for _entry in range(60):
        shop.enter()
    look = Placings().look(session, shop.four.emma, ON, known)
    for whole in (look.people, look.expiries):
        pages = [paging.cut(whole, Wish(number, rows=7), len(whole)) for number in range(1, 40)]
        once = [row for page in pages[: pages[0].pages] for row in page.rows]
        assert (once, pages[-1].number) == (list(whole), pages[0].pages)
    found = placings.named(session, shop.four.emma, "erika tv-1")
    assert found == {one.person_id for one in look.people} & set(shop.people[2:])
    assert placings.named(session, shop.four.emma, "érika tv-131") < found


def test_only_whose_ledger_has_grown_is_judged_again(session: Session, known: dict[str, Scheme]) -> None:
    """A second look over sixty people judges nobody, one after a new entry judges one."""
    shop, remembered = Shop(session, 2), Placings()
    for _person in range(60):
        shop.come()
    emma = shop.four.emma

    def look() -> None:
        remembered.look(session, emma, ON, known)

    first, again = calls_in(look), calls_in(look)
    entered(session, shop.four.tess, shop.level_iii, "level_iii", "certificate")
    assert (first > 10 * again, calls_in(look) < first / 3) == (True, True)


def test_a_new_written_practice_is_seen(session: Session, known: dict[str, Scheme]) -> None:
    """Other schemes than those by which was judged are another judgement."""
    four, remembered = make_people(session), Placings()
    remembered.look(session, four.emma, ON, known)
    fewer = {name: scheme for name, scheme in known.items() if name != schemes.FIRST}
    (tess,) = remembered.look(session, four.emma, ON, fewer).people
    assert tess.scheme.id != schemes.FIRST


def test_another_house_is_not_seen(session: Session, known: dict[str, Scheme]) -> None:
    """The same memory asked for two houses gives each its own people."""
    four, remembered = make_people(session), Placings()
    boss = make_person(session, "HK-90", "Boss", {"employer"}, house="Hook and Chain Works").id
    seen = [
        [one.person_id for one in remembered.look(session, who, ON, known).people]
        for who in (four.emma, boss)
    ]
    assert seen == [[four.tess], [four.omar]]
    assert placings.named(session, boss, "tess") == frozenset()
