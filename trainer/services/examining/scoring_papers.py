"""The close of an examination: every paper is marked at once, and what counts goes to the ledger."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, TrainerError
from trainer.examinations.plan import Plan
from trainer.examinations.score import Score
from trainer.languages import N_, WRITTEN_IN, _, ngettext, reading_in
from trainer.services.examining import paper_items, papers, printed_papers, sittings
from trainer.services.keeping import audit, sealed_papers
from trainer.services.keeping.moments import local_day
from trainer.services.qualifying import ledger
from trainer.services.qualifying.entry_plans import Page
from trainer.store.models import Paper, Person, Sitting


@dataclass(frozen=True, slots=True)
class ItemCount:
    """How one drill, or the questions of one topic, went: right ones of all asked, over all scored papers."""

    name: str
    right: int
    of: int


@dataclass(frozen=True, slots=True)
class _Book:
    """What is read once for all scores of a close: the candidates' pages of the ledger, and everybody concerned.

    A session forgets whom nobody holds, and would read them again for each score.
    """

    pages: dict[int, Page]
    people: tuple[Person, ...]

    @classmethod
    def of(cls, session: Session, candidates: list[int], by_id: int) -> _Book:
        """Read it. Where one page cannot be read none is held: each is then read, and refused, for itself."""
        people = tuple(session.scalars(select(Person).where(Person.id.in_([*candidates, by_id]))))
        try:
            return cls(Page.of_all(session, candidates), people)
        except TrainerError:
            return cls({}, people)


def close(
    session: Session, shelf: Shelf, instructor_id: int, sitting_id: int, now: datetime, decimal: str = "point"
) -> Sitting:
    """Close an examination: every paper is handed in, marked, and (if planned so) entered into the ledger.

    All of it is the caller's one transaction; what was sealed is opened in it. Raises Conflict while somebody may
    still write, NotNow while the examination is locked.
    """
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    if found.state != "open":
        raise Conflict(_("This examination is not open."))
    papers.settle(session, found, now)
    writing = sum(paper.handed_in_at is None for paper in found.papers)
    if writing:
        raise Conflict(
            ngettext(
                "%(n)s candidate is still writing. Wait for the hand-in, or for the end of the time.",
                "%(n)s candidates are still writing. Wait for the hand-in, or for the end of the time.",
                writing,
            )
        )
    if typed := printed_papers.unsettled(session, sitting_id):
        numbers = ", ".join(map(str, typed))
        raise Conflict(
            _(
                "Printed papers typed but not taken: %(numbers)s. Settle them under On paper first.",
                numbers=numbers,
            )
        )
    sealed_papers.open_for_good(session, found, now)
    scored = [paper for paper in found.papers if paper.void_reason is None]
    for paper in scored:
        for row in paper.answers:
            paper_items.judge(session, shelf, row, paper.decimal or decimal)
        count(paper)
    session.flush()  # all verdicts at once, before each score is entered for itself
    book = _Book.of(session, [paper.person_id for paper in scored], instructor_id)
    for paper in scored:
        enter(session, paper, instructor_id, "instructor", now, page=book.pages.get(paper.person_id))
    found.state, found.closed_at = "closed", now
    audit.note(session, instructor_id, "examination closed", sitting_id, now)
    return found


def enter_again(session: Session, instructor_id: int, paper_id: int, now: datetime) -> Paper:
    """Enter a score that the ledger did not take at the close, once the cause is mended."""
    paper = sittings.own_paper(session, instructor_id, paper_id)
    if paper.score is None or paper.entry_id is not None:
        raise Conflict(_("There is nothing to enter: not marked yet, or in the ledger already."))
    if not Plan.of_data(paper.sitting.plan).part:
        raise Conflict(_("This examination counts as a class result only."))
    enter(session, paper, instructor_id, "instructor", now)
    return paper


def score_of(paper: Paper) -> Score | None:
    """Return the score of a marked paper."""
    return Score.of_data(paper.score) if paper.score else None


def not_entered(paper: Paper) -> str:
    """Why the ledger did not take a score, or nothing."""
    return str((paper.score or {}).get("not_entered", ""))


def by_item(sitting: Sitting, shelf: Shelf) -> list[ItemCount]:
    """How each drill of the plan went, in the plan's order, then the questions of each topic."""
    marked = [a for paper in sitting.papers if paper.score for a in paper.answers]
    drills = dict.fromkeys((line.drill for line in Plan.of_data(sitting.plan).lines), 0)
    asked, right = Counter(drills), Counter(drills)
    for row in sorted(marked, key=lambda row: paper_items.group(row, shelf)):
        name = paper_items.group(row, shelf)
        asked[name] += 1
        right[name] += row.verdict == "right"
    return [ItemCount(name, right[name], of) for name, of in asked.items()]


def by_kind(paper: Paper) -> list[ItemCount]:
    """The exact score of a marked paper apart by drills and questions; nothing where it has one kind only."""
    kinds = {N_("questions"): [a for a in paper.answers if paper_items.is_question(a)]}
    kinds[N_("drills")] = [a for a in paper.answers if not paper_items.is_question(a)]
    if not paper.score or not all(kinds.values()):
        return []
    return [ItemCount(k, sum(a.verdict == "right" for a in rows), len(rows)) for k, rows in kinds.items()]


def count(paper: Paper) -> None:
    """Count the verdicts of a paper into its score."""
    verdicts = [row.verdict or "" for row in paper.answers]
    paper.score = Score.of_verdicts(verdicts, Plan.of_data(paper.sitting.plan).mark).as_data()


def enter(
    session: Session, paper: Paper, by_id: int, role: str, now: datetime, note: str = "",
    page: Page | None = None,
) -> None:  # fmt: skip
    """Enter one score, if it is to count. One that the ledger refuses must not keep the others: it is told."""
    sitting, score = paper.sitting, score_of(paper)
    part = Plan.of_data(sitting.plan).part
    if not part or score is None:
        return
    body = {
        "part": part, "method": "MT", "level": sitting.level, "right": str(score.right), "of": str(score.of),
        "date": local_day(paper.started_at).isoformat(), "paper": f"{sitting.kind}-{sitting.id}-{paper.id}",
        "note": note,
    }  # fmt: skip
    try:
        with session.begin_nested(), reading_in(WRITTEN_IN):  # why not is kept with the paper
            entry = ledger.enter(session, paper.person_id, "examination", body, by_id, role, now, page=page)
    except TrainerError as fault:
        paper.score = {**score.as_data(), "not_entered": str(fault)[:200]}
        return
    paper.score, paper.entry_id = score.as_data(), entry.id
