"""Entries are added by those who may, in the words of the history format, and never changed."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.entering import BODIES, EXPERIENCE, TRAINING, entered, make_level_iii, verified
from tests.make import NOW, People, make_class, make_people, make_person
from trainer.errors import Conflict, NotAllowed, NotFound, Refused, Unreadable
from trainer.services.admitting import entitlements
from trainer.services.qualifying import histories, ledger
from trainer.services.qualifying.histories import BadEntry
from trainer.store.models import Entry, Link


@pytest.fixture
def four(session: Session) -> People:
    """The four, Tess in a class of Ian's."""
    people = make_people(session)
    make_class(session, people.ian, people.tess)
    return people


@pytest.mark.parametrize("kind", sorted(BODIES))
def test_every_kind_is_entered_and_read_back(session: Session, four: People, kind: str) -> None:
    """Each kind of the history format can be entered by somebody, and the history gives it back."""
    roles = entitlements.ENTERED_BY[kind]
    role = next(role for role in ("trainee", "employer", "level_iii") if role in roles)
    by_id = {"trainee": four.tess, "employer": four.emma}.get(role) or make_level_iii(session)
    row = entered(session, four.tess, by_id, role, kind)
    history = histories.history_of(session, four.tess)
    assert [(fact.id, fact.kind) for fact in history.entries] == [(row.id, kind)]
    assert (history.person, history.entries[0].entered_by.role) == ("TV-07", role)
    assert row.id in histories.history_text(session, four.tess)


def test_the_chain_keeps_the_digest(session: Session, four: People) -> None:
    """Entering leaves a link with the digest of everything that was entered."""
    row = entered(session, four.tess, four.tess, "trainee")
    link = session.scalars(select(Link).order_by(Link.seq.desc())).first()
    assert link is not None
    assert (link.event["what"], link.event["about"]) == (ledger.ENTERED, row.id)
    assert link.event["facts"]["digest"] == ledger.digest(row)


@pytest.mark.parametrize(
    ("kind", "change", "field"),
    [
        ("experience", {"hours": "a few"}, "hours"),
        ("experience", {"hours": ""}, "hours"),
        ("experience", {"hours": "25"}, "hours"),
        ("experience", {"date": "2026-02-30"}, "date"),
        ("experience", {"date": "2026-11-28"}, "date"),
        ("experience", {"method": "mt"}, "method"),
        ("experience", {"start": "20:00"}, "start"),
        ("experience", {"task": "nul \x00 sign"}, "task"),
        ("experience", {"task": "x" * 5000}, ""),
        ("experience", {"colour": "blue"}, ""),
        ("experience", {"hours": {"a": {"b": "1"}}}, "hours"),
        ("training", {"mode": "by post"}, "mode"),
        ("training", {"remedial_for": "e99"}, "remedial_for"),
        ("vision", {"chart": "none"}, "chart"),
        ("education", {"completed_years": "-1"}, "completed_years"),
        ("employment", {"event": "paused"}, "event"),
        ("application", {"methods": "MT"}, "methods"),
        ("application", {"level": "III"}, "level"),
    ],
)
def test_a_bad_field_is_named(
    session: Session, four: People, kind: str, change: dict[str, object], field: str
) -> None:
    """What the reader of histories refuses is refused with its sentence at its field; nothing is entered."""
    if field == "" and "task" in change:
        change = {"task": "x" * 30_000}
    with pytest.raises(BadEntry) as fault:
        entered(session, four.tess, four.emma, "employer", kind, **change)
    assert (fault.value.field, str(fault.value)[-1]) == (field, ".")
    assert ledger.entries_of(session, four.tess) == []


def test_an_unknown_scheme_is_refused_where_schemes_are_known(session: Session, four: People) -> None:
    """With a list of schemes an entry may name only one of them."""
    with pytest.raises(BadEntry) as fault:
        ledger.enter(
            session, four.tess, "certificate", BODIES["certificate"], four.emma, "employer", NOW, ["SNT-2020"]
        )
    assert fault.value.field == "scheme"


@pytest.mark.parametrize("kind", ["reversal", "haircut", "", "training\x00"])
def test_no_such_kind(session: Session, four: People, kind: str) -> None:
    """Unknown kinds are refused, and a reversal is made by reversing."""
    with pytest.raises(Refused):
        ledger.enter(session, four.tess, kind, TRAINING, four.emma, "employer", NOW)


