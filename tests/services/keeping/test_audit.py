"""Every act leaves a link, and a walk finds whatever was done to the chain."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import delete, update
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from tests.make import NOW, make_people
from trainer.records import chain
from trainer.services.keeping import audit
from trainer.services.proving import ledger_check
from trainer.services.proving.ledger_check import Reached
from trainer.store.models import Link


def fill(session: Session, count: int = 6) -> None:
    """A chain of a few notes."""
    for number in range(count):
        audit.note(session, None, "something done", number, NOW + timedelta(seconds=number))
    session.flush()


def test_a_whole_chain_holds(session: Session) -> None:
    """A chain as it was written holds, from the very first act on."""
    make_people(session)
    fill(session)
    walk = audit.walk(session)
    assert (walk.links, walk.broken) == (10, None)
    assert walk.says == "All 10 links hold."


def test_an_empty_chain_holds(session: Session) -> None:
    """Where nothing was done there is nothing to break."""
    assert audit.walk(session) == audit.Walk(0, None, "All 0 links hold.")


def test_links_follow_the_published_rule(session: Session) -> None:
    """A link's hash is SHA-256(JCS({seq, time, event, prev})), as the records room computes it."""
    audit.note(session, 7, "signed in", 7, NOW, facts={"count": 2})
    link = audit.recent(session)[0]
    event = {"who": 7, "what": "signed in", "about": "7", "facts": {"count": 2}}
    assert (link.seq, link.prev, link.event) == (0, chain.START, event)
    assert link.time == "2026-11-25T10:38:00.000000Z"
    assert link.hash == chain.hash_of(0, link.time, event, chain.START)


def test_the_notes_of_a_day_are_all_found_after_the_clock_was_set_back(session: Session) -> None:
    """Whatever was noted before a moment lies below the number, wherever the clock jumped; nothing lies below none."""
    for minute in (0, 1, 60, 61, 62, 2, 3, 63):
        audit.note(session, None, "something done", minute, NOW + timedelta(minutes=minute))
    asked = (0, 1, 2, 3, 4, 60, 63, 64)
    found = [audit.first_since(session, NOW + timedelta(minutes=minute)) for minute in asked]
    assert found == [0, 1, 2, 6, 7, 7, 7, 8]


@pytest.mark.parametrize("seq", [0, 3, 5])
def test_an_edited_event_is_found(session: Session, seq: int) -> None:
    """An edit of any link is found at that link."""
    fill(session)
    session.execute(update(Link).where(Link.seq == seq).values(event={"who": None, "what": "nothing"}))
    session.expire_all()
    assert audit.walk(session).broken == seq


def test_an_edited_time_is_found(session: Session) -> None:
    """A moment moved by a second is found."""
    fill(session)
    session.execute(update(Link).where(Link.seq == 2).values(time=audit.moment(NOW)))
    session.expire_all()
    assert audit.walk(session).broken == 2


def test_a_missing_link_is_found(session: Session) -> None:
    """A link taken out of the middle is found at its place."""
    fill(session)
    session.execute(delete(Link).where(Link.seq == 2))
    session.expire_all()
    assert audit.walk(session).broken == 2


def test_a_fork_cannot_be_stored(session: Session) -> None:
    """Two links after the same one are refused by the store itself."""
    fill(session)
    last = audit.recent(session, 1)[0]
    session.add(Link(seq=99, time=last.time, event={}, prev=last.prev, hash="f" * 64))
    with pytest.raises(IntegrityError, match=r"link[._]prev"):
        session.flush()


def test_a_chain_is_walked_in_stretches(session: Session) -> None:
    """Each visit goes on where the last one came to; the ledger is judged when the end is reached."""
    fill(session, 25)
    walk, reached = ledger_check.walk_on(session, Reached(), 10)
    assert (walk.broken, walk.says.startswith("The first 10 of 25 links hold")) == (None, True)
    walk, reached = ledger_check.walk_on(session, reached, 10)
    walk, reached = ledger_check.walk_on(session, reached, 10)
    assert (walk.says, reached.links) == (ledger_check.walk(session).says, 25)


@pytest.mark.parametrize("seq", [0, 9, 10, 24])
def test_an_edit_is_found_by_stretches_too(session: Session, seq: int) -> None:
    """A link that was changed before it was walked is named, whichever stretch it lies in."""
    fill(session, 25)
    session.execute(update(Link).where(Link.seq == seq).values(event={"what": "nothing"}))
    reached, broken = Reached(), None
    for _ in range(4):
        walk, reached = ledger_check.walk_on(session, reached, 10)
        broken = walk.broken if walk.broken is not None else broken
    assert broken == seq


def test_a_chain_that_is_no_longer_the_same_is_walked_anew(session: Session) -> None:
    """When the last walked link has another hash, nothing that was walked before is believed."""
    fill(session, 5)
    _, reached = ledger_check.walk_on(session, Reached(), 100)
    session.execute(update(Link).where(Link.seq == 4).values(hash="0" * 63 + "1"))
    walk, _ = ledger_check.walk_on(session, reached, 100)
    assert walk.broken == 4
