"""Drill examinations: planned, opened with a code, sat against the server's clock, marked at the close."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.drills.draw import draw
from trainer.drills.marking import mark
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, NotNow, Refused
from trainer.examinations.score import Score
from trainer.services import accounts, audit, classes, editions, ledger, particulars
from trainer.services.skills import local_day
from trainer.store.models import ClassMember, Paper, PaperAnswer, Sitting

MOST_ITEMS = 60
PARTS = ("", "general", "specific")


def plan(
    session: Session, shelf: Shelf, instructor_id: int, class_id: int, title: str, minutes: int, pass_mark: int,
    drills: Sequence[str], each: int, part: str, code: str, now: datetime,
) -> Sitting:  # fmt: skip
    """Plan a drill examination for an own class. Raises NotFound and Refused with a sentence."""
    found = classes.own_class(session, instructor_id, class_id)
    wanted = list(dict.fromkeys(drills))
    if not wanted:
        raise Refused("Tick at least one drill.")
    if not 1 <= each <= 10 or len(wanted) * each > MOST_ITEMS:
        raise Refused(f"A paper holds at most {MOST_ITEMS} items: fewer drills, or fewer of each.")
    if not 5 <= minutes <= 480 or not 1 <= pass_mark <= 100 or part not in PARTS:
        raise Refused("Minutes are 5 to 480, the pass mark 1 to 100 percent.")
    for drill in wanted:
        if shelf.bank.drill(drill).drill.unconfirmed:
            raise Refused(
                f"'{shelf.bank.drill(drill).drill.title}' rests on memory and is never scored; leave it out."
            )
    person = accounts.colleague(session, instructor_id, instructor_id)
    made = Sitting(
        organisation_id=person.organisation_id, class_id=class_id, kind="drill", level=found.level,
        title=particulars.title(title, "The title"), minutes=minutes, opened_by_id=instructor_id, code=code,
        plan={"drills": wanted, "each": each, "mark": pass_mark, "part": part}, state="planned", made_at=now,
    )  # fmt: skip
    session.add(made)
    session.flush()
    audit.note(session, instructor_id, "examination planned", made.id, now)
    return made


def of_class(session: Session, instructor_id: int, class_id: int) -> list[Sitting]:
    """Return the examinations of an own class, newest first."""
    classes.own_class(session, instructor_id, class_id)
    return list(
        session.scalars(select(Sitting).where(Sitting.class_id == class_id).order_by(Sitting.id.desc()))
    )


def own_sitting(session: Session, instructor_id: int, sitting_id: int) -> Sitting:
    """Return an examination of an own class; NotFound for anybody else's."""
    found = session.get(Sitting, sitting_id)
    if found is None or found.class_id is None:
        raise NotFound("There is no such examination.")
    classes.own_class(session, instructor_id, found.class_id)
    return found


def open_sitting(session: Session, instructor_id: int, sitting_id: int, now: datetime) -> Sitting:
    """Open a planned examination: from now its code lets the class in."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state != "planned":
        raise Conflict("This examination is not waiting to be opened any more.")
    found.state, found.opened_at = "open", now
    audit.note(session, instructor_id, "examination opened", sitting_id, now)
    return found


def pause(session: Session, instructor_id: int, sitting_id: int, now: datetime) -> Sitting:
    """Stop the time of everybody, for a fire alarm; nothing can be written until it goes on."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state != "open":
        raise Conflict("Only an open examination can be paused.")
    found.state, found.plan = "paused", {**found.plan, "paused_at": now.isoformat()}
    audit.note(session, instructor_id, "examination paused", sitting_id, now)
    return found


def resume(session: Session, instructor_id: int, sitting_id: int, now: datetime) -> Sitting:
    """Go on after a pause; who was still writing gets the paused time back."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state != "paused":
        raise Conflict("This examination is not paused.")
    since = datetime.fromisoformat(found.plan["paused_at"])
    for paper in found.papers:
        if paper.handed_in_at is None and paper.deadline > since:
            paper.deadline += max(now - since, timedelta())
    found.state = "open"
    audit.note(session, instructor_id, "examination goes on", sitting_id, now)
    return found


def void(session: Session, instructor_id: int, sitting_id: int, reason: str, now: datetime) -> Sitting:
    """Declare an examination void before its close; nothing of it is scored."""
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state in {"closed", "void"}:
        raise Conflict("This examination is closed already.")
    found.state, found.closed_at = "void", now
    why = particulars.title(reason, "The reason")
    audit.note(session, instructor_id, "examination void", sitting_id, now, facts={"reason": why})
    return found


def start(
    session: Session, shelf: Shelf, person_id: int, code: str, seed: Callable[[], int], now: datetime
) -> Paper:
    """Start one's paper with the code, or come back to it. Raises NotFound for a code that opens nothing."""
    wanted = (
        select(Sitting)
        .join(ClassMember, ClassMember.class_id == Sitting.class_id)
        .where(
            Sitting.code == code.strip().upper()[:20], Sitting.state == "open",
            ClassMember.person_id == person_id, ClassMember.left_at.is_(None),
        )
    )  # fmt: skip
    sitting = session.scalars(wanted).first()
    if sitting is None:
        raise NotFound(
            "No examination is open for you with this code. Ask the invigilator to read it out again."
        )
    kept = session.scalars(
        select(Paper).where(Paper.sitting_id == sitting.id, Paper.person_id == person_id)
    ).first()
    if kept is not None:
        return kept
    paper = Paper(
        sitting_id=sitting.id,
        person_id=person_id,
        started_at=now,
        deadline=now + timedelta(minutes=sitting.minutes),
    )
    session.add(paper)
    session.flush()
    for position, drill in enumerate(
        [d for d in sitting.plan["drills"] for _ in range(sitting.plan["each"])], 1
    ):
        session.add(_item(session, shelf, paper.id, position, drill, seed(), now))
    audit.note(session, person_id, "paper started", paper.id, now)
    session.flush()
    return paper


