"""The second hand: entitled, never the person concerned, never the one who entered it; all or none."""

from __future__ import annotations

from datetime import date

import pytest
from sqlalchemy import delete, update
from sqlalchemy.orm import Session

from tests.entering import BODIES, EXPERIENCE, entered, make_level_iii, verified
from tests.make import NOW, People, make_class, make_people, make_person
from trainer.errors import Conflict, NotAllowed, NotFound
from trainer.qualification.counting import counting_on
from trainer.services.admitting import accounts, entitlements
from trainer.services.keeping import audit
from trainer.services.proving import ledger_check
from trainer.services.qualifying import countersigning, histories, ledger
from trainer.services.qualifying.histories import BadEntry
from trainer.store.models import Countersignature, Entry, Link


@pytest.fixture
def four(session: Session) -> People:
    """The four, Tess in a class of Ian's."""
    people = make_people(session)
    make_class(session, people.ian, people.tess)
    return people


def counted(session: Session, person_id: int) -> list[str]:
    """The ids of the entries that count today."""
    return [
        fact.id for fact in counting_on(histories.history_of(session, person_id), date(2026, 12, 31)).entries
    ]


def test_an_entry_counts_once_it_is_signed(session: Session, four: People) -> None:
    """Unsigned it waits and counts for nothing; signed it counts and waits no more."""
    row = entered(session, four.tess, four.tess, "trainee")
    assert (counted(session, four.tess), [one.id for one in countersigning.waiting(session, four.emma)]) == (
        [],
        [row.id],
    )
    assert countersigning.countersign(session, [row.id, row.id], four.emma, NOW) == 1
    assert (counted(session, four.tess), countersigning.waiting(session, four.emma)) == ([row.id], [])


@pytest.mark.parametrize("kind", sorted(BODIES))
def test_who_may_sign_is_what_the_format_entitles(session: Session, four: People, kind: str) -> None:
    """For every kind: each role of the house signs if, and only if, the history format entitles it."""
    entering = entitlements.ENTERED_BY[kind]
    role = entitlements.first_of(entering) or ""
    by_id = (
        four.tess if entering == {"trainee"} else make_person(session, "TV-80", "Enters", set(entering)).id
    )
    if role == "instructor":
        make_class(session, by_id, four.tess)
    row = entered(session, four.tess, by_id, "trainee" if by_id == four.tess else role, kind)
    for signing in ("trainee", "instructor", "examiner", "level_iii", "employer"):
        signer = make_person(session, f"S-{signing}".replace("_", "-"), "Signs", {signing}).id
        if signing == "instructor":
            make_class(session, signer, four.tess)
        may = signing in entitlements.signing_roles(kind)
        assert ([one.id for one in countersigning.waiting(session, signer)] == [row.id]) == may
        if may:
            savepoint = session.begin_nested()
            countersigning.countersign(session, [row.id], signer, NOW)
            assert counted(session, four.tess) in ([row.id], [])
            assert row.countersignatures[0].role == signing
            savepoint.rollback()
            session.expire_all()
        else:
            with pytest.raises((NotAllowed, NotFound)):
                countersigning.countersign(session, [row.id], signer, NOW)


def test_never_the_same_hand_nor_the_person_concerned(session: Session, four: People) -> None:
    """Who entered it, and who it is about, cannot sign, whatever roles they hold."""
    mine = entered(session, four.tess, four.emma, "employer")
    about_emma = entered(session, four.emma, four.ian, "instructor", "examination")
    accounts.set_roles(session, four.emma, four.emma, frozenset({"employer", "examiner"}), NOW)
    for row in (mine, about_emma):
        assert row.id not in [one.id for one in countersigning.waiting(session, four.emma)]
        with pytest.raises(NotAllowed):
            countersigning.countersign(session, [row.id], four.emma, NOW)
        with pytest.raises(NotAllowed):
            countersigning.refuse(session, row.id, "no", four.emma, NOW)


def test_many_are_signed_at_once_or_none(session: Session, four: People) -> None:
    """One entry out of reach lets the others unsigned, when the transaction is given up."""
    first = entered(session, four.tess, four.tess, "trainee")
    foreign = entered(session, four.omar, four.omar, "trainee")
    savepoint = session.begin_nested()
    with pytest.raises(NotFound):
        countersigning.countersign(session, [first.id, foreign.id], four.emma, NOW)
    savepoint.rollback()
    assert [one.id for one in countersigning.waiting(session, four.emma)] == [first.id]


