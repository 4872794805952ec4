"""The written practice of a house: drafted by one, approved by its Level III, in force from a day on.

A revision is never changed: another wording is another revision. Except for the first on an edition, which
may have been in force on paper before, none comes into force before the day of its approval: what was judged
until then stands. Every act leaves a link with the digest of what was written.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, datetime

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotAllowed, NotFound, Refused, Unreadable
from trainer.languages import _
from trainer.qualification import Revisions, Scheme, Signature, WrittenPractice
from trainer.qualification.entries import PARTS
from trainer.qualification.overrides import Override, read_overrides
from trainer.qualification.reading.fields import Amiss, Fields
from trainer.qualification.reading.notation import Branch
from trainer.records import jcs
from trainer.services.admitting import accounts, entitlements, particulars
from trainer.services.keeping import audit
from trainer.services.keeping.moments import local_day
from trainer.services.qualifying import histories
from trainer.services.qualifying.histories import BadEntry
from trainer.store.models import Person, PracticeDecision, PracticeRevision

DRAFTED, APPROVED, REFUSED = "practice drafted", "practice approved", "practice refused"
DRAFTING = frozenset({"employer", "level_iii"})
MOST_REVISION, MOST_REASON = 40, 200
OVERRIDES = "overrides"


class BadDraft(BadEntry):
    """A draft cannot be taken as it stands; ``field`` is revision, in_force or the name of a figure."""


def draft(
    session: Session,
    by_id: int,
    scheme: Scheme,
    revision: str,
    in_force: date,
    changes: Mapping[str, tuple[str, str]],
    now: datetime,
) -> PracticeRevision:
    """Write a revision on a published edition: of each figure that it changes the value and the reason.

    Raises NotAllowed, and BadDraft for a figure that is unknown, without reason or laxer than the edition
    allows, for a revision that exists, and for a day that lies before a revision in force.
    """
    if not DRAFTING & entitlements.roles_of(session, by_id):
        raise NotAllowed(_("The written practice is drafted by the employer or the Level III."))
    home = accounts.colleague(session, by_id, by_id).organisation_id
    named = _revision(revision)
    written = {key: _written(key, value, reason) for key, (value, reason) in changes.items()}
    _read(written, scheme)
    _check_new(session, home, scheme.id, named)
    _check_day(session, home, scheme.id, in_force, local_day(now))
    row = PracticeRevision(
        organisation_id=home,
        based_on=scheme.id,
        revision=named,
        in_force=in_force,
        overrides=written,
        drafted_by_id=by_id,
        drafted_at=now,
    )
    session.add(row)
    session.flush()  # its number is needed for the note
    audit.note(session, by_id, DRAFTED, row.id, now, facts={"digest": digest(row)})
    return row


def approve(session: Session, by_id: int, revision_id: int, now: datetime) -> None:
    """Let a revision come into force, by a Level III of the house who did not draft it.

    Raises NotFound, NotAllowed, Conflict for one that is decided, BadDraft where its day has gone by.
    """
    row = _undecided(session, by_id, revision_id)
    if "level_iii" not in entitlements.roles_of(session, by_id):
        raise NotAllowed(_("A written practice is approved by the Level III."))
    if row.drafted_by_id == by_id:
        raise NotAllowed(_("You drafted this revision, so another Level III must approve it."))
    _check_day(session, row.organisation_id, row.based_on, row.in_force, local_day(now))
    _decide(session, row, by_id, "", now, approved=True)


def refuse(session: Session, by_id: int, revision_id: int, reason: str, now: datetime) -> None:
    """Say why a revision is not approved: by a Level III, or by whoever drafted it.

    Raises NotFound, NotAllowed, Conflict for one that is decided, Refused without a reason.
    """
    row, why = _undecided(session, by_id, revision_id), " ".join(reason.split())
    if row.drafted_by_id != by_id and "level_iii" not in entitlements.roles_of(session, by_id):
        raise NotAllowed(_("A revision is refused by the Level III, or taken back by whoever drafted it."))
    if not why or len(why) > MOST_REASON:
        raise Refused(_("Say in 1 to %(most)s characters why.", most=MOST_REASON))
    _decide(session, row, by_id, why, now, approved=False)


def one(session: Session, by_id: int, revision_id: int) -> PracticeRevision:
    """A revision of the asker's house. Raises NotFound for any other."""
    home = accounts.colleague(session, by_id, by_id).organisation_id
    found = session.get(PracticeRevision, revision_id)
    if found is None or found.organisation_id != home:
        raise NotFound(_("There is no such revision."))
    return found


def of_house(session: Session, by_id: int) -> list[PracticeRevision]:
    """Every revision of the asker's house, newest first."""
    home = accounts.colleague(session, by_id, by_id).organisation_id
    wanted = select(PracticeRevision).where(PracticeRevision.organisation_id == home)
    return list(session.scalars(wanted.order_by(PracticeRevision.id.desc())))


def approved(session: Session, organisation_id: int, known: Mapping[str, Scheme]) -> dict[str, Revisions]:
    """The approved revisions of a house by the edition that they build on, among the schemes known."""
    found: dict[str, list[WrittenPractice]] = {}
    for row, number in session.execute(_approved(organisation_id)):
        if row.based_on in known:
            found.setdefault(row.based_on, []).append(_practice(row, number, known[row.based_on]))
    return {name: Revisions.of(known[name], practices) for name, practices in found.items()}


def as_practice(row: PracticeRevision, scheme: Scheme) -> WrittenPractice:
    """A revision, approved or not, in the form that the qualification room shows and applies."""
    return _practice(row, "", scheme)


