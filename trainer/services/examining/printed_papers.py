"""An examination on paper: numbered papers drawn and kept, marks typed twice, agreed ones taken as papers.

What is taken becomes a paper like any other: the close marks, scores and enters it (services/examining/scoring_papers).
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import groupby
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, Refused
from trainer.examinations import typed_marks
from trainer.examinations.plan import Plan
from trainer.examinations.typed_marks import Marks
from trainer.languages import _
from trainer.services.examining import paper_items, sittings
from trainer.services.keeping import audit, sealed_papers
from trainer.services.teaching import classes
from trainer.store.models import Paper, PaperAnswer, Person, PrintedPaper, Sitting, TypedMarks

MOST_AT_ONCE = 40
MOST_ITEMS = 400  # of one printing
MOST_PAPERS = 400


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a printed paper is: typed in which turns, and where they differ."""

    row: PrintedPaper
    first: Marks | None
    second: Marks | None

    @property
    def differences(self) -> list[tuple[str, str, str]]:
        """Where the two typings differ; nothing before both are there."""
        return typed_marks.differences(self.first, self.second) if self.first and self.second else []

    @property
    def agreed(self) -> bool:
        """Whether both typings say the same."""
        return self.first is not None and self.first == self.second


def draw(
    session: Session, shelf: Shelf, instructor_id: int, sitting_id: int, copies: int, seed: Callable[[], int],
    now: datetime,
) -> list[PrintedPaper]:  # fmt: skip
    """Draw so many more numbered papers of an examination that is not over, each with numbers of its own.

    Raises NotFound, Conflict for one that is over, Refused for too many or none, NotNow while it is locked.
    """
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    plan = Plan.of_data(found.plan)
    if found.state in {"closed", "void"}:
        raise Conflict(_("This examination is over. Plan another one to print papers for."))
    most = most_at_once(found)
    if not 1 <= copies <= most:
        raise Refused(
            _(
                "Write how many papers: 1 to %(most)s at once, of %(size)s items each.",
                most=most,
                size=plan.size,
            )
        )
    held = printed(session, instructor_id, sitting_id)
    if len(held) + copies > MOST_PAPERS:
        raise Refused(_("An examination has at most %(most)s printed papers.", most=MOST_PAPERS))
    uses = paper_items.uses_within(session, found)
    if "uses" not in found.plan:  # not open yet, so nothing of it is counted twice
        uses.update(paper_items.uses(session, found.organisation_id))
    rows = []
    for number in range(len(held) + 1, len(held) + copies + 1):
        items = paper_items.drawn(session, shelf, found, uses, seed, now)
        uses.update(paper_items.names_in(items))
        paper_items.tally(session, found, items)
        shut = sealed_papers.shut(session, found, {"items": items}, sealed_papers.PAPER_ROOM)
        row = PrintedPaper(sitting_id=sitting_id, number=number, items=shut, printed_at=now)
        session.add(row)
        rows.append(row)
    facts: dict[str, str | int | None] = {"first": rows[0].number, "last": rows[-1].number}
    audit.note(session, instructor_id, "papers printed", sitting_id, now, facts=facts)
    session.flush()
    return rows


