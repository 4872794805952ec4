"""Who may sign whose record, reading before signing, copies signed elsewhere; every signature is held by the chain."""

from __future__ import annotations

import io
import json
from datetime import timedelta

import pypdf
import pytest
from sqlalchemy import select, update
from sqlalchemy.orm import Session

from tests.entering import entered, make_level_iii, verified
from tests.make import NOW, People, make_people, make_person
from tests.signing import HOUSE_KEY, ON, fresh, make_key, make_record
from tests.stores import unwatched
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.records import cosigning
from trainer.records.issuers import Issuer
from trainer.records.keys import SigningKey
from trainer.records.verification import Verdict, verify
from trainer.services.admitting import accounts
from trainer.services.keeping import audit
from trainer.services.overseeing import erasing, personal_data
from trainer.services.proving import (
    exporting,
    ledger_check,
    personal_keys,
    record_signers,
    record_signing,
    withdrawals,
)
from trainer.store.models import Export, RecordSigner

TRUSTED = (Issuer(HOUSE_KEY.did, "Tarn Valley"),)
LEVEL = "Level III"


@pytest.fixture
def four(session: Session) -> People:
    """The four; Ian entered an examination of Tess, and each who may sign holds a key."""
    people = make_people(session)
    verified(session, people.tess, people.ian, "instructor", make_level_iii(session), "examination")
    for number, person_id in enumerate((people.ian, people.emma, level_iii(session)), 1):
        make_key(session, person_id, number)
    return people


def level_iii(session: Session) -> int:
    """The Level III of the house."""
    return accounts.person_numbered(session, "TV-91").id


def signed_by(session: Session, person_id: int, export: Export, number: int) -> None:
    """Read the record, then sign it."""
    record_signing.show(session, person_id, export.id, NOW)
    record_signing.sign(session, person_id, export.id, SigningKey(fresh(number).key), NOW)


def there(session: Session, export: Export) -> list[tuple[str | None, bool]]:
    """What a verifier is told of each signature of the record as it is handed out now."""
    outcome = verify(exporting.again(session, export, NOW).data, TRUSTED, ON)
    assert outcome.verdict is Verdict.VALID, outcome.reasons
    return [(one.role, one.is_there) for one in outcome.signatures]


def test_who_may_be_named(session: Session, four: People) -> None:
    """Level III, who examined, employers, each with a key; nobody else, and never the person concerned."""
    expert = level_iii(session)
    found = [(one.person.id, one.role) for one in record_signers.offers(session, four.emma, four.tess)]
    assert found == [(four.ian, "examiner"), (four.emma, "employer"), (expert, LEVEL), (expert, "examiner")]
    own = [(one.person.id, one.role) for one in record_signers.offers(session, four.emma, four.ian)]
    assert own == [(four.emma, "employer"), (expert, LEVEL)]
    personal_keys.give_up(session, four.ian, NOW)
    session.flush()
    assert four.ian not in [one.person.id for one in record_signers.offers(session, four.emma, four.tess)]


def test_nobody_is_named_who_is_not_offered(session: Session, four: People) -> None:
    """Another role, somebody of another house, one person in two roles: refused."""
    expert = level_iii(session)
    for values in ([f"{four.ian} {LEVEL}"], [f"{four.omar} employer"], ["nonsense"]):
        with pytest.raises(Refused, match="may not sign"):
            record_signers.chosen(session, four.emma, four.tess, values)
    with pytest.raises(Refused, match="signs once"):
        record_signers.chosen(session, four.emma, four.tess, [f"{expert} {LEVEL}", f"{expert} examiner"])


