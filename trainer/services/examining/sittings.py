"""Examinations as the invigilator holds them: planned, opened with a code, paused, declared void.

What one candidate does stands in services/examining/papers, the close in services/examining/scoring_papers.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, Refused
from trainer.examinations.plan import Plan, checked
from trainer.languages import N_, _
from trainer.services.admitting import accounts, particulars
from trainer.services.examining import paper_items, papers
from trainer.services.keeping import audit, paging, sealed_papers
from trainer.services.keeping.paging import Page, Wish
from trainer.services.teaching import classes
from trainer.store.models import Paper, Sitting
from trainer.store.models.classes import LEVELS

MINUTES = range(5, 481)
MOST_EXTRA = 240


def plan(
    session: Session, shelf: Shelf, instructor_id: int, class_id: int, title: str, level: str, minutes: int,
    wanted: Plan, code: str, now: datetime,
) -> Sitting:  # fmt: skip
    """Plan an examination for an own class. Raises NotFound and Refused with a sentence.

    Refused is also what the bank cannot fill.
    """
    found = classes.own_class(session, instructor_id, class_id)
    name = particulars.title(title, N_("The title"))
    if level not in LEVELS:
        raise Refused(_("The level is %(levels)s.", levels=_(" or ").join(LEVELS)))
    if minutes not in MINUTES:
        raise Refused(_("Minutes are 5 to 480."))
    for line in checked(wanted).lines:
        _check_line(shelf, line.drill, line.find)
    if wanted.questions is not None and (lacks := paper_items.lacks(shelf, wanted.questions)):
        raise Refused(_("The bank cannot fill this paper: %(lacks)s.", lacks="; ".join(lacks)))
    kind = wanted.questions.part if wanted.questions else "drill"
    made = Sitting(
        organisation_id=found.organisation_id, class_id=class_id, kind=kind, level=level, title=name,
        minutes=minutes, opened_by_id=instructor_id, code=code, plan=wanted.as_data(), state="planned",
        made_at=now,
    )  # fmt: skip
    session.add(made)
    session.flush()  # its number is needed for the note
    audit.note(session, instructor_id, "examination planned", made.id, now)
    return made


def of_class(session: Session, instructor_id: int, class_id: int, wish: Wish) -> Page[Sitting]:
    """Return a page of the examinations of an own class, newest first."""
    classes.own_class(session, instructor_id, class_id)
    wanted = select(Sitting).where(Sitting.class_id == class_id).order_by(Sitting.id.desc())
    return paging.page(session, wanted, wish, Sitting.title)


def own_sitting(session: Session, instructor_id: int, sitting_id: int) -> Sitting:
    """Return an examination of an own class with its papers; NotFound for anybody else's."""
    wanted = select(Sitting).where(Sitting.id == sitting_id)
    held = selectinload(Sitting.papers)
    with_all = (held.selectinload(one) for one in (Paper.answers, Paper.identity, Paper.printed))
    found = session.scalars(wanted.options(*with_all, selectinload(Sitting.seal))).one_or_none()
    if found is None or found.class_id is None:
        raise NotFound(_("There is no such examination."))
    classes.own_class(session, instructor_id, found.class_id)
    return found


def own_paper(session: Session, instructor_id: int, paper_id: int) -> Paper:
    """Return a paper of an examination of an own class; NotFound for anybody else's."""
    paper = session.get(Paper, paper_id)
    if paper is None:
        raise NotFound(_("There is no such paper."))
    own_sitting(session, instructor_id, paper.sitting_id)
    return paper


def open_sitting(session: Session, instructor_id: int, sitting_id: int, now: datetime) -> Sitting:
    """Open a planned examination: from now its code lets the class in."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state != "planned":
        raise Conflict(_("This examination is not waiting to be opened any more."))
    if found.plan.get("questions"):
        found.plan = {**found.plan, "uses": paper_items.uses(session, found.organisation_id)}
    found.state, found.opened_at = "open", now
    audit.note(session, instructor_id, "examination opened", sitting_id, now)
    return found


def pause(session: Session, instructor_id: int, sitting_id: int, now: datetime) -> Sitting:
    """Stop the time of everybody, for a fire alarm; nothing can be written until it goes on."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state != "open":
        raise Conflict(_("Only an open examination can be paused."))
    papers.settle(session, found, now)  # whose time was over before the pause gets none of it back
    found.state, found.plan = "paused", {**found.plan, "paused_at": now.isoformat()}
    audit.note(session, instructor_id, "examination paused", sitting_id, now)
    return found


