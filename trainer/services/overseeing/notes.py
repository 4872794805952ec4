"""The chain of notes as somebody of a house may read it: what their people did, and what was done about them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session, lazyload

from trainer.languages import _
from trainer.services.admitting import accounts
from trainer.services.admitting.particulars import ROLE_WORDS
from trainer.services.keeping.moments import local_day
from trainer.services.overseeing.acts import act_words, fact_words
from trainer.store.models import Aside, Link, Person

AT_ONCE, MOST_LOOKED = 100, 5_000


@dataclass(frozen=True, slots=True)
class Told:
    """One note: its number, its moment as hashed, who (None: the machine's owner), what and about what."""

    seq: int
    time: str
    who: str
    what: str
    about: str
    where: str
    facts: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Notes:
    """Notes, newest first, and the number of the link before which older ones go on (None: there are none)."""

    rows: tuple[Told, ...]
    further: int | None


def of_house(session: Session, by_id: int, limit: int, before: int | None = None) -> Notes:
    """The newest notes by or about people of the asker's house, from below ``before`` on.

    Where others fill the chain it looks at so many links at a time and no more; older ones go on from there.
    """
    found: list[Told] = []
    looked, last = 0, before
    while looked < MOST_LOOKED:
        coming = _links(session, last)
        people = _people(session, by_id, coming)
        for link in coming:
            looked, last = looked + 1, link.seq
            if not _named(link).isdisjoint(people):
                found.append(_told(link, people, _apart(session, link, people)))
            if len(found) == limit:
                return Notes(tuple(found), last or None)
        if len(coming) < AT_ONCE:
            return Notes(tuple(found), None)
    return Notes(tuple(found), last)


def _links(session: Session, before: int | None) -> list[Link]:
    wanted = select(Link).order_by(Link.seq.desc()).limit(AT_ONCE)
    return list(session.scalars(wanted if before is None else wanted.where(Link.seq < before)))


def _named(link: Link) -> set[object]:
    """The ids of the people whom a link names."""
    facts, apart = link.event.get("facts") or {}, link.event.get("apart") or {}
    return {link.event.get("who"), facts.get("person"), apart.get("of")}


def _people(session: Session, by_id: int, links: Iterable[Link]) -> dict[int, Person]:
    """Those whom these links name and who are, or were, of the asker's house."""
    ids = [one for link in links for one in _named(link) if isinstance(one, int)]
    house = accounts.house(by_id, with_erased=True).where(Person.id.in_(ids))
    return {one.id: one for one in session.scalars(house.options(lazyload(Person.role_rows)))}


def _apart(session: Session, link: Link, people: dict[int, Person]) -> dict[str, str]:
    """What is told beside a link, by name; in the place of what was erased, that and when."""
    apart = link.event.get("apart")
    if not apart:
        return {}
    aside, person = session.get(Aside, link.seq), people.get(apart["of"])
    if aside is not None:
        return dict(aside.texts)
    day = local_day(person.erased_at) if person and person.erased_at else None
    says = _("erased with the person, %(day)s", day=day) if day else _("missing")
    return dict.fromkeys(apart["names"].split(), says)


def _told(link: Link, people: dict[int, Person], apart: dict[str, str]) -> Told:
    names = {one.id: f"{one.works_number} {one.name}" for one in people.values()}
    event = link.event
    facts = dict(event.get("facts") or {})
    person = facts.pop("person", None)
    shown = (
        [(fact_words("person"), names.get(person, _("somebody elsewhere")))]
        if isinstance(person, int)
        else []
    )
    shown += [
        (fact_words(name), _role(str(value)))
        for name, value in facts.items()
        if value is not None and name != "digest"
    ]
    # links of the first edition hold their address themselves
    where = apart.pop("where", "") or str(event.get("where") or "")
    shown += [(fact_words(name), told) for name, told in apart.items()]
    who = event.get("who")
    return Told(
        link.seq,
        link.time,
        _("the machine's owner") if who is None else names.get(who, _("somebody elsewhere")),
        act_words(str(event.get("what"))),
        str(event.get("about")),
        where,
        tuple(shown),
    )


def _role(value: str) -> str:
    """A role in words; any other value as it is kept."""
    return _(ROLE_WORDS[value]) if value in ROLE_WORDS else value
