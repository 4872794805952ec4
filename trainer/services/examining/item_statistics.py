"""Kept answers as plain rows for the statistics: practice of an instructor's people, and their closed papers.

What is shown below the least numbers is decided in the statistics room, not here.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.drills.draw import read_number
from trainer.errors import NotFound
from trainer.examinations.plan import Plan
from trainer.languages import _
from trainer.services.admitting import entitlements
from trainer.services.examining import sittings
from trainer.services.examining.marked_answers import Kind, marked, outcomes
from trainer.services.keeping.moments import local_day
from trainer.statistics import papers
from trainer.statistics.difficulty import Drift, Share, drift
from trainer.statistics.items import (
    ItemFigures,
    Met,
    Option,
    each,
    elsewhere,
    figures,
    options,
    tally,
)
from trainer.statistics.papers import PaperFigures
from trainer.statistics.replies import Reply, first_replies, table_of
from trainer.store.models import Answer, Edition, Exercise, QuestionAnswer, Sitting, SkillState

PRACTICE, PAPERS = "practice", "papers"


@dataclass(frozen=True, slots=True)
class Seen:
    """One person's first marked answer to one find of a drill: right or not, the slip, the numbers drawn.

    ``slip`` is "" for a wrong value that fits none, None where no value was read. ``elsewhere`` is the share right of
    the person's first answers to other drills.
    """

    person: int
    find: str
    right: bool
    slip: str | None
    given: dict[str, str]
    elsewhere: float = 0.0


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


def by_family(session: Session, bank: Bank, instructor_id: int, source: str) -> dict[str, Share]:
    """Each family's share of right first answers, one for each person; of papers, drills still in the bank count.

    The people are everybody who is or was in a class of the asker.
    """
    people = entitlements.taught(session, instructor_id)
    if source == PRACTICE:
        right = func.count().filter(SkillState.first_right)
        wanted = select(SkillState.family, right, func.count()).group_by(SkillState.family)
        rows = session.execute(wanted.where(SkillState.person_id.in_(people)))
        return {family: Share(right, of) for family, right, of in rows}
    drills = bank.drills
    return shares(
        Reply(one.person, drills[one.item].drill.skill, one.right)
        for one in outcomes(session, people, "drill")
        if one.item in drills
    )


def of_drill(session: Session, instructor_id: int, source: str, drill_id: str) -> list[Seen]:
    """The first answer to each find of a drill of everybody who is or was in a class of the asker, oldest first."""
    people = entitlements.taught(session, instructor_id)
    look = _in_practice if source == PRACTICE else _written
    firsts, whole = look(session, people, drill_id)
    own = tally((one.person, one.right) for one in firsts)
    return [replace(one, elsewhere=elsewhere(whole[one.person], own[one.person])) for one in firsts]


def by_find(answers: Iterable[Seen]) -> dict[str, Share]:
    """Each find with its share of right first answers."""
    return shares(Reply(one.person, one.find, one.right) for one in answers)


def shares(replies: Iterable[Reply]) -> dict[str, Share]:
    """Right first answers of all people to each item."""
    counts: dict[str, list[bool]] = {}
    for reply in first_replies(replies):
        counts.setdefault(reply.item, []).append(reply.right)
    return {item: Share(sum(found), len(found)) for item, found in counts.items()}


def by_value(answers: Iterable[Seen]) -> dict[tuple[str, str], Drift]:
    """Each find and drawn quantity whose answers are enough to compare its low, middle and high values."""
    values: dict[tuple[str, str], list[tuple[float, bool]]] = {}
    for one in answers:
        for symbol, text in one.given.items():
            values.setdefault((one.find, symbol), []).append((read_number(text), one.right))
    found = {key: drift(pairs) for key, pairs in values.items()}
    return {key: one for key, one in found.items() if one is not None}


def slips(answers: Iterable[Seen]) -> list[Option]:
    """The slips of a drill by how often they were made in first answers, with how their makers did elsewhere.

    Each person counts once. What a person judged on paper, or left empty, tells of no slip.
    """
    told: dict[int, Met] = {}
    for one in answers:
        if one.right or one.slip is not None:
            told.setdefault(one.person, Met(one.right, one.slip or "", one.elsewhere))
    return [one for one in options(list(told.values())) if not one.right]


def totals(
    session: Session, answers: type[Answer] | type[QuestionAnswer], people: set[int]
) -> dict[int, Share]:
    """How many first answers in practice each of these people gave, and how many were right: from an index alone."""
    right = func.count().filter(answers.verdict == "right")
    wanted = select(answers.person_id, right, func.count()).where(
        answers.is_first, answers.person_id.in_(people)
    )
    rows = session.execute(wanted.group_by(answers.person_id))
    return {person: Share(right, of) for person, right, of in rows}


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
    written = [(one.person, local_day(one.started_at)) for one in marked(session, people, "drill", drill_id)]
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
    scored = [paper for paper in found.papers if found.state == "closed" and paper.score]
    if not scored:
        raise NotFound(_("There are no marked papers of this examination."))
    plan = Plan.of_data(found.plan)
    mixed = plan.questions is not None  # then a place on the paper holds another item for everybody
    places, replies, asked = [], [], {}
    for paper in scored:
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


def _in_practice(session: Session, people: set[int], drill_id: str) -> tuple[list[Seen], dict[int, Share]]:
    """First unaided answers to a drill, and how many first ones each person gave to all drills."""
    wanted = (
        select(Exercise.person_id, Exercise.find, Answer.verdict, Answer.slip, Exercise.snapshot)
        .join(Answer)
        .where(Exercise.drill_id == drill_id, Exercise.person_id.in_(people), Answer.is_first)
        .order_by(Answer.id)
    )
    firsts = [
        Seen(person, find, verdict == "right", slip or "", snapshot["given"])
        for person, find, verdict, slip, snapshot in session.execute(wanted)
    ]
    return firsts, totals(session, Answer, people)


def _written(session: Session, people: set[int], drill_id: str) -> tuple[list[Seen], dict[int, Share]]:
    """The same of closed papers."""
    firsts: dict[tuple[int, str], Seen] = {}
    for one in marked(session, people, "drill", drill_id):
        find = one.kept["find"]
        firsts.setdefault((one.person, find), Seen(one.person, find, one.right, one.slip, one.kept["given"]))
    return list(firsts.values()), written_totals(session, people, "drill")


def written_totals(session: Session, people: set[int], kind: Kind) -> dict[int, Share]:
    """How many first answers to items of a kind on closed papers each person gave, and how many were right."""
    firsts: dict[tuple[int, str, str | None], bool] = {}
    for person, item, find, right in outcomes(session, people, kind):
        firsts.setdefault((person, item, find), right)
    return tally((person, right) for (person, _item, _find), right in firsts.items())
