"""How far a person has come: what to do next and why, each skill with its chart, what is set."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.drawing.measures import Stroke
from trainer.drills.shelf import Shelf
from trainer.practice.offer import Line, Offer
from trainer.practice.skill import Skill, before, least_left, sentences
from trainer.services.keeping.moments import day_begins, local_day
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
    """What a trainee's first page needs."""

    offer: Offer | None
    lesson: Waiting | None
    title: str
    skills: tuple[SkillLine, ...]
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
) -> Home:
    """Gather the first page: what is next among lines, and how far the whole of them is."""
    offer = practice.next_offer(session, shelf, person_id, lines, now)
    known = skills.skills_of(session, person_id)
    goals = [known.get(family, Skill()) for family in dict.fromkeys(line.family for line in whole)]
    states = [skill.state for skill in goals]
    lesson = lessons.waiting(session, shelf, person_id, now)
    title = shelf.bank.drills[offer.line.drill].drill.title if offer else ""
    return Home(
        offer,
        lesson,
        title,
        tuple(_lines(session, shelf, person_id, known, now)),
        states.count("proven"),
        states.count("steady"),
        states.count("begun"),
        sum(least_left(skill) for skill in goals),
    )


def _lines(
    session: Session, shelf: Shelf, person_id: int, known: dict[str, Skill], now: datetime
) -> list[SkillLine]:
    """Return every begun skill, those that are due first."""
    today = local_day(now)
    strokes = _strokes(session, person_id, known, today)
    drills = {entry.drill.skill: entry.drill for entry in reversed(list(shelf.bank.drills.values()))}
    out = [
        SkillLine(
            family,
            drills[family].title,
            drills[family].id,
            skill,
            sentences(skill, today),
            tuple(strokes.get(family, ())),
        )
        for family, skill in known.items()
        if family in drills
    ]
    order = {"steady": 0, "begun": 1, "proven": 2}
    return sorted(out, key=lambda line: (order[line.skill.state], line.skill.due_on or date.max, line.title))


def _strokes(
    session: Session, person_id: int, known: dict[str, Skill], today: date
) -> dict[str, list[Stroke]]:
    """Return what the last four weeks show of first, unaided answers: the newest first, each average from the one after it.

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
        )
        .subquery()
    )
    wanted = (
        select(lately.c.family, lately.c.answered_at, lately.c.verdict)
        .where(lately.c.place <= _MOST_STROKES)
        .order_by(lately.c.id.desc())
    )
    theta = {family: skill.theta for family, skill in known.items()}
    out: dict[str, list[Stroke]] = {}
    for family, at, verdict in session.execute(wanted):
        if family in theta:
            strokes = out.setdefault(family, [])
            strokes.append(Stroke(local_day(at), verdict == "right", theta[family]))
            theta[family] = before(theta[family], verdict == "right")
    return {family: strokes[::-1] for family, strokes in out.items()}
