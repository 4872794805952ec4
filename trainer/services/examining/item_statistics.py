"""Kept answers as plain rows for the statistics: practice of an instructor's people, and their closed papers.

What is shown below the least numbers is decided in the statistics room, not here.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from sqlalchemy import case, func, null, select
from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.drills.draw import read_number
from trainer.errors import NotFound
from trainer.examinations.plan import Plan
from trainer.languages import _
from trainer.services.admitting import entitlements
from trainer.services.examining import sittings
from trainer.services.examining.marked_answers import Marked, marked
from trainer.services.keeping.moments import local_day
from trainer.statistics import papers
from trainer.statistics.difficulty import Drift, Share, drift
from trainer.statistics.items import ItemFigures, Option, each, figures, options
from trainer.statistics.papers import PaperFigures
from trainer.statistics.replies import Reply, first_replies, table_of
from trainer.store.models import Answer, Edition, Exercise, Sitting

PRACTICE, PAPERS = "practice", "papers"


@dataclass(frozen=True, slots=True)
class Seen:
    """One marked answer: who, which drill and find, right or not, the slip, the numbers drawn.

    ``slip`` is "" for a wrong value that fits none, None where no value was read. ``given`` is empty where nobody
    asked for the numbers of that drill.
    """

    person: int
    drill: str
    find: str
    right: bool
    slip: str | None
    given: dict[str, str]

    def as_reply(self, item: str) -> Reply:
        """The answer as the statistics take it."""
        return Reply(self.person, item, self.right, self.slip or "")


@dataclass(frozen=True, slots=True)
class Use:
    """How one drill was used: how often it was put to people and how often answered, by whom, when, its editions."""

    offered: int
    answered: int
    on_papers: int
    people: int
    first: date | None
    last: date | None
    editions: tuple[tuple[str, date], ...]


def seen(session: Session, instructor_id: int, source: str, drill_id: str = "") -> list[Seen]:
    """The answers of everybody who is or was in a class of the asker, oldest first; of practice the first ones.

    The numbers drawn come with those to ``drill_id`` alone.
    """
    if source == PRACTICE:
        return _practice(session, instructor_id, drill_id)
    return [
        Seen(
            one.person, one.item["drill"], one.item["find"], one.right, one.slip,
            one.item["given"] if one.item["drill"] == drill_id else {},
        )
        for one in _on_papers(session, instructor_id)
    ]  # fmt: skip


def by_family(bank: Bank, answers: Iterable[Seen]) -> dict[str, Share]:
    """Each family's share of right first answers, one for each person; drills no longer in the bank are left out."""
    drills = bank.drills
    replies = [one.as_reply(drills[one.drill].drill.skill) for one in answers if one.drill in drills]
    return shares(replies)


def by_find(answers: Iterable[Seen], drill_id: str) -> dict[str, Share]:
    """Each find of a drill with its share of right first answers."""
    return shares([one.as_reply(one.find) for one in answers if one.drill == drill_id])


def shares(replies: Iterable[Reply]) -> dict[str, Share]:
    """Right first answers of all people to each item."""
    counts: dict[str, list[bool]] = {}
    for reply in first_replies(replies):
        counts.setdefault(reply.item, []).append(reply.right)
    return {item: Share(sum(found), len(found)) for item, found in counts.items()}


def by_value(answers: Iterable[Seen], drill_id: str) -> dict[tuple[str, str], Drift]:
    """Each find and drawn quantity of a drill whose answers are enough to compare its low, middle and high values."""
    values: dict[tuple[str, str], list[tuple[float, bool]]] = {}
    met: set[tuple[int, str]] = set()
    for one in answers:
        if one.drill == drill_id and (one.person, one.find) not in met:
            met.add((one.person, one.find))
            for symbol, text in one.given.items():
                values.setdefault((one.find, symbol), []).append((read_number(text), one.right))
    found = {key: drift(pairs) for key, pairs in values.items()}
    return {key: one for key, one in found.items() if one is not None}