def digest(row: PracticeRevision) -> str:
    """SHA-256 of a revision as drafted, as its link in the chain keeps it."""
    told = {
        "organisation": row.organisation_id,
        "based_on": row.based_on,
        "revision": row.revision,
        "in_force": row.in_force.isoformat(),
        "overrides": row.overrides,
        "drafted_by": row.drafted_by_id,
        "drafted_at": audit.moment(row.drafted_at),
    }
    return jcs.digest(told).hex()


def decision_digest(row: PracticeDecision) -> str:
    """SHA-256 of a decision, as its link in the chain keeps it."""
    told = {
        "revision": row.revision_id,
        "person": row.person_id,
        "approved": row.approved,
        "reason": row.reason,
        "decided_at": audit.moment(row.decided_at),
    }
    return jcs.digest(told).hex()


def _decide(
    session: Session, row: PracticeRevision, by_id: int, reason: str, now: datetime, *, approved: bool
) -> None:
    decision = PracticeDecision(
        revision_id=row.id, person_id=by_id, approved=approved, reason=reason, decided_at=now
    )
    row.decision = decision
    session.flush()  # its digest is told with the number of the revision
    what = APPROVED if approved else REFUSED
    facts: dict[str, str | int | None] = {"digest": decision_digest(decision), "reason": reason or None}
    audit.note(session, by_id, what, row.id, now, facts=facts)


def _undecided(session: Session, by_id: int, revision_id: int) -> PracticeRevision:
    row = one(session, by_id, revision_id)
    if row.decision is not None:
        raise Conflict(_("This revision has been decided in the meantime. Load the page anew."))
    return row


def _check_new(session: Session, home: int, based_on: str, revision: str) -> None:
    same = select(PracticeRevision.id).where(
        PracticeRevision.organisation_id == home,
        PracticeRevision.based_on == based_on,
        PracticeRevision.revision == revision,
    )
    if session.scalar(same) is not None:
        raise BadDraft(
            _("There is a revision %(revision)s on this edition already; name another", revision=revision),
            "revision",
        )


def _check_day(session: Session, home: int, based_on: str, in_force: date, today: date) -> None:
    """Refuse a day on which things were judged already by an earlier revision."""
    days = [row.in_force for row, _n in session.execute(_approved(home)) if row.based_on == based_on]
    if days and in_force <= max(days):
        raise BadDraft(
            _("A revision is in force from %(day)s on; this one can only come after it", day=max(days)),
            "in_force",
        )
    if days and in_force < today:
        raise BadDraft(
            _(
                "%(in_force)s has gone by, and what was judged since stands; name today or a later day",
                in_force=in_force,
            ),
            "in_force",
        )


def _approved(organisation_id: int) -> Select[PracticeRevision, str]:
    return (
        select(PracticeRevision, Person.works_number)
        .join(PracticeDecision, PracticeDecision.revision_id == PracticeRevision.id)
        .join(Person, Person.id == PracticeDecision.person_id)
        .where(PracticeRevision.organisation_id == organisation_id, PracticeDecision.approved)
        .order_by(PracticeRevision.in_force)
    )


def _practice(row: PracticeRevision, approver: str, scheme: Scheme) -> WrittenPractice:
    """A stored revision. Whether it was too lax was judged when it was drafted, and is not judged again."""
    try:
        overrides = _read(row.overrides, replace(scheme, overrides="any"))
    except BadDraft as fault:
        raise Unreadable(
            _(
                "Revision %(revision)s of the written practice cannot be read: it was changed outside "
                "the program. Run 'trainer audit' and bring a backup back.",
                revision=row.revision,
            )
        ) from fault
    return WrittenPractice(
        row.based_on, row.revision, row.in_force, Signature(approver, "level_iii"), overrides
    )


def _revision(text: str) -> str:
    try:
        named = particulars.title(text, "The revision")
    except Refused as fault:
        raise BadDraft(str(fault), "revision") from None
    if len(named) > MOST_REVISION:
        raise BadDraft(
            _(
                "The revision has more than %(most)s characters; shorten it",
                most=MOST_REVISION,
            ),
            "revision",
        )
    return named


def _written(key: str, value: str, reason: str) -> dict[str, object]:
    """A change as it is kept. Weights are typed as three numbers: general, specific, practical."""
    told: object = value.strip()
    if not told:
        raise BadDraft(_("write your own figure here, or take its reason away"), key)
    if not reason.strip():
        raise BadDraft(_("say in the column of reasons why this figure is changed"), key)
    if key == "weights":
        three = [part.strip() for part in value.split(",")]
        if len(three) != len(PARTS):
            raise BadDraft(_("write three numbers, for general, specific and practical: 1, 1, 2"), key)
        told = dict(zip(PARTS, three, strict=True))
    return {"value": told, "reason": " ".join(reason.split())}


def _read(written: Mapping[str, object], scheme: Scheme) -> tuple[Override, ...]:
    """Read changes by the rules of the history format; each key stands on a "line" of its own."""
    changed = Branch(1, 1)
    for line, (key, told) in enumerate(written.items(), start=2):
        changed.pairs[key], changed.places[key] = histories.node(told, line), (line, 1)
    root = Branch(1, 1, {OVERRIDES: changed}, {OVERRIDES: (1, 1)})
    try:
        return tuple(read_overrides(Fields(root, "a written practice"), scheme))
    except Amiss as amiss:
        keys = list(written)
        field = keys[amiss.line - 2] if 2 <= amiss.line < len(keys) + 2 else ""
        raise BadDraft(amiss.says, field) from None