def resume(session: Session, instructor_id: int, sitting_id: int, now: datetime) -> Sitting:
    """Go on after a pause; who was still writing gets the paused time back."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state != "paused":
        raise Conflict(_("This examination is not paused."))
    since = datetime.fromisoformat(found.plan["paused_at"])
    for paper in found.papers:
        if paper.handed_in_at is None:
            paper.deadline += max(now - since, timedelta())
    found.state = "open"
    audit.note(session, instructor_id, "examination goes on", sitting_id, now)
    return found


def void(session: Session, instructor_id: int, sitting_id: int, reason: str, now: datetime) -> Sitting:
    """Declare an examination void before its close; nothing of it is scored. What is locked then stays sealed."""
    found = own_sitting(session, instructor_id, sitting_id)
    _before_close(found)
    why = particulars.title(reason, N_("The reason"))
    found.state, found.closed_at = "void", now
    if not sealed_papers.is_locked(session, found):
        sealed_papers.open_for_good(session, found, now)
    audit.note(session, instructor_id, "examination void", sitting_id, now, facts={"reason": why})
    return found


def void_paper(session: Session, instructor_id: int, paper_id: int, reason: str, now: datetime) -> Paper:
    """Declare one candidate's paper void before the close, with the reason; it is not scored."""
    paper = own_paper(session, instructor_id, paper_id)
    _before_close(paper.sitting)
    if paper.void_reason is not None:
        raise Conflict(_("This paper is void already."))
    paper.void_reason = particulars.title(reason, N_("The reason"))
    paper.handed_in_at = paper.handed_in_at or papers.moment(paper, now)
    apart = (paper.person_id, {"reason": paper.void_reason})
    audit.note(session, instructor_id, "paper void", paper_id, now, apart=apart)
    return paper


def more_time(
    session: Session, instructor_id: int, paper_id: int, minutes: int, reason: str, now: datetime
) -> Paper:
    """Give one candidate extra minutes, with the reason kept.

    A paper that only its deadline handed in is opened again, for a power cut is seen afterwards. Raises
    Refused where that would still be over, Conflict for a paper that is handed in, void or marked.
    """
    paper = own_paper(session, instructor_id, paper_id)
    papers.settle(session, paper.sitting, now)
    if paper.sitting.state not in {"open", "paused"} or paper.void_reason is not None:
        raise Conflict(_("Extra time is given while the examination is open, for a paper that is not void."))
    by_itself = paper.handed_in_at == paper.deadline
    if paper.handed_in_at is not None and not by_itself:
        raise Conflict(_("The candidate has handed this paper in; it takes no more time."))
    if not 1 <= minutes <= MOST_EXTRA:
        raise Refused(_("Extra time is 1 to %(most_extra)s minutes.", most_extra=MOST_EXTRA))
    deadline = paper.deadline + timedelta(minutes=minutes)
    if by_itself and deadline <= now:
        short = int((now - paper.deadline).total_seconds() // 60) + 1
        raise Refused(
            _(
                "The time was over %(short)s minutes ago. Give more than that, or nothing is gained.",
                short=short,
            )
        )
    paper.extra_reason = particulars.title(reason, N_("The reason"))
    paper.extra_minutes += minutes
    paper.deadline, paper.handed_in_at = deadline, None
    apart = (paper.person_id, {"reason": paper.extra_reason})
    audit.note(session, instructor_id, "extra time", paper_id, now, facts={"minutes": minutes}, apart=apart)
    return paper


def show_working(session: Session, instructor_id: int, sitting_id: int, shown: bool, now: datetime) -> None:
    """Say whether candidates see verdict and working of their items once it is closed."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.plan["shown"] != shown:
        found.plan = {**found.plan, "shown": shown}
        audit.note(session, instructor_id, "working shown" if shown else "working hidden", sitting_id, now)


def missing(session: Session, instructor_id: int, sitting: Sitting) -> list[str]:
    """Who of the class has no paper yet, by number and name."""
    started = {paper.person_id for paper in sitting.papers}
    people = classes.members(session, instructor_id, sitting.class_id or 0)
    return [f"{p.works_number} {p.name}" for p in people if p.id not in started and p.id != instructor_id]


def names(session: Session, person_ids: Iterable[int | None]) -> dict[int, str]:
    """Number and name of these people, by id."""
    return {one.id: one.told for one in accounts.named(session, person_ids).values()}


def named_in(sitting: Sitting) -> set[int]:
    """The ids of everybody whom an examination names: candidates, who saw them, who wrote an incident down."""
    seen = {paper.identity.by_id for paper in sitting.papers if paper.identity}
    return seen | {paper.person_id for paper in sitting.papers} | {one.by_id for one in sitting.incidents}


def _before_close(sitting: Sitting) -> None:
    if sitting.state in {"closed", "void"}:
        raise Conflict(_("This examination is closed already."))


def _check_line(shelf: Shelf, drill_id: str, find: str | None) -> None:
    drill = shelf.bank.drill(drill_id).drill
    if find is not None and find not in drill.finds:
        raise NotFound(_("A drill does not ask for what was chosen. Load the page anew."))
    if drill.unconfirmed:
        raise Refused(_("%(title)s rests on memory and is never scored; leave it out.", title=drill.title))
