"""What the invigilator sees to beside the clock: who sits each paper, and what happened in the room."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotFound
from trainer.languages import N_, _
from trainer.services.admitting import particulars
from trainer.services.examining import sittings
from trainer.services.keeping import audit
from trainer.store.models import IdentityCheck, Incident, Paper, Sitting

BEFORE_THE_CLOSE = frozenset({"open", "paused"})


def confirm_identity(session: Session, instructor_id: int, paper_id: int, now: datetime) -> Paper:
    """Say that whoever sits this paper was seen and is the candidate. A second time changes nothing.

    Raises NotFound for another's paper, Conflict once the examination is closed or void: nobody is seen then.
    """
    paper = sittings.own_paper(session, instructor_id, paper_id)
    if paper.identity is not None:
        return paper
    if paper.sitting.state not in BEFORE_THE_CLOSE:
        raise Conflict(_("The examination is over. Whom you saw is confirmed while it is held."))
    paper.identity = IdentityCheck(by_id=instructor_id, at=now)
    audit.note(session, instructor_id, "identity confirmed", paper_id, now, facts={"person": paper.person_id})
    return paper


def last_sign(sitting: Sitting) -> datetime | None:
    """When the room was last heard of: a paper begun, an answer kept, a paper handed in by its candidate."""
    return max((moment for paper in sitting.papers for moment in _signs(paper)), default=None)


def time_for_all(
    session: Session, instructor_id: int, sitting_id: int, minutes: int, reason: str, now: datetime
) -> int:
    """Give the minutes to everybody who was writing when the room was last heard of; return to how many.

    That is whoever has not handed in, and whose time alone has run out since: a power cut, a program that was
    started anew. Raises NotFound, Conflict where nobody is, Refused as `sittings.more_time` does.
    """
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    since = last_sign(found)
    writing = [paper for paper in found.papers if since is not None and _was_writing(paper, since)]
    if found.state not in BEFORE_THE_CLOSE or not writing:
        raise Conflict(_("Nobody of this examination was writing, so there is nobody to give time to."))
    for paper in writing:
        sittings.more_time(session, instructor_id, paper.id, minutes, reason, now)
    return len(writing)


def _signs(paper: Paper) -> list[datetime]:
    kept = [row.saved_at for row in paper.answers if row.saved_at is not None]
    by_hand = [paper.handed_in_at] if paper.handed_in_at and paper.handed_in_at != paper.deadline else []
    return [paper.started_at, *kept, *by_hand]


def _was_writing(paper: Paper, since: datetime) -> bool:
    if paper.void_reason is not None or paper.printed is not None:
        return False
    return paper.handed_in_at is None or paper.handed_in_at == paper.deadline >= since


def write_down(
    session: Session, instructor_id: int, sitting_id: int, says: str, paper_id: int | None, now: datetime
) -> Incident:
    """Write down what happened, about one paper or about all; it is never changed, only followed by another.

    It may also be written after the close: the time of writing stands beside it. Raises NotFound for another's
    examination or a paper of another one, Refused for words that are missing or too many.
    """
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    paper = None if paper_id is None else sittings.own_paper(session, instructor_id, paper_id)
    if paper is not None and paper.sitting_id != found.id:
        raise NotFound(_("There is no such paper in this examination."))
    told = Incident(
        paper_id=paper_id, says=particulars.sentence(says, N_("What happened")), by_id=instructor_id, at=now
    )
    found.incidents.append(told)
    facts: dict[str, str | int | None] = {"paper": paper_id}
    apart = (paper.person_id, {"says": told.says}) if paper else None
    if paper is None:  # about the whole room, so about nobody who could be erased
        facts["says"] = told.says
    audit.note(session, instructor_id, "incident written down", sitting_id, now, facts=facts, apart=apart)
    return told