def most_at_once(sitting: Sitting) -> int:
    """How many papers of this examination go into one printing, and into one file."""
    return min(MOST_AT_ONCE, MOST_ITEMS // Plan.of_data(sitting.plan).size)


def printings(rows: Sequence[PrintedPaper]) -> list[tuple[int, int]]:
    """The first and last number of each printing."""
    groups = [[row.number for row in group] for _at, group in groupby(rows, key=lambda row: row.printed_at)]
    return [(numbers[0], numbers[-1]) for numbers in groups]


def printed(session: Session, instructor_id: int, sitting_id: int) -> list[PrintedPaper]:
    """The printed papers of an own examination, by number, with what was typed; NotFound for anybody else's."""
    sittings.own_sitting(session, instructor_id, sitting_id)
    wanted = select(PrintedPaper).where(PrintedPaper.sitting_id == sitting_id).order_by(PrintedPaper.number)
    return list(session.scalars(wanted.options(selectinload(PrintedPaper.typed))))


def standing(row: PrintedPaper) -> Standing:
    """How far a printed paper is; the newest typing of a turn counts."""
    newest = {one.turn: Marks(one.works_number, one.marks) if one.marks else None for one in row.typed}
    return Standing(row, newest.get(1), newest.get(2))


def unsettled(session: Session, sitting_id: int) -> list[int]:
    """The numbers of the printed papers that were typed, but are not taken."""
    wanted = select(PrintedPaper).where(
        PrintedPaper.sitting_id == sitting_id, PrintedPaper.paper_id.is_(None), PrintedPaper.typed.any()
    )
    found = [standing(row) for row in session.scalars(wanted.options(selectinload(PrintedPaper.typed)))]
    return sorted(one.row.number for one in found if one.first or one.second)


def facts_of(session: Session, row: PrintedPaper) -> list[dict[str, Any]]:
    """The facts of the items of a printed paper. Raises NotNow while its examination is locked."""
    items: list[dict[str, Any]] = sealed_papers.opened(session, row.items)["items"]
    return items


def items_of(session: Session, row: PrintedPaper) -> list[PaperAnswer]:
    """The items of a printed paper as those of any paper, to be shown; they are not kept."""
    found = facts_of(session, row)
    return [PaperAnswer(position=at, exercise=kept, text="") for at, kept in enumerate(found, 1)]


def take(
    session: Session, instructor_id: int, sitting_id: int, turn: int, text: str, now: datetime
) -> list[Standing]:
    """Keep what was typed in a turn, all lines or none, and take every paper whose two typings agree.

    Returns the papers of these lines. Raises Refused with the faulty lines, Conflict while the examination is
    not open, NotNow while it is locked.
    """
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    if found.state != "open":
        raise Conflict(_("Marks are taken while the examination is open."))
    if turn not in (1, 2):
        raise Refused(_("Say whether this is the first typing or the second."))
    rows = {row.number: row for row in printed(session, instructor_id, sitting_id) if row.paper_id is None}
    typed = typed_marks.read(
        text,
        {
            number: [paper_items.asks_question(kept) for kept in facts_of(session, row)]
            for number, row in rows.items()
        },
    )
    people = {one.works_number: one for one in classes.members(session, instructor_id, found.class_id or 0)}
    _check_candidates(found, typed, people)
    for number, marks in typed.items():
        rows[number].typed.append(
            TypedMarks(
                turn=turn, works_number=marks.works_number, marks=marks.signs, by_id=instructor_id, at=now
            )
        )
    facts: dict[str, str | int | None] = {"turn": turn, "papers": ", ".join(map(str, sorted(typed)))}
    audit.note(session, instructor_id, "marks typed", sitting_id, now, facts=facts)
    standings = [standing(rows[number]) for number in typed]
    for one in standings:
        if one.agreed and one.first is not None:
            _take(session, found, one.row, one.first, people, instructor_id, now)
    return standings


def _check_candidates(sitting: Sitting, typed: dict[int, Marks], people: dict[str, Person]) -> None:
    held = {paper.person_id for paper in sitting.papers}
    seen: dict[str, int] = {}
    for number, marks in typed.items():
        who = marks.works_number
        if not who:
            continue
        if who not in people:
            raise Refused(
                _(
                    "Paper %(number)s: nobody in this class has the works number %(who)s.",
                    number=number,
                    who=who[:20],
                )
            )
        if people[who].id in held:
            raise Refused(
                _(
                    "Paper %(number)s: %(who)s has a paper of this examination already.",
                    number=number,
                    who=who,
                )
            )
        if who in seen:
            raise Refused(
                _("Papers %(seen)s and %(number)s both name %(who)s.", seen=seen[who], number=number, who=who)
            )
        seen[who] = number


def _take(
    session: Session, sitting: Sitting, row: PrintedPaper, marks: Marks, people: dict[str, Person], by_id: int,
    now: datetime,
) -> None:  # fmt: skip
    """Make the candidate's paper, as if it had been written on a screen, handed in when its marks were taken."""
    if sitting.opened_at is None:
        raise NotFound(_("There is no such examination."))
    person = people[marks.works_number]
    paper = Paper(
        person_id=person.id, started_at=sitting.opened_at, handed_in_at=now,
        deadline=sitting.opened_at + timedelta(minutes=sitting.minutes),
    )  # fmt: skip
    sitting.papers.append(paper)
    for position, (kept, sign) in enumerate(zip(facts_of(session, row), marks.items, strict=True), 1):
        written = paper_items.on_paper(position, kept, sign)
        written.exercise = sealed_papers.shut(session, sitting, written.exercise, sealed_papers.ITEM_ROOM)
        paper.answers.append(written)
    session.flush()  # its number is needed
    row.paper_id = paper.id
    facts: dict[str, str | int | None] = {"printed": row.number, "person": person.id}
    audit.note(session, by_id, "marks taken", paper.id, now, facts=facts)
