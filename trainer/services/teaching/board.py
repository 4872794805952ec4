"""The class now: who is where, which slips are being made, who has gone quiet.

An answer given after the working was shown says nothing about a mistake, so it is left out of the counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy import or_, select
from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.languages import _, pgettext
from trainer.services.teaching import classes
from trainer.store.models import Answer, Exercise, Person

HOURS = 3  # how far back "now" reaches
QUIET_MINUTES = 6


@dataclass(frozen=True, slots=True)
class Stumble:
    """One mistake and how often it was made by how many people.

    ``find``: the unknown it was made at last, empty for a blunder of no drill, which has no working of its own.
    """

    name: str
    drill: str
    drill_id: str
    slip: str
    find: str
    count: int
    people: int


@dataclass(frozen=True, slots=True)
class Bench:
    """One person: their last answers, what they are on, minutes since they did anything (None: nothing)."""

    person: Person
    run: tuple[bool, ...]
    on: str
    last: str
    minutes: int | None
    quiet: bool


@dataclass(frozen=True, slots=True)
class Board:
    """The class now."""

    title: str
    answers: int
    right: int
    stumbles: tuple[Stumble, ...]
    unrecognised: int
    benches: tuple[Bench, ...]


def of_class(session: Session, shelf: Shelf, instructor_id: int, class_id: int, now: datetime) -> Board:
    """Gather the last hours of an own class. Raises NotFound for somebody else's."""
    found = classes.own_class(session, instructor_id, class_id)
    members = classes.members(session, instructor_id, class_id)
    rows = _rows(session, [p.id for p in members], now - timedelta(hours=HOURS))
    unaided = [(e, a) for e, a in rows if a is not None and not e.aided]
    wrong = [(e, a) for e, a in unaided if a.verdict != "right"]
    benches = tuple(
        _bench(shelf, person, [r for r in rows if r[0].person_id == person.id], now) for person in members
    )
    return Board(
        found.title, len(unaided), len(unaided) - len(wrong), _stumbles(shelf, wrong),
        sum(1 for _e, a in wrong if a.slip is None), benches,
    )  # fmt: skip


def _rows(session: Session, people: list[int], since: datetime) -> list[tuple[Exercise, Answer | None]]:
    """What was offered or answered since then, as it was answered; what is open stands last."""
    answered = (
        select(Exercise, Answer).join(Answer).where(Answer.person_id.in_(people), Answer.answered_at >= since)
    )
    offered = (
        select(Exercise, Answer)
        .outerjoin(Answer)
        .where(Exercise.person_id.in_(people), Exercise.offered_at >= since)
        .where(or_(Answer.id.is_(None), Answer.answered_at < since))
    )
    # two questions, since the one with "or" reads everything that these people were ever offered
    rows = [(row[0], row[1]) for wanted in (answered, offered) for row in session.execute(wanted)]
    return sorted(rows, key=lambda row: (row[1] is None, row[1].id if row[1] else row[0].id))


def _stumbles(shelf: Shelf, wrong: list[tuple[Exercise, Answer]]) -> tuple[Stumble, ...]:
    made: dict[tuple[str, str], list[Exercise]] = {}
    for exercise, answer in wrong:
        if answer.slip:
            made.setdefault((exercise.drill_id, answer.slip), []).append(exercise)
    often = sorted(made.items(), key=lambda item: -len(item[1]))[:8]
    return tuple(_stumble(shelf, drill_id, slip, found) for (drill_id, slip), found in often)


def _stumble(shelf: Shelf, drill_id: str, slip: str, made: list[Exercise]) -> Stumble:
    entry = shelf.bank.drills.get(drill_id)
    own = {one.id for one in entry.drill.slips} if entry else set[str]()
    return Stumble(
        shelf.slip_name(drill_id, slip), entry.drill.title if entry else drill_id, drill_id, slip,
        made[-1].find if set(slip.split("+")) <= own else "", len(made), len({one.person_id for one in made}),
    )  # fmt: skip


def _bench(shelf: Shelf, person: Person, rows: list[tuple[Exercise, Answer | None]], now: datetime) -> Bench:
    answers = [(e, a) for e, a in rows if a is not None]
    run = tuple(a.verdict == "right" for e, a in answers if not e.aided)
    drills = shelf.bank.drills
    on = drills[rows[-1][0].drill_id].drill.title if rows and rows[-1][0].drill_id in drills else ""
    if not rows:
        return Bench(person, run, on, _("has not begun"), None, False)
    last = max([e.offered_at for e, _a in rows] + [a.answered_at for _e, a in answers])
    minutes = max(0, int((now - last).total_seconds() // 60))
    return Bench(person, run, on, _says(shelf, answers), minutes, minutes >= QUIET_MINUTES)


def _says(shelf: Shelf, answers: list[tuple[Exercise, Answer]]) -> str:
    """The last answer in a few words."""
    if not answers:
        return _("no answer yet")
    exercise, last = answers[-1]
    if exercise.aided:
        return _("with the working shown")
    if last.verdict == "right":
        return pgettext("answer", "right")
    return shelf.slip_name(exercise.drill_id, last.slip) if last.slip else _("not recognised")
