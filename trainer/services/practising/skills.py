"""Stored skill states: read for the pages, moved by an answer, recomputed from the log of answers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, cast

from sqlalchemy import Row, bindparam, insert, select, update
from sqlalchemy.orm import Session

from trainer.practice.skill import Skill, State, after, replay
from trainer.services.keeping.moments import local_day
from trainer.store import Asked
from trainer.store.models import Answer, Exercise, SkillState

# Put together once, since that takes longer than the asking.
_TABLE = SkillState.table()
_STATES = select(_TABLE).where(_TABLE.c.person_id == bindparam("of_person"))
_STATE = _STATES.where(_TABLE.c.family == bindparam("of_family"))
_BEGIN = insert(_TABLE)
_MOVE = update(_TABLE).where(
    _TABLE.c.person_id == bindparam("of_person"), _TABLE.c.family == bindparam("of_family")
)


def skills_of(session: Session, person_id: int) -> dict[str, Skill]:
    """Return a person's skills by drill family."""
    return {row.family: _skill(row) for row in session.execute(_STATES, {"of_person": person_id})}


def move(session: Asked, person_id: int, family: str, right: bool, now: datetime) -> Skill:
    """Move a skill by one first, unaided answer, and keep it."""
    whose = {"of_person": person_id, "of_family": family}
    row = session.execute(_STATE, whose).first()
    skill = after(_skill(row) if row is not None else Skill(), right, local_day(now))
    state = {
        "state": skill.state, "theta": skill.theta, "answers": skill.answers, "due_on": skill.due_on,
        "data": skill.as_data(), "changed_at": now,
    }  # fmt: skip
    if row is None:
        session.execute(_BEGIN, {"person_id": person_id, "family": family, "first_right": right, **state})
    else:
        session.execute(_MOVE, {**whose, **state})
    return skill


@dataclass(frozen=True, slots=True)
class Proof:
    """What came of working every state out anew: how many there are, and those that differ."""

    states: int
    faults: tuple[str, ...]

    @property
    def says(self) -> str:
        """The outcome in words, with the first few that differ."""
        if not self.faults:
            return f"All {self.states} skill states follow from the log of answers."
        more = f" And {len(self.faults) - 5} more." if len(self.faults) > 5 else ""
        return f"{len(self.faults)} of {self.states} skill states do not follow from the log of answers: {'; '.join(self.faults[:5])}.{more}"


def proof(session: Session) -> Proof:
    """Work every state out anew from the log of first, unaided answers, and hold the stored one against it."""
    logs: dict[tuple[int, str], list[tuple[date, bool]]] = {}
    wanted = (
        select(Exercise.person_id, Exercise.family, Answer.answered_at, Answer.verdict)
        .join(Answer, Answer.exercise_id == Exercise.id)
        .where(Exercise.aided.is_(False))
        .order_by(Answer.id)
    )
    for person_id, family, at, verdict in session.execute(wanted):
        logs.setdefault((person_id, family), []).append((local_day(at), verdict == "right"))
    stored = {(r.person_id, r.family): (_skill(r), r.first_right) for r in session.execute(select(_TABLE))}
    follow = {key: (replay(log), log[0][1]) for key, log in logs.items()}
    keys = sorted(set(logs) | set(stored))
    return Proof(
        len(keys),
        tuple(
            f"person {p}, {f}: stored state differs from the answers"
            for p, f in keys
            if stored.get((p, f)) != follow.get((p, f))
        ),
    )


def disagreements(session: Session) -> list[str]:
    """Name the stored states that do not follow from the log of answers."""
    return list(proof(session).faults)


def _skill(row: Row[Any]) -> Skill:
    since = row.data.get("since")
    proofs = tuple(date.fromisoformat(day) for day in row.data.get("proofs", []))
    return Skill(
        cast(State, row.state), row.theta, row.answers,
        date.fromisoformat(since) if since else None, proofs, row.data.get("rung", 0), row.due_on,
    )  # fmt: skip
