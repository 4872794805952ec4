"""How the people of a house stand on a day, remembered: judged once, and again only whose ledger has changed.

A standing follows from the entries and countersignatures about a person, the schemes, the written practice and the
day. The ledger is only added to, so what came after the last look names everybody whose standing may be another now.
A look over a house then costs a question to the store, not a thousand judgements.
"""

from __future__ import annotations

import threading
from bisect import bisect_left, bisect_right
from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.qualification import Revisions, Scheme
from trainer.services.qualifying import practices, standing
from trainer.services.qualifying.outlines import Outline
from trainer.store.folding import holding
from trainer.store.models import Countersignature, Entry, Person

MOST_KEPT = 6  # houses and days: today's of each house, and what somebody asks of another day
_ENTRY, _SIGNED, _PERSON = Entry.table(), Countersignature.table(), Person.table()

Mark = tuple[int, int]
"""How far the ledger goes: the numbers of the newest entry and of the newest countersignature."""


@dataclass(frozen=True, slots=True)
class Expiry:
    """One prerequisite of one person that runs out on a day."""

    outline: Outline
    row: str
    until: date


@dataclass(frozen=True, slots=True)
class Look:
    """The people of a house in the order of what is due first, and every expiry in the order of its day."""

    people: Sequence[Outline]
    expiries: Sequence[Expiry]

    def due(self, today: date, last: date) -> Sequence[Expiry]:
        """What runs out from today to a day, the next days first, and after it what has run out, the latest first."""
        begin, end = (
            bisect(self.expiries, day, key=lambda one: one.until)
            for bisect, day in ((bisect_left, today), (bisect_right, last))
        )
        return [*self.expiries[begin:end], *reversed(self.expiries[:begin])]


@dataclass(slots=True)
class _Kept:
    """What is remembered of one house on one day, and from what it follows."""

    known: Mapping[str, Scheme]
    own: Mapping[str, Revisions]
    mark: Mark = (0, 0)
    outlines: dict[int, Outline] = field(default_factory=dict)
    people: Sequence[int] = ()
    look: Look = Look((), ())

    def follows_from(self, known: Mapping[str, Scheme], own: Mapping[str, Revisions]) -> bool:
        """Whether schemes and written practice are still those by which was judged."""
        same = self.known.keys() == known.keys() and all(
            self.known[name] is one for name, one in known.items()
        )
        return same and self.own == own


class Placings:
    """What one store's houses were judged to be; for all threads of a program that asks that store."""

    def __init__(self) -> None:
        self._kept: OrderedDict[tuple[int, date], _Kept] = OrderedDict()
        self._turn = threading.Lock()

    def look(self, session: Session, by_id: int, on: date, known: Mapping[str, Scheme]) -> Look:
        """Everybody of the asker's house who has a record or is a trainee, as `standing.of_house` judges them."""
        home = session.execute(select(_PERSON.c.organisation_id).where(_PERSON.c.id == by_id)).scalar_one()
        people = session.scalars(standing.house(by_id)).all()
        own, mark = practices.approved(session, home, known), _mark(session)
        with self._turn:
            kept = self._kept.pop((home, on), None)
            if kept is None or not kept.follows_from(known, own) or _is_behind(mark, kept.mark):
                kept = _Kept(known, own)
            self._kept[home, on] = kept
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
            if (kept.mark, kept.people) != (mark, people):
                _bring_up(session, kept, mark, people, on)
            return kept.look


def named(session: Session, by_id: int, words: str) -> frozenset[int]:
    """The ids of those of the asker's house in whose works number or name all these words stand."""
    wanted = standing.house(by_id).where(holding(words, Person.works_number, Person.name))
    return frozenset(session.scalars(wanted))


def _bring_up(session: Session, kept: _Kept, mark: Mark, people: Sequence[int], on: date) -> None:
    """Judge whoever is new here or whose ledger has grown, and put everybody into order."""
    if kept.outlines:
        for person_id in _touched(session, kept.mark):
            kept.outlines.pop(person_id, None)
    missing = [person_id for person_id in people if person_id not in kept.outlines]
    for one in standing.placed_of(session, missing, on, kept.known, kept.own):
        kept.outlines[one.person.id] = Outline.of(one.person.id, one.standing)
    # both orders keep that of the works numbers among what is equal
    ordered = [kept.outlines[person_id] for person_id in people]
    expiries = [Expiry(one, row, until) for one in ordered for until, row in one.dues]
    ordered.sort(key=lambda one: one.first_due)
    expiries.sort(key=lambda one: one.until)
    kept.look = Look(ordered, expiries)
    kept.mark, kept.people = mark, people


def _mark(session: Session) -> Mark:
    newest = select(
        select(func.max(_ENTRY.c.seq)).scalar_subquery(), select(func.max(_SIGNED.c.id)).scalar_subquery()
    )
    entry, signed = session.execute(newest).one()
    return entry or 0, signed or 0


def _is_behind(mark: Mark, kept: Mark) -> bool:
    """Whether a look at the store is older than what is remembered: another thread was faster."""
    return mark[0] < kept[0] or mark[1] < kept[1]


def _touched(session: Session, since: Mark) -> set[int]:
    """The ids of everybody about whom something was entered or countersigned since."""
    entered = select(_ENTRY.c.person_id).where(_ENTRY.c.seq > since[0])
    signed = select(_ENTRY.c.person_id).join(_SIGNED, _SIGNED.c.entry_id == _ENTRY.c.id)
    return set(session.scalars(entered.union(signed.where(_SIGNED.c.id > since[1]))))