def test_signed_once(session: Session, four: People) -> None:
    """A second signature, or one after a refusal, is a conflict."""
    level_iii = make_level_iii(session)
    row = verified(session, four.tess, four.tess, "trainee", four.emma)
    with pytest.raises(Conflict):
        countersigning.countersign(session, [row.id], level_iii, NOW)
    other = entered(session, four.tess, four.tess, "trainee", date="2026-11-12")
    countersigning.refuse(session, other.id, "you were on leave", four.emma, NOW)
    for act in (countersigning.countersign(session, [], level_iii, NOW),):
        assert act == 0
    with pytest.raises(Conflict):
        countersigning.countersign(session, [other.id], level_iii, NOW)
    with pytest.raises(Conflict):
        countersigning.refuse(session, other.id, "again", level_iii, NOW)


def test_a_refusal_says_why_and_waits_for_nobody(session: Session, four: People) -> None:
    """A refused entry leaves every list, and so does its reversal: nothing ever counted."""
    row = entered(session, four.tess, four.tess, "trainee")
    with pytest.raises(BadEntry):
        countersigning.refuse(session, row.id, " ", four.emma, NOW)
    undone = countersigning.refuse(session, row.id, "you were on leave", four.emma, NOW)
    assert undone.body["reason"] == "you were on leave"
    assert countersigning.waiting(session, make_level_iii(session)) == []
    assert countersigning.waiting(session, four.emma) == []


def test_a_reversal_counts_once_it_is_signed_too(session: Session, four: People) -> None:
    """The reversal of a countersigned entry waits for a second hand; until then the entry counts."""
    level_iii = make_level_iii(session)
    row = verified(session, four.tess, four.tess, "trainee", four.emma)
    undone = ledger.reverse(session, row.id, "shifts of somebody else", four.emma, NOW)
    assert counted(session, four.tess) == [row.id]
    assert [one.id for one in countersigning.waiting(session, level_iii)] == [undone.id]
    countersigning.countersign(session, [undone.id], level_iii, NOW)
    assert row.id not in counted(session, four.tess)


def test_the_role_wished_is_the_role_signed_in(session: Session, four: People) -> None:
    """Somebody with several roles signs in the one they choose, where the kind entitles it."""
    both = make_person(session, "TV-92", "Both", {"employer", "level_iii"}).id
    for wished, signed in (
        ("employer", "employer"),
        ("level_iii", "level_iii"),
        ("trainee", "level_iii"),
        ("", "level_iii"),
    ):
        row = entered(session, four.tess, four.tess, "trainee", note=wished or "none")
        countersigning.countersign(session, [row.id], both, NOW, wished)
        assert row.countersignatures[0].role == signed


def test_an_untouched_ledger_holds(session: Session, four: People) -> None:
    """Entries, countersignatures and links agree after ordinary work."""
    verified(session, four.tess, four.tess, "trainee", four.emma)
    entered(session, four.tess, four.ian, "instructor", "training")
    session.expire_all()
    walk = ledger_check.walk(session)
    assert (walk.broken, "2 ledger entries are as they were entered" in walk.says) == (None, True)


def test_whatever_is_changed_outside_is_named(session: Session, four: People) -> None:
    """A changed, added or missing row of the ledger is told with its entry, and the first link that fits."""
    row = verified(session, four.tess, four.tess, "trainee", four.emma)
    facts = {"id": "e77", "seq": 77, "person_id": four.tess, "kind": "work", "entered_by_id": four.tess}
    added = Entry(**facts, body={**BODIES["work"]}, entered_role="trainee", entered_at=NOW)
    for spoil, says in (
        (update(Entry).values(body={**EXPERIENCE, "hours": "70"}), f"Entry {row.id} was changed"),
        (update(Entry).values(person_id=four.ian), f"Entry {row.id} was changed"),
        (
            update(Countersignature).values(role="level_iii"),
            f"countersignature of entry {row.id} was changed",
        ),
        (delete(Countersignature), f"countersignature of entry {row.id} is missing"),
        (added, "Entry e77 was put in"),
    ):
        savepoint = session.begin_nested()
        session.add(spoil) if isinstance(spoil, Entry) else session.execute(spoil)
        session.flush()
        session.expire_all()
        walk = ledger_check.walk(session)
        assert says in walk.says
        assert walk.broken is not None
        savepoint.rollback()
        session.expire_all()
    assert ledger_check.walk(session).broken is None


def test_a_changed_link_is_told_first(session: Session, four: People) -> None:
    """Where a link itself was changed, that is the fault."""
    entered(session, four.tess, four.tess, "trainee")
    session.flush()
    session.execute(update(Link).where(Link.seq == 1).values(time=audit.moment(NOW) + "x"))
    session.expire_all()
    assert ledger_check.walk(session).broken == 1