def slips(answers: Iterable[Seen], drill_id: str) -> list[Option]:
    """The slips of a drill by how often they were made in first answers, with how their makers did elsewhere.

    What a person judged on paper, or left empty, tells of no slip.
    """
    told = (one for one in answers if one.right or one.slip is not None or one.drill != drill_id)
    replies = [one.as_reply(one.drill) for one in told]
    return [one for one in options(replies, drill_id) if not one.right]


def use(session: Session, instructor_id: int, bank: Bank, drill_id: str) -> Use:
    """The history of a drill among the asker's people. Raises NotFound for a drill that is none."""
    bank.drill(drill_id)
    people = entitlements.taught(session, instructor_id)
    mine = (Exercise.drill_id == drill_id, Exercise.person_id.in_(people))
    answered = (  # answers are numbered as they come, so the first and the last are known without looking at each
        select(Exercise.person_id, func.count(), func.min(Answer.id), func.max(Answer.id))
        .join(Answer, Answer.exercise_id == Exercise.id)
        .where(*mine, Exercise.aided.is_(False))
        .group_by(Exercise.person_id)
    )
    given = session.execute(answered).all()
    ends = {one for row in given for one in row[2:]}
    moments = session.scalars(select(Answer.answered_at).where(Answer.id.in_(ends)))
    written = [
        (one.person, local_day(one.started_at))
        for one in _on_papers(session, instructor_id)
        if one.item["drill"] == drill_id
    ]
    days = sorted([day for _, day in written] + [local_day(at) for at in moments])
    kept = select(Edition).where(Edition.drill_id == drill_id).order_by(Edition.kept_at)
    return Use(
        session.scalar(select(func.count()).select_from(Exercise).where(*mine)) or 0,
        sum(row[1] for row in given), len(written), len({row[0] for row in (*given, *written)}),
        days[0] if days else None, days[-1] if days else None,
        tuple((row.hash, local_day(row.kept_at)) for row in session.scalars(kept)),
    )  # fmt: skip


def of_sitting(
    session: Session, instructor_id: int, sitting_id: int
) -> tuple[Sitting, PaperFigures, list[ItemFigures], dict[str, tuple[str, str]]]:
    """A closed examination: the figures of its paper and of each item, and drill and find of each item.

    A question has "" and its id for drill and find.

    Raises NotFound for anybody else's, and for one with no marked paper.
    """
    found = sittings.own_sitting(session, instructor_id, sitting_id)
    marked = [paper for paper in found.papers if found.state == "closed" and paper.score]
    if not marked:
        raise NotFound(_("There are no marked papers of this examination."))
    plan = Plan.of_data(found.plan)
    mixed = plan.questions is not None  # then a place on the paper holds another item for everybody
    places, replies, asked = [], [], {}
    for paper in marked:
        for row in paper.answers:
            kept, right = row.exercise, row.verdict == "right"
            about = ("", kept["question"]) if "question" in kept else (kept["drill"], kept["find"])
            item = "/".join(about) if mixed else str(row.position)
            asked[item] = about
            places.append(Reply(paper.person_id, str(row.position), right))
            replies.append(Reply(paper.person_id, item, right))
    table = table_of(places)
    cut = -(-plan.mark * len(table.items) // 100)  # the least number that reaches the mark
    items = each(replies) if mixed else figures(table)
    return found, papers.figures(table, cut, mixed), items, asked


def _practice(session: Session, instructor_id: int, drill_id: str) -> list[Seen]:
    """The first unaided answer of each person to each find of each drill; the rest is left in the store."""
    numbers = case((Exercise.drill_id == drill_id, Exercise.snapshot), else_=null())
    wanted = (
        select(Exercise.person_id, Exercise.drill_id, Exercise.find, Answer.verdict, Answer.slip, numbers)
        .join(Answer)
        .where(Answer.is_first, Answer.person_id.in_(entitlements.taught(session, instructor_id)))
        .order_by(Answer.id)
    )
    return [
        Seen(person, drill, find, verdict == "right", slip or "", snapshot["given"] if snapshot else {})
        for person, drill, find, verdict, slip, snapshot in session.execute(wanted)
    ]


def _on_papers(session: Session, instructor_id: int) -> Iterator[Marked]:
    people = entitlements.taught(session, instructor_id)
    return (one for one in marked(session, people) if "given" in one.item)
