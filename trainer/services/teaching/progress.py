"""How far a person has come: what to do next and why, each skill with its chart, what is set."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.bank.drill import Drill
from trainer.drawing.measures import Stroke
from trainer.drills.shelf import Shelf
from trainer.practice.offer import Line, Offer
from trainer.practice.skill import Skill, before, least_left, sentences
from trainer.services.keeping.moments import day_begins, local_day
from trainer.services.keeping.paging import Page, Wish, cut, having
from trainer.services.practising import lessons, practice, skills
from trainer.services.practising.lessons import Waiting
from trainer.store.models import Answer, Exercise

_CHART_DAYS = 28
_MOST_STROKES = 40  # of one skill: as many as stand apart on a strip of four weeks


@dataclass(frozen=True, slots=True)
class SkillLine:
    """One skill for the chart roll: its drill's title, its state in two sentences, its answers."""

    family: str
    title: str
    drill: str
    skill: Skill
    says: tuple[str, str]
    strokes: tuple[Stroke, ...]


@dataclass(frozen=True, slots=True)
class Home:
    """What a trainee's first page needs; ``in_state`` counts all skills of the list by state, not those of its page alone."""

    offer: Offer | None
    lesson: Waiting | None
    title: str
    skills: Page[SkillLine]
    in_state: dict[str, int]
    proven: int
    steady: int
    rest: int
    answers_left: int  # right answers to all proven, if none is missed


def home(
    session: Session,
    shelf: Shelf,
    person_id: int,
    lines: Sequence[Line],
    whole: Sequence[Line],
    now: datetime,
    wish: Wish,
) -> Home:
    """Gather the first page: what is next among lines, how far the whole of them is, and a page of the begun skills."""
    offer = practice.next_offer(session, shelf, person_id, lines, now)
    known = skills.skills_of(session, person_id)
    goals = [known.get(family, Skill()) for family in dict.fromkeys(line.family for line in whole)]
    states = [skill.state for skill in goals]
    lesson = lessons.waiting(session, shelf, person_id, now)
    title = shelf.bank.drills[offer.line.drill].drill.title if offer else ""
    every = _begun(shelf, known)
    begun = having(every, wish, lambda one: one[0].title)
    return Home(
        offer,
        lesson,
        title,
        _skills(session, person_id, cut(begun, wish, len(every)), local_day(now)),
        dict(Counter(skill.state for _, skill in begun)),
        states.count("proven"),
        states.count("steady"),
        states.count("begun"),
        sum(least_left(skill) for skill in goals),
    )


def _begun(shelf: Shelf, known: dict[str, Skill]) -> list[tuple[Drill, Skill]]:
    """Every begun skill with its drill, those that are due first."""
    drills = {entry.drill.skill: entry.drill for entry in reversed(list(shelf.bank.drills.values()))}
    order = {"steady": 0, "begun": 1, "proven": 2}
    found = [(drills[family], skill) for family, skill in known.items() if family in drills]
    return sorted(found, key=lambda one: (order[one[1].state], one[1].due_on or date.max, one[0].title))


def _skills(
    session: Session, person_id: int, page: Page[tuple[Drill, Skill]], today: date
) -> Page[SkillLine]:
    """The skills of a page, each with what its chart shows."""
    strokes = _strokes(session, person_id, {drill.skill: skill.theta for drill, skill in page.rows}, today)
    return page.showing([
        SkillLine(
            drill.skill, drill.title, drill.id, skill, sentences(skill, today), tuple(strokes.get(drill.skill, ()))
        )
        for drill, skill in page.rows
    ])  # fmt: skip


def _strokes(
    session: Session, person_id: int, theta: dict[str, float], today: date
) -> dict[str, list[Stroke]]:
    """Return what the last four weeks show of first, unaided answers in these families, whose averages are given.

    The newest is read first, each average worked out from the one after it.
    So however long somebody has practised, only what is shown is read.
    """
    newest = func.row_number().over(partition_by=Exercise.family, order_by=Answer.id.desc())
    lately = (
        select(Answer.id, Exercise.family, Answer.answered_at, Answer.verdict, newest.label("place"))
        .join(Answer.exercise)
        .where(
            Answer.person_id == person_id,
            Answer.answered_at >= day_begins(today - timedelta(days=_CHART_DAYS - 1)),
            Exercise.aided.is_(False),
            Exercise.family.in_(theta),
        )
        .subquery()
    )
    wanted = (
        select(lately.c.family, lately.c.answered_at, lately.c.verdict)
        .where(lately.c.place <= _MOST_STROKES)
        .order_by(lately.c.id.desc())
    )
    then, out = dict(theta), dict[str, list[Stroke]]()
    for family, at, verdict in session.execute(wanted):
        out.setdefault(family, []).append(Stroke(local_day(at), verdict == "right", then[family]))
        then[family] = before(then[family], verdict == "right")
    return {family: strokes[::-1] for family, strokes in out.items()}
