"""One candidate's paper: started with the code, written against the server's clock, handed in.

Nothing here gives a verdict away: that is made at the close (services/examining/scoring_papers).
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta

from sqlalchemy import Select, bindparam, select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.errors import NotFound, NotNow, Refused
from trainer.languages import _
from trainer.services.examining import paper_items
from trainer.services.keeping import audit
from trainer.store.models import ClassMember, Paper, PaperAnswer, Sitting

# Asked before every page of a trainee; put together once, since that takes longer than the asking.
_NOT_HANDED_IN = (
    select(Paper)
    .join(Sitting)
    .where(
        Paper.person_id == bindparam("person_id"),
        Paper.handed_in_at.is_(None),
        Sitting.state.in_(("open", "paused")),
    )
    .order_by(Paper.id.desc())
)


class Overwritten(Refused):
    """Another window has written on this item since the page was made; ``paper`` and item are as kept."""

    def __init__(self, kept: str) -> None:
        says = _("Another window has kept “%(kept)s” here since this page was made.", kept=kept) if kept else _(
            "Another window has emptied this field since this page was made."
        )  # fmt: skip
        stands = _("That still stands. Keep what is in the field if it is to replace it.")
        super().__init__(f"{says} {stands}")


def start(
    session: Session, shelf: Shelf, person_id: int, code: str, seed: Callable[[], int], now: datetime,
    decimal: str | None = None,
) -> Paper:  # fmt: skip
    """Start one's paper with the code, or come back to it.

    ``decimal``: the sign that is read on this paper, whatever the candidate chooses later.
    Raises NotFound for a code that opens nothing, Conflict where the bank can no longer fill the plan, NotNow
    while the examination is locked.
    """
    sitting, kept = admitted(session, person_id, code)
    if kept is not None:
        return kept
    deadline = now + timedelta(minutes=sitting.minutes)
    paper = Paper(
        sitting_id=sitting.id, person_id=person_id, started_at=now, deadline=deadline, decimal=decimal
    )
    session.add(paper)
    session.flush()  # its number is needed for its items
    paper_items.lay_out(session, shelf, paper, seed, now)
    audit.note(session, person_id, "paper started", paper.id, now)
    session.flush()  # so that the items can be read in this transaction
    return paper


def admitted(session: Session, person_id: int, code: str) -> tuple[Sitting, Paper | None]:
    """The examination that a code lets one into, and one's paper of it if it was started. NotFound for none."""
    sitting = session.scalars(_opened_by(code, person_id)).first()
    if sitting is None:
        raise NotFound(
            _("No examination is open for you with this code. Ask the invigilator to read it out again.")
        )
    own = select(Paper).where(Paper.sitting_id == sitting.id, Paper.person_id == person_id)
    return sitting, session.scalars(own).first()


def own_paper(session: Session, person_id: int, paper_id: int) -> Paper:
    """Return one's own paper; NotFound for anybody else's."""
    paper = session.get(Paper, paper_id)
    if paper is None or paper.person_id != person_id:
        raise NotFound(_("There is no such paper."))
    return paper


def papers_of(session: Session, person_id: int) -> list[Paper]:
    """Return one's own papers, newest first."""
    return list(session.scalars(select(Paper).where(Paper.person_id == person_id).order_by(Paper.id.desc())))


def being_sat(session: Session, person_id: int, now: datetime) -> Paper | None:
    """The paper that a person is sitting now, also in a pause, or None."""
    found = session.scalars(_NOT_HANDED_IN, {"person_id": person_id}).all()
    return next((p for p in found if p.sitting.state == "paused" or is_running(p, now)), None)


def item(paper: Paper, position: int) -> PaperAnswer:
    """Return one item of a paper."""
    found = next((a for a in paper.answers if a.position == position), None)
    if found is None:
        raise NotFound(_("This paper has no such item."))
    return found


def moment(paper: Paper, now: datetime) -> datetime:
    """Now, but never before what was last kept on this paper: its times are in order, also when the clock is set back."""
    return max([now, paper.started_at, *(a.saved_at for a in paper.answers if a.saved_at is not None)])


def is_running(paper: Paper, now: datetime) -> bool:
    """Whether the candidate may still write."""
    return paper.sitting.state == "open" and paper.handed_in_at is None and now < paper.deadline


def is_over(paper: Paper, now: datetime) -> bool:
    """Whether a paper's time has run out without a hand-in that is kept."""
    return paper.sitting.state == "open" and paper.handed_in_at is None and now >= paper.deadline


def settle(session: Session, sitting: Sitting, now: datetime) -> None:
    """Hand in every paper of an open examination whose time is over."""
    for paper in sitting.papers:
        if is_over(paper, now):
            paper.handed_in_at = paper.deadline
            audit.note(session, None, "paper handed in at its deadline", paper.id, now)


def save(
    session: Session, person_id: int, paper_id: int, position: int, text: str, flagged: bool, now: datetime,
    key: str = "", over: str = "",
) -> Paper:  # fmt: skip
    """Keep what is written on one item.

    ``key`` names the page it was written on, ``over`` the page that had written last when that page was made.
    Raises Overwritten where another page has written in between, Refused once time is over or the paper is
    handed in (an answer that a phone kept is then told, not dropped), NotNow in a pause or while the examination is
    locked (it is sent again by itself).
    """
    paper = own_paper(session, person_id, paper_id)
    if paper.sitting.state == "paused":
        raise NotNow(
            _("The examination is paused and your time stands still. Go back and keep it when it goes on.")
        )
    if not is_running(paper, now):
        raise Refused(_("Time is over or the paper is handed in. What was kept before counts."))
    row = item(paper, position)
    written = paper_items.written(row, text)
    if (row.key or "") not in {key, over} and row.text != written:
        raise Overwritten(row.text)
    row.text, row.flagged, row.key, row.saved_at = written, flagged, key or None, moment(paper, now)
    return paper


def hand_in(session: Session, person_id: int, paper_id: int, now: datetime) -> Paper:
    """Hand in one's paper; a second time changes nothing. Raises NotNow in a pause."""
    paper = own_paper(session, person_id, paper_id)
    if paper.handed_in_at is None and paper.sitting.state == "paused":
        raise NotNow(_("The examination is paused. Hand in when it goes on."))
    if paper.handed_in_at is None:
        paper.handed_in_at = min(moment(paper, now), paper.deadline)
        audit.note(session, person_id, "paper handed in", paper_id, now)
    return paper


def _opened_by(code: str, person_id: int) -> Select[Sitting]:
    return (
        select(Sitting)
        .join(ClassMember, ClassMember.class_id == Sitting.class_id)
        .where(
            Sitting.code == "".join(code.upper().split())[:20], Sitting.state == "open",
            ClassMember.person_id == person_id, ClassMember.left_at.is_(None),
        )
    )  # fmt: skip