def test_who_may_enter_about_whom(session: Session, four: People) -> None:
    """A trainee about themselves, an instructor about own classes, an employer about own people."""
    other = make_person(session, "TV-56", "Nobody's pupil").id
    for by_id, role, person_id, error in (
        (four.tess, "trainee", four.ian, NotFound),
        (four.tess, "employer", four.tess, NotAllowed),
        (four.ian, "instructor", other, NotFound),
        (four.ian, "instructor", four.omar, NotFound),
        (four.emma, "employer", four.omar, NotFound),
        (four.omar, "trainee", four.tess, NotFound),
        (four.emma, "employer", 999_999, NotFound),
    ):
        with pytest.raises(error):
            entered(session, person_id, by_id, role)
    entered(session, four.tess, four.ian, "instructor")
    entered(session, other, four.emma, "employer")
    entered(session, other, four.ian, "instructor", "examination")


def test_a_trainee_may_not_enter_training_or_examinations(session: Session, four: People) -> None:
    """Hours of training and scores are never the trainee's own word."""
    for kind in ("training", "examination", "employment", "decision"):
        with pytest.raises(NotAllowed):
            entered(session, four.tess, four.tess, "trainee", kind)


def test_the_same_is_not_entered_twice(session: Session, four: People) -> None:
    """Exactly the same fact again is a conflict, until the first is taken back or the note differs."""
    row = entered(session, four.tess, four.tess, "trainee")
    with pytest.raises(Conflict, match=row.id):
        entered(session, four.tess, four.emma, "employer")
    entered(session, four.tess, four.tess, "trainee", note="second shift of the day")
    ledger.reverse(session, row.id, "wrong day", four.tess, NOW)
    entered(session, four.tess, four.tess, "trainee")


def test_a_day_of_leeway_for_zones(session: Session, four: People) -> None:
    """Tomorrow may be entered, since it is tomorrow already somewhere; the day after may not."""
    entered(session, four.tess, four.tess, "trainee", date=(NOW + timedelta(days=1)).date().isoformat())
    with pytest.raises(BadEntry, match="has not come yet"):
        entered(session, four.tess, four.tess, "trainee", date=(NOW + timedelta(days=2)).date().isoformat())


def test_taking_back_and_reversing(session: Session, four: People) -> None:
    """Own words may be taken back while unsigned; afterwards whoever may countersign reverses, once."""
    mine = entered(session, four.tess, four.tess, "trainee")
    assert ledger.reverse(session, mine.id, "not mine", four.tess, NOW).entered_role == "trainee"
    with pytest.raises(Conflict):
        ledger.reverse(session, mine.id, "again", four.tess, NOW)
    signed = verified(session, four.tess, four.tess, "trainee", four.emma, date="2026-11-19")
    with pytest.raises(NotAllowed):
        ledger.reverse(session, signed.id, "not mine", four.tess, NOW)
    with pytest.raises(NotAllowed):
        ledger.reverse(session, signed.id, "no", four.ian, NOW)
    undone = ledger.reverse(session, signed.id, "shifts of somebody else", four.emma, NOW)
    assert (undone.kind, undone.body["reverses"]) == ("reversal", signed.id)
    with pytest.raises(BadEntry):
        ledger.reverse(session, undone.id, "no", four.emma, NOW)


def test_a_reversal_needs_a_reason(session: Session, four: People) -> None:
    """Without a reason there is no reversal."""
    row = entered(session, four.tess, four.tess, "trainee")
    for reason in ("", "  \n "):
        with pytest.raises(BadEntry) as fault:
            ledger.reverse(session, row.id, reason, four.tess, NOW)
        assert fault.value.field == "reason"


def test_another_house_finds_no_entry(session: Session, four: People) -> None:
    """An entry of another house is not there, whatever is done to it."""
    row = entered(session, four.tess, four.tess, "trainee")
    boss = make_person(session, "HK-90", "Another employer", {"employer"}, house="Hook and Chain Works").id
    for by_id in (four.omar, boss):
        with pytest.raises(NotFound):
            ledger.one(session, by_id, row.id)
        with pytest.raises(NotFound):
            ledger.reverse(session, row.id, "mine now", by_id, NOW)
    assert ledger.one(session, four.emma, row.id).id == row.id


def test_somebody_who_left_may_enter_nothing(session: Session, four: People) -> None:
    """Roles end with the job."""
    from trainer.services.admitting import accounts

    accounts.set_left(session, four.emma, four.tess, True, NOW)
    with pytest.raises(NotAllowed):
        entered(session, four.tess, four.tess, "trainee")


def test_a_row_changed_outside_is_told(session: Session, four: People) -> None:
    """A history with a row that cannot be read says which, and what to do."""
    row = entered(session, four.tess, four.tess, "trainee")
    session.execute(
        Entry.__table__.update()
        .where(Entry.__table__.c.id == row.id)
        .values(body={**EXPERIENCE, "hours": "x"})
    )
    session.expire_all()
    with pytest.raises(Unreadable, match="trainer audit"):
        histories.history_of(session, four.tess)
