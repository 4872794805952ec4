"""A written practice is drafted by one, approved by the Level III, and rewrites no verdict of the past."""

from __future__ import annotations

from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.entering import CERTIFICATE, GENERAL, make_level_iii, verified
from tests.make import NOW, People, make_people, make_person
from trainer.errors import Conflict, NotAllowed, NotFound, Refused, Unreadable
from trainer.qualification import Scheme, Verdict
from trainer.records.keys import SigningKey
from trainer.services.keeping import audit
from trainer.services.proving import exporting, ledger_check
from trainer.services.qualifying import countersigning, ledger, practices, schemes, standing
from trainer.services.qualifying.practices import BadDraft
from trainer.store.models import Person, PracticeRevision

TODAY = date(2026, 11, 25)
SCHEME = "SNT-2016-A1"
CHANGES = {"training.I": ("20", "our castings are hard"), "general.pass": ("85", "audit of 2025")}


@pytest.fixture(scope="module")
def known() -> dict[str, Scheme]:
    """The schemes that are shipped."""
    return schemes.known(Path("nowhere"))


@pytest.fixture
def four(session: Session) -> People:
    """The four."""
    return make_people(session)


def drafted(
    session: Session,
    known: dict[str, Scheme],
    by_id: int,
    revision: str = "1",
    in_force: date = TODAY,
    changes: dict[str, tuple[str, str]] | None = None,
    scheme: str = SCHEME,
) -> PracticeRevision:
    """One revision as drafted."""
    return practices.draft(
        session, by_id, known[scheme], revision, in_force, CHANGES if changes is None else changes, NOW
    )


def approved(
    session: Session, known: dict[str, Scheme], four: People, level_iii: int, **more: object
) -> PracticeRevision:
    """One revision drafted by Emma and approved by the Level III."""
    row = drafted(session, known, four.emma, **more)  # type: ignore[arg-type]
    practices.approve(session, level_iii, row.id, NOW)
    return row


def test_a_draft_applies_to_nobody_until_it_is_approved(
    session: Session, four: People, known: dict[str, Scheme]
) -> None:
    """Only the approved revision judges, names itself in the standing, and is told in the chain."""
    level_iii, home = make_level_iii(session), session.get_one(Person, four.emma).organisation_id
    row = drafted(session, known, four.emma)
    assert practices.approved(session, home, known) == {}
    practices.approve(session, level_iii, row.id, NOW)
    judged = standing.of(session, four.tess, SCHEME, "I", TODAY, known)
    assert (judged.prerequisites[0].need, judged.scheme.practice) == (20, "revision 1, in force 2026-11-25")
    assert judged.practice is not None
    assert judged.practice.approved_by.person == "TV-91"
    assert [link.event["what"] for link in audit.recent(session, 2)] == [
        practices.APPROVED,
        practices.DRAFTED,
    ]
    assert ledger_check.walk(session).broken is None


def test_another_house_is_judged_by_the_published_edition(
    session: Session, four: People, known: dict[str, Scheme]
) -> None:
    """Omar's employer has no written practice, and finds none of Tarn Valley's."""
    row = approved(session, known, four, make_level_iii(session))
    assert standing.of(session, four.omar, SCHEME, "I", TODAY, known).practice is None
    boss = make_person(session, "HK-90", "Other", {"employer", "level_iii"}, house="Hook and Chain Works").id
    assert practices.of_house(session, boss) == []
    with pytest.raises(NotFound):
        practices.one(session, boss, row.id)
    with pytest.raises(NotFound):
        practices.approve(session, boss, row.id, NOW)


