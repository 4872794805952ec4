"""What the invigilator sees to beside the clock: who sits each paper, and what happened in the room."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotFound
from trainer.languages import N_, _
from trainer.services import audit, particulars, sittings
from trainer.store.models import IdentityCheck, Incident, Paper

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