@pytest.mark.parametrize("form", exporting.SIGNED)
def test_each_signs_and_the_file_carries_it(session: Session, four: People, form: str) -> None:
    """The record as the house signed it is never changed; what is handed out bears every signature so far."""
    expert = level_iii(session)
    export = make_record(session, four, [f"{four.ian} examiner", f"{expert} {LEVEL}"], form)
    body = export.body
    assert there(session, export) == [("issuer", True), ("examiner", False), (LEVEL, False)]
    signed_by(session, expert, export, 3)
    assert there(session, export) == [("issuer", True), ("examiner", False), (LEVEL, True)]
    signed_by(session, four.ian, export, 1)
    assert there(session, export) == [("issuer", True), ("examiner", True), (LEVEL, True)]
    assert export.body == body
    link = audit.recent(session, 1)[0]
    assert (link.event["what"], link.event["who"]) == (record_signing.SIGNED, four.ian)
    assert (link.event["facts"]["person"], link.event["facts"]["role"]) == (four.tess, "examiner")
    assert ledger_check.walk(session).broken is None
    if form == "certificate":
        reader = pypdf.PdfReader(io.BytesIO(exporting.again(session, export, NOW).data))
        text = " ".join(" ".join(page.extract_text() for page in reader.pages).split())
        assert "Ian examiner 2026-11-25T10:38:00Z" in text
        assert "Level III of the house Level III 2026-11-25T10:38:00Z" in text


def test_nothing_is_signed_unread_or_twice(session: Session, four: People) -> None:
    """The record must have been before the signer; a second signature is refused."""
    export = make_record(session, four, [f"{four.ian} examiner"])
    with pytest.raises(Conflict, match="not been before you"):
        record_signing.may_sign(session, four.ian, export.id)
    assert [one.id for _row, one in record_signing.waiting(session, four.ian)] == [export.id]
    assert record_signing.signed(session, four.ian, 9) == []
    signed_by(session, four.ian, export, 1)
    assert [one.id for _row, one in record_signing.signed(session, four.ian, 9)] == [export.id]
    assert record_signing.waiting(session, four.ian) == []
    with pytest.raises(Conflict, match="signed this record already"):
        record_signing.may_sign(session, four.ian, export.id)


def test_only_who_is_named_finds_it(session: Session, four: People) -> None:
    """For everybody else there is no such record, nor one that was withdrawn for good."""
    export = make_record(session, four, [f"{four.ian} examiner"])
    for stranger in (four.emma, four.tess, four.omar, level_iii(session)):
        with pytest.raises(NotFound):
            record_signing.one(session, stranger, export.id)
        assert record_signing.waiting(session, stranger) == []
    withdrawals.withdraw(session, four.emma, export.id, "looked into", NOW, for_good=False)
    record_signing.show(session, four.ian, export.id, NOW)
    with pytest.raises(Conflict, match="suspended"):
        record_signing.may_sign(session, four.ian, export.id)
    withdrawals.withdraw(session, four.emma, export.id, "made in error", NOW, for_good=True)
    with pytest.raises(NotFound):
        record_signing.one(session, four.ian, export.id)


def test_a_role_that_has_gone_signs_no_more(session: Session, four: People) -> None:
    """Named as the Level III, but not holding the role any more."""
    expert = level_iii(session)
    export = make_record(session, four, [f"{expert} {LEVEL}"])
    record_signing.show(session, expert, export.id, NOW)
    accounts.set_roles(session, four.emma, expert, frozenset({"examiner"}), NOW)
    session.flush()
    with pytest.raises(NotAllowed):
        record_signing.may_sign(session, expert, export.id)


def test_a_lost_key_signs_no_more_and_what_it_signed_stands(session: Session, four: People) -> None:
    """After the key was given up old records verify as before; those that wait for it are made out anew."""
    values = [f"{four.ian} examiner"]
    done, waiting = make_record(session, four, values), make_record(session, four, values, number=2)
    signed_by(session, four.ian, done, 1)
    copy = cosigning.cosigned(
        waiting.body.encode(), SigningKey(fresh(1).key), "examiner", "2026-11-25T11:00:00Z"
    )
    personal_keys.give_up(session, four.ian, NOW)
    make_key(session, four.ian, 9)
    record_signing.show(session, four.ian, waiting.id, NOW)
    with pytest.raises(Conflict, match="no longer use"):
        record_signing.may_sign(session, four.ian, waiting.id)
    with pytest.raises(Refused, match="no longer in use"):
        record_signing.take_in(session, four.emma, waiting.id, copy, NOW)
    assert there(session, done) == [("issuer", True), ("examiner", True)]
    anew = make_record(session, four, values, number=3)
    signed_by(session, four.ian, anew, 9)
    assert there(session, anew) == [("issuer", True), ("examiner", True)]