def test_who_may_draft_and_approve(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """Employer and Level III draft; another person, a Level III, approves; nobody decides twice."""
    level_iii = make_level_iii(session)
    for by_id in (four.tess, four.ian):
        with pytest.raises(NotAllowed):
            drafted(session, known, by_id)
    own = drafted(session, known, level_iii)
    with pytest.raises(NotAllowed, match="another Level III"):
        practices.approve(session, level_iii, own.id, NOW)
    with pytest.raises(NotAllowed):
        practices.approve(session, four.emma, own.id, NOW)
    with pytest.raises(NotAllowed):
        practices.refuse(session, four.emma, own.id, "not mine", NOW)
    practices.approve(session, make_level_iii(session, "TV-92"), own.id, NOW)
    with pytest.raises(Conflict):
        practices.refuse(session, level_iii, own.id, "second thoughts", NOW)


def test_refusing_needs_a_reason(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """A refused revision stays readable with the reason and never judges; its drafter may take it back."""
    level_iii = make_level_iii(session)
    first, second = drafted(session, known, four.emma, "1"), drafted(session, known, four.emma, "2")
    for reason in ("", " ", "x" * 201):
        with pytest.raises(Refused):
            practices.refuse(session, level_iii, first.id, reason, NOW)
    practices.refuse(session, level_iii, first.id, "20 h was not agreed", NOW)
    practices.refuse(session, four.emma, second.id, "typed wrongly", NOW)
    assert [row.decision.reason for row in practices.of_house(session, four.emma) if row.decision] == [
        "typed wrongly",
        "20 h was not agreed",
    ]
    assert standing.of(session, four.tess, SCHEME, "I", TODAY, known).practice is None
    assert ledger_check.walk(session).broken is None


@pytest.mark.parametrize(
    ("scheme", "changes", "field", "says"),
    [
        (SCHEME, {"training.I": ("20", " ")}, "training.I", "column of reasons"),
        (SCHEME, {"training.I": ("a lot", "why")}, "training.I", "plain decimal"),
        (SCHEME, {"training.III": ("20", "why")}, "training.III", "cannot be overridden"),
        (SCHEME, {"weights": ("1, 2", "why")}, "weights", "three numbers"),
        (SCHEME, {"weights": ("0, 0, 0", "why")}, "weights", "add up to 0"),
        ("ISO9712-2021", {"general.pass": ("60", "why")}, "general.pass", "laxer than ISO9712-2021 allows"),
        ("ISO9712-2021", {"training.I": ("99", "y"), "weights": ("1, 1, 1", "why")}, "weights", "overridden"),
    ],
)
def test_what_cannot_be_drafted(
    session: Session,
    four: People,
    known: dict[str, Scheme],
    scheme: str,
    changes: dict[str, tuple[str, str]],
    field: str,
    says: str,
) -> None:
    """The sentence comes back to the figure that it is about, and nothing is kept."""
    with pytest.raises(BadDraft, match=says) as caught:
        drafted(session, known, four.emma, changes=changes, scheme=scheme)
    assert caught.value.field == field
    assert session.scalars(select(PracticeRevision)).all() == []


def test_weights_are_kept_as_typed(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """Three numbers weigh general, specific and practical."""
    row = drafted(session, known, four.emma, changes={"weights": ("1, 1, 2", "practical work matters most")})
    (override,) = practices.as_practice(row, known[SCHEME]).overrides
    assert override.value == (1, 1, 2)


def test_no_revision_reaches_back(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """The first may have been in force on paper; a later one begins after it and not before its approval."""
    level_iii = make_level_iii(session)
    approved(session, known, four, level_iii, in_force=date(2024, 1, 1))
    for day in (date(2023, 1, 1), date(2024, 1, 1), TODAY - timedelta(days=1)):
        with pytest.raises(BadDraft) as caught:
            drafted(session, known, four.emma, "2", day)
        assert caught.value.field == "in_force"
    late = drafted(session, known, four.emma, "2", TODAY)
    with pytest.raises(BadDraft, match="gone by"):
        practices.approve(session, level_iii, late.id, NOW + timedelta(days=2))
    with pytest.raises(BadDraft, match="another"):
        drafted(session, known, four.emma, "2", TODAY)


def test_an_old_verdict_is_not_judged_anew(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """80 % passed under revision 1 stays passed under revision 2, which asks 90, on any day."""
    level_iii = make_level_iii(session)
    approved(
        session,
        known,
        four,
        level_iii,
        in_force=date(2024, 1, 1),
        changes={"general.pass": ("75", "our mark")},
    )
    body = {**GENERAL, "right": "32"}
    row = ledger.enter(session, four.tess, "examination", body, four.ian, "instructor", NOW)
    countersigning.countersign(session, [row.id], level_iii, NOW)

    def general(on: date) -> tuple[Verdict, object]:
        judged = standing.of(session, four.tess, SCHEME, "I", on, known)
        found = next(one for one in judged.prerequisites if one.id == "general")
        return found.verdict, found.need

    before = general(TODAY)
    soon = TODAY + timedelta(days=10)
    approved(
        session,
        known,
        four,
        level_iii,
        revision="2",
        in_force=soon,
        changes={"general.pass": ("90", "audit")},
    )
    assert general(TODAY) == before == (Verdict.MET, 75)
    assert general(soon) == (Verdict.MET, 75)


def test_a_signed_record_keeps_its_verdict_and_revision(
    session: Session, four: People, known: dict[str, Scheme]
) -> None:
    """What left the house still says the revision that it was judged by, after another came into force."""
    level_iii = make_level_iii(session)
    approved(session, known, four, level_iii)
    placed = standing.place(session, session.get_one(Person, four.tess), TODAY, known, SCHEME, "I")
    key, name = SigningKey(b"k" * 32), "urn:uuid:11111111-2222-4333-8444-555555555555"
    made = exporting.export(session, placed, "credential", four.emma, key, name, NOW)
    later = TODAY + timedelta(days=1)
    approved(session, known, four, level_iii, revision="2", in_force=later)
    (row,) = exporting.exports_of(session, four.tess)
    says = exporting.verdict_kept(row)
    assert says.startswith("Prerequisites not all met by SNT-2016-A1, Level I, for 2026-11-25, under")
    assert ("revision 1, in force 2026-11-25" in says, b"revision 1" in made.data) == (True, True)


def test_people_without_certificate_are_judged_by_the_house_practice(
    session: Session, four: People, known: dict[str, Scheme]
) -> None:
    """Before a certificate or application the edition of the written practice is the usual one."""
    level_iii = make_level_iii(session)
    approved(session, known, four, level_iii, scheme="ISO9712-2021", changes={"training.I": ("24", "ours")})
    placed = {one.person.works_number: one for one in standing.of_house(session, four.emma, TODAY, known)}
    assert placed["TV-07"].standing.scheme.id == "ISO9712-2021"
    verified(session, four.tess, four.emma, "employer", level_iii, "certificate", **CERTIFICATE)
    person = session.get_one(Person, four.tess)
    assert standing.place(session, person, TODAY, known).standing.scheme.id == SCHEME


def test_a_changed_row_is_found(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """A figure edited in the database is found by the audit; one that cannot be read says so."""
    row = approved(session, known, four, make_level_iii(session))
    row.overrides = {"training.I": {"value": "2", "reason": "nobody looks"}}
    session.flush()
    assert "Written practice 1 was changed" in ledger_check.walk(session).says
    row.overrides = {"training.I": {"value": "two", "reason": "nobody looks"}}
    with pytest.raises(Unreadable, match="trainer audit"):
        standing.of(session, four.tess, SCHEME, "I", TODAY, known)


def test_an_edition_that_is_no_longer_known_is_left_aside(
    session: Session, four: People, known: dict[str, Scheme]
) -> None:
    """A practice on a scheme file that was taken away stops nobody from being judged by others."""
    approved(session, known, four, make_level_iii(session))
    fewer = {name: scheme for name, scheme in known.items() if name != SCHEME}
    assert standing.of_house(session, four.emma, TODAY, fewer)[0].standing.practice is None
