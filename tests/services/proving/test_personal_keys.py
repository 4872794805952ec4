"""A personal key opens with its holder's passphrase only; a changed one introduces the next, a lost one does not."""

from __future__ import annotations

import pytest
from sqlalchemy import select, update
from sqlalchemy.orm import Session

from tests.make import NOW, People, make_people
from tests.signing import KEY_PASSPHRASE, fresh, make_key
from tests.stores import unwatched
from trainer.errors import Conflict, NotAllowed, Refused, Unreadable
from trainer.records import issuers as pinning
from trainer.records.issuers import Issuer
from trainer.records.keys import SigningKey
from trainer.services.keeping import audit, passphrase_keys
from trainer.services.proving import ledger_check, personal_keys
from trainer.store.models import Person, PersonalKey

URN = "urn:uuid:00000000-0000-4000-8000-000000000001"
ELSEWHERE = SigningKey(b"e" * 32)


@pytest.fixture
def four(session: Session) -> People:
    """The four."""
    return make_people(session)


def held(session: Session, person_id: int) -> PersonalKey:
    """The key that somebody holds."""
    found = personal_keys.current(session, person_id)
    assert found is not None
    return found


def test_keys_of_a_house_are_asked_for_alone(session: Session, four: People) -> None:
    """In works of a thousand people nobody is looked up who holds no key, has left, or belongs to another house."""
    for number, person in enumerate((four.ian, four.emma), 1):
        make_key(session, person, number)
    session.flush()
    session.expunge_all()
    found = personal_keys.of_house(session, four.emma)
    assert [person.id for person, _key in found] == [four.ian, four.emma]
    assert all(key.person_id == person.id for person, key in found)
    assert {row.id for row in session.identity_map.values() if isinstance(row, Person)} == {
        four.ian,
        four.emma,
    }
    session.get_one(Person, four.ian).left_at = NOW
    session.flush()
    assert [person.id for person, _key in personal_keys.of_house(session, four.emma)] == [four.emma]


def test_only_the_passphrase_opens_it(session: Session, four: People) -> None:
    """The store holds no key that opens without; the act is noted, by whom and in which way."""
    key = make_key(session, four.ian)
    row = held(session, four.ian)
    assert personal_keys.open_key(row, KEY_PASSPHRASE) == key
    with pytest.raises(Refused, match="not the passphrase"):
        personal_keys.open_key(row, "another four words here")
    assert key.seed.hex() not in str(session.execute(select(PersonalKey.__table__)).all())
    link = audit.recent(session, 1)[0]
    assert (link.event["what"], link.event["who"]) == (personal_keys.KEPT, four.ian)
    assert link.event["facts"]["form"] == "sealed here"
    assert key.did not in str(link.event)


def test_another_passphrase_for_the_same_key(session: Session, four: People) -> None:
    """The old one opens it no more; a key that is another by now, or none, is not sealed over."""
    key = make_key(session, four.ian)
    other = "axle draw hook toil"
    personal_keys.seal_anew(session, four.ian, passphrase_keys.under(key.seed, other, other), NOW)
    row = held(session, four.ian)
    assert (row.did, personal_keys.open_key(row, other)) == (key.did, key)
    with pytest.raises(Refused, match="not the passphrase"):
        personal_keys.open_key(row, KEY_PASSPHRASE)
    assert audit.recent(session, 1)[0].event["what"] == personal_keys.SEALED_ANEW
    with pytest.raises(Conflict, match="in the meantime"):
        personal_keys.seal_anew(session, four.ian, fresh(2), NOW)
    with pytest.raises(Conflict, match="hold no key"):
        personal_keys.seal_anew(session, four.emma, fresh(2), NOW)
    with pytest.raises(Refused, match="not the same"):
        passphrase_keys.under(key.seed, other, "axle draw hook")


def test_a_key_kept_elsewhere_is_only_named(session: Session, four: People) -> None:
    """It can be named once, by one person, and cannot sign here."""
    personal_keys.name(session, four.ian, f" {ELSEWHERE.did}\n", NOW)
    with pytest.raises(Refused, match="trainer sign"):
        personal_keys.open_key(held(session, four.ian), KEY_PASSPHRASE)
    with pytest.raises(Refused, match="stands here already"):
        personal_keys.name(session, four.emma, ELSEWHERE.did, NOW)
    with pytest.raises(Unreadable):
        personal_keys.name(session, four.emma, "did:web:example.test", NOW)


def test_one_key_each_and_only_for_who_signs(session: Session, four: People) -> None:
    """A second key is a conflict; a trainee needs none."""
    make_key(session, four.ian)
    with pytest.raises(Conflict, match="hold a key already"):
        make_key(session, four.ian, 2)
    for act in (
        lambda: make_key(session, four.tess, 3),
        lambda: personal_keys.name(session, four.tess, ELSEWHERE.did, NOW),
    ):
        with pytest.raises(NotAllowed):
            act()


def test_a_changed_key_introduces_the_next(session: Session, four: People) -> None:
    """Whoever believes the old key as a signer's takes the new one up as one; the old key itself is gone."""
    old = make_key(session, four.ian)
    new = personal_keys.change(session, four.ian, old, fresh(2), URN, NOW)
    (first, second) = reversed(personal_keys.all_of(session, four.ian))
    assert (first.did, first.wrapped, first.salt, first.ended_at) == (old.did, None, None, NOW)
    assert second is new
    assert new.introduction is not None
    pinned = (Issuer(old.did, "Ian", beside_only=True),)
    taken = pinning.accept(pinned, new.introduction.encode())
    assert [(one.did, one.beside_only, one.valid_to) for one in taken] == [
        (old.did, True, NOW.date()),
        (new.did, True, None),
    ]
    with pytest.raises(Conflict, match="in the meantime"):
        personal_keys.change(session, four.ian, old, fresh(3), URN, NOW)


def test_a_lost_key_is_given_up(session: Session, four: People) -> None:
    """Nothing of it is kept, the next one is introduced by nobody, and both acts are noted."""
    make_key(session, four.ian)
    personal_keys.give_up(session, four.ian, NOW)
    assert personal_keys.current(session, four.ian) is None
    with pytest.raises(Conflict, match="hold no key"):
        personal_keys.give_up(session, four.ian, NOW)
    make_key(session, four.ian, 2)
    assert held(session, four.ian).introduction is None
    assert [link.event["what"] for link in audit.recent(session, 3)] == [
        personal_keys.KEPT,
        personal_keys.GIVEN_UP,
        personal_keys.KEPT,
    ]
    assert ledger_check.walk(session).broken is None


def test_a_key_put_under_another_name_is_found(session: Session, four: People) -> None:
    """Whose key it is cannot be changed behind the program's back."""
    make_key(session, four.ian)
    session.flush()
    unwatched(session)
    session.execute(update(PersonalKey).values(person_id=four.emma))
    walk = ledger_check.walk(session)
    assert walk.broken is not None
    assert "Personal key 1 was changed" in walk.says