def _item(
    session: Session, shelf: Shelf, paper_id: int, position: int, drill: str, seed: int, now: datetime
) -> PaperAnswer:
    """Draw one item; everybody is asked for the same unknowns, with numbers of their own."""
    entry = shelf.bank.drill(drill)
    finds = list(entry.drill.finds)
    drawn = draw(shelf.mould_of(entry, finds[(position - 1) % len(finds)]), seed)
    editions.keep(session, entry, now)
    return PaperAnswer(paper_id=paper_id, position=position, exercise=drawn.snapshot(), text="")


def own_paper(session: Session, person_id: int, paper_id: int) -> Paper:
    """Return one's own paper; NotFound for anybody else's."""
    paper = session.get(Paper, paper_id)
    if paper is None or paper.person_id != person_id:
        raise NotFound("There is no such paper.")
    return paper


def item(paper: Paper, position: int) -> PaperAnswer:
    """Return one item of a paper."""
    found = next((a for a in paper.answers if a.position == position), None)
    if found is None:
        raise NotFound("This paper has no such item.")
    return found


def is_running(paper: Paper, now: datetime) -> bool:
    """Whether the candidate may still write."""
    return paper.sitting.state == "open" and paper.handed_in_at is None and now < paper.deadline


def save(
    session: Session, person_id: int, paper_id: int, position: int, text: str, flagged: bool, now: datetime
) -> Paper:
    """Keep what is written on one item.

    Raises Refused once time is over or the paper is handed in (an answer that a phone kept is then told,
    not dropped), NotNow in a pause (it is sent again by itself).
    """
    paper = own_paper(session, person_id, paper_id)
    if paper.sitting.state == "paused":
        raise NotNow(
            "The examination is paused and your time stands still. Go back and keep it when it goes on."
        )
    if not is_running(paper, now):
        raise Refused("Time is over or the paper is handed in. What was kept before counts.")
    row = item(paper, position)
    row.text, row.flagged, row.saved_at = text[:200], flagged, now
    return paper


def hand_in(session: Session, person_id: int, paper_id: int, now: datetime) -> Paper:
    """Hand in one's paper; a second time changes nothing."""
    paper = own_paper(session, person_id, paper_id)
    if paper.handed_in_at is None:
        paper.handed_in_at = min(now, paper.deadline)
        audit.note(session, person_id, "paper handed in", paper_id, now)
    return paper


def more_time(
    session: Session, instructor_id: int, paper_id: int, minutes: int, reason: str, now: datetime
) -> Paper:
    """Give one candidate extra minutes, with the reason kept."""
    paper = session.get(Paper, paper_id)
    if paper is None:
        raise NotFound("There is no such paper.")
    own_sitting(session, instructor_id, paper.sitting_id)
    if not 1 <= minutes <= 240 or not is_running(paper, now):
        raise Refused("Extra time is 1 to 240 minutes, for a paper that is still running.")
    paper.extra_minutes += minutes
    paper.extra_reason = particulars.title(reason, "The reason")
    paper.deadline += timedelta(minutes=minutes)
    audit.note(session, instructor_id, "extra time", paper_id, now, facts={"minutes": minutes})
    return paper


def close(session: Session, shelf: Shelf, instructor_id: int, sitting_id: int, now: datetime) -> Sitting:
    """Close an examination: every paper is handed in, marked, and (if planned so) entered into the ledger.

    Raises Conflict while a paper is still running, unless its time is over.
    """
    found = own_sitting(session, instructor_id, sitting_id)
    if found.state != "open":
        raise Conflict("This examination is not open.")
    running = [p for p in found.papers if is_running(p, now)]
    if running:
        raise Conflict(
            f"{len(running)} candidates are still writing. Wait for them, or for the end of their time."
        )
    for paper in found.papers:
        if paper.handed_in_at is None:
            paper.handed_in_at = paper.deadline
        _mark(session, shelf, found, paper, now)
    found.state, found.closed_at = "closed", now
    audit.note(session, instructor_id, "examination closed", sitting_id, now)
    return found


def _mark(session: Session, shelf: Shelf, sitting: Sitting, paper: Paper, now: datetime) -> None:
    for row in paper.answers:
        mould, drawn = shelf.stored(editions.content(session, row.exercise["edition"]), row.exercise)
        row.verdict = mark(mould, drawn, row.text).kind
    score = Score.of_verdicts([row.verdict or "" for row in paper.answers], sitting.plan["mark"])
    paper.score = score.as_data()
    if sitting.plan["part"]:
        body = {
            "part": sitting.plan["part"], "method": "MT", "level": sitting.level, "right": str(score.right),
            "of": str(score.of), "date": local_day(paper.started_at).isoformat(), "paper": f"drill-{sitting.id}-{paper.id}",
        }  # fmt: skip
        entry = ledger.enter(
            session, paper.person_id, "examination", body, sitting.opened_by_id, "instructor", now
        )
        paper.entry_id = entry.id


def score_of(paper: Paper) -> Score | None:
    """Return the score of a marked paper."""
    return Score(**paper.score) if paper.score else None


def papers_of(session: Session, person_id: int) -> list[Paper]:
    """Return one's own papers, newest first."""
    return list(session.scalars(select(Paper).where(Paper.person_id == person_id).order_by(Paper.id.desc())))