def test_a_copy_signed_elsewhere_is_taken_in(session: Session, four: People) -> None:
    """Its signature stands beside the record from then on; the same copy again, or another file, is refused."""
    export = make_record(session, four, [f"{four.ian} examiner"])
    key = SigningKey(fresh(1).key)
    copy = cosigning.cosigned(export.body.encode(), key, "examiner", "2026-11-25T12:00:00Z")
    other = make_record(session, four, [f"{four.ian} examiner"], number=2)
    with pytest.raises(Refused, match="another record"):
        record_signing.take_in(session, four.emma, other.id, copy, NOW)
    with pytest.raises(Refused, match="no signature that is not here"):
        record_signing.take_in(session, four.emma, export.id, export.body.encode(), NOW)
    assert record_signing.take_in(session, four.emma, export.id, copy, NOW) == 1
    assert exporting.again(session, export, NOW).data == copy
    with pytest.raises(Refused, match="no signature that is not here"):
        record_signing.take_in(session, four.emma, export.id, copy, NOW)
    with pytest.raises(NotAllowed):
        record_signing.take_in(session, four.ian, export.id, copy, NOW)
    boss = make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id
    with pytest.raises(NotFound):
        record_signing.take_in(session, boss, export.id, copy, NOW)


@pytest.mark.parametrize("change", [{"role": "Level III"}, {"proof": "{}"}, {"proof": None}])
def test_a_signature_changed_behind_the_program_is_found(
    session: Session, four: People, change: dict[str, str | None]
) -> None:
    """Role, signature, or its being there at all: the chain disagrees."""
    export = make_record(session, four, [f"{four.ian} examiner"])
    signed_by(session, four.ian, export, 1)
    session.flush()
    unwatched(session)
    session.execute(update(RecordSigner).values(**change))
    walk = ledger_check.walk(session)
    assert walk.broken is not None
    assert "Signature beside the house's" in walk.says


def test_own_data_hold_no_sealed_key(session: Session, four: People) -> None:
    """A person's data name their key and what they signed, and nothing that could be guessed at."""
    export = make_record(session, four, [f"{four.ian} examiner"])
    signed_by(session, four.ian, export, 1)
    told = json.loads(personal_data.everything(session, four.ian, NOW))
    assert told["signing_keys"][0]["did"] == SigningKey(fresh(1).key).did
    assert "wrapped" not in told["signing_keys"][0]
    assert told["signatures_on_records"][0]["role"] == "examiner"
    subject = json.loads(personal_data.everything(session, four.tess, NOW))
    assert (subject["signing_keys"], len(subject["signatures_on_records"])) == ([], 1)


def test_erasing_takes_keys_and_signatures_along(session: Session, four: People) -> None:
    """Of who is erased no key is left, and no signature on records about them; what they signed for others stays."""
    export = make_record(session, four, [f"{four.ian} examiner", f"{four.emma} employer"])
    signed_by(session, four.ian, export, 1)
    entered(session, four.tess, four.tess, "trainee")
    later = NOW + timedelta(days=3700)
    for person_id in (four.tess, four.ian):
        accounts.set_left(session, four.emma, person_id, True, NOW)
    expert = level_iii(session)
    erasing.ask(session, four.emma, four.ian, "left", 10, later)
    erasing.erase(session, expert, four.ian, later)
    session.flush()
    assert personal_keys.all_of(session, four.ian) == []
    assert there(session, export) == [("issuer", True), ("examiner", True), ("employer", False)]
    erasing.ask(session, four.emma, four.tess, "left", 10, later)
    erasing.erase(session, expert, four.tess, later)
    session.flush()
    assert session.scalars(select(RecordSigner)).all() == []
    assert record_signing.waiting(session, four.emma) == []
    assert ledger_check.walk(session).broken is None
