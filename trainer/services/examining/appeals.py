"""Appeals against the verdict of one item: written down, marked again by a second person, put right in the ledger.

The verdict of the close stays with the appeal. Where the new one differs, the score is counted anew and exactly,
and the ledger gets a reversal of the old entry and a new one; both count once a third hand has countersigned them.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime

from sqlalchemy import Select, select
from sqlalchemy.orm import Session, contains_eager

from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import entitlements, particulars
from trainer.services.examining import papers, scoring_papers, sittings
from trainer.services.keeping import audit, paging
from trainer.services.keeping.paging import Page, Wish
from trainer.services.qualifying import ledger
from trainer.store.models import Appeal, Paper, PaperAnswer, Person, Sitting

VERDICTS = ("right", "wrong")
DECIDING = entitlements.signing_roles("examination")


def write_down(
    session: Session, instructor_id: int, paper_id: int, position: int, says: str, now: datetime
) -> Appeal:
    """Write down a candidate's appeal against one item of a marked paper, with the grounds in their words.

    Raises NotFound for another's paper, Conflict for a paper that is not marked or an item appealed already.
    """
    paper = sittings.own_paper(session, instructor_id, paper_id)
    row = papers.item(paper, position)
    if paper.score is None or row.verdict is None:
        raise Conflict(
            _("An appeal is against a verdict. Close the examination first; a void paper has none.")
        )
    if row.appeal is not None:
        raise Conflict(_("This item was appealed already; it is marked again once."))
    row.appeal = Appeal(
        says=particulars.sentence(says, N_("What the candidate holds against the verdict")),
        written_by_id=instructor_id, written_at=now, was=row.verdict,
    )  # fmt: skip
    session.flush()  # its number is needed for the note
    facts: dict[str, str | int | None] = {"paper": paper_id, "item": position, "person": paper.person_id}
    audit.note(session, instructor_id, "appeal written down", row.appeal.id, now, facts=facts)
    return row.appeal


def of_house(session: Session, by_id: int, wish: Wish) -> Page[Appeal]:
    """A page of the appeals of the asker's house, those that wait first and the newest in front, but for those about the asker."""
    wanted = _of_house(session, by_id).join(Person, Person.id == Paper.person_id)
    wanted = wanted.order_by(Appeal.decided_at.is_not(None), Appeal.id.desc())
    return paging.page(session, wanted, wish, Person.works_number, Person.name, Sitting.title, Appeal.says)


def how_many_wait(session: Session, by_id: int) -> int:
    """How many of those are not decided."""
    return paging.count(session, _of_house(session, by_id).where(Appeal.decided_at.is_(None)))


def of_papers(session: Session, paper_ids: Collection[int]) -> list[Appeal]:
    """The appeals against items of these papers, each with its answer, in the order written."""
    wanted = (
        select(Appeal).join(Appeal.answer).options(contains_eager(Appeal.answer))
        .where(PaperAnswer.paper_id.in_(paper_ids)).order_by(Appeal.id)
    )  # fmt: skip
    return list(session.scalars(wanted))


def one(session: Session, by_id: int, appeal_id: int) -> Appeal:
    """Return an appeal of the asker's house; NotFound for any other, and for one about the asker."""
    found = session.get(Appeal, appeal_id)
    if found is None or found.answer.paper.person_id == by_id:
        raise NotFound(_("There is no such appeal."))
    if found.answer.paper.sitting.organisation_id != _house(session, by_id):
        raise NotFound(_("There is no such appeal."))
    return found


def may_decide(session: Session, by_id: int, appeal: Appeal) -> bool:
    """Whether the asker is a second person: entitled, and neither who held the examination nor who wrote it down."""
    first = {appeal.written_by_id, appeal.answer.paper.sitting.opened_by_id, appeal.answer.paper.person_id}
    return by_id not in first and bool(DECIDING & entitlements.roles_of(session, by_id))


def decide(session: Session, by_id: int, appeal_id: int, verdict: str, reason: str, now: datetime) -> Appeal:
    """Mark the item again, with the reason; put score and ledger right where the verdict differs.

    Raises NotFound, NotAllowed for who is no second person, Refused without verdict or reason, Conflict for an
    appeal that is decided.
    """
    found = one(session, by_id, appeal_id)
    if not may_decide(session, by_id, found):
        raise NotAllowed(
            _(
                "An examiner or the Level III marks it again, who neither held the examination nor wrote this down."
            )
        )
    if found.decided_at is not None:
        raise Conflict(_("This appeal was decided in the meantime. Load the page anew."))
    if verdict not in VERDICTS:
        raise Refused(_("Say whether the answer is right or not."))
    found.reason = particulars.sentence(reason, N_("The reason"))
    found.verdict, found.decided_by_id, found.decided_at = verdict, by_id, now
    person_id = found.answer.paper.person_id
    facts: dict[str, str | int | None] = {"was": found.was, "verdict": verdict, "person": person_id}
    apart = (person_id, {"reason": found.reason})
    audit.note(session, by_id, "item marked again", appeal_id, now, facts=facts, apart=apart)
    if (verdict == "right") != (found.was == "right"):
        found.answer.verdict, found.answer.slip = verdict, None  # a slip is the first marking's word
        _put_right(session, found, by_id, now)
    return found


def _put_right(session: Session, appeal: Appeal, by_id: int, now: datetime) -> None:
    """Count the paper anew; what stands in the ledger is reversed and entered with the new score."""
    paper, position = appeal.answer.paper, appeal.answer.position
    scoring_papers.count(paper)
    if paper.entry_id is None:
        return
    old, why = paper.entry_id, f"Item {position} was marked again on appeal"
    if ledger.reversal_of(session, old) is None:
        ledger.reverse(session, old, why, by_id, now)
    paper.entry_id = None
    role = entitlements.first_of(DECIDING & entitlements.roles_of(session, by_id)) or ""
    scoring_papers.enter(session, paper, by_id, role, now, f"{why}; in the place of {old}")


def _house(session: Session, by_id: int) -> int:
    return session.get_one(Person, by_id).organisation_id


def _of_house(session: Session, by_id: int) -> Select[Appeal]:
    joined = select(Appeal).join(PaperAnswer).join(Paper).join(Sitting)
    return joined.where(Sitting.organisation_id == _house(session, by_id), Paper.person_id != by_id)
