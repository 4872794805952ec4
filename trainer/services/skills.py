"""Stored skill states: read for the pages, moved by an answer, recomputed from the log of answers."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from typing import cast

from sqlalchemy import bindparam, select
from sqlalchemy.orm import Session

from trainer.practice.skill import Skill, State, after, replay
from trainer.services.moments import local_day
from trainer.store.models import Answer, Exercise, SkillState

# Put together once, since that takes longer than the asking.
_STATE = select(SkillState).where(
    SkillState.person_id == bindparam("person_id"), SkillState.family == bindparam("family")
)


def skills_of(session: Session, person_id: int) -> dict[str, Skill]:
    """Return a person's skills by drill family."""
    rows = session.scalars(select(SkillState).where(SkillState.person_id == person_id))
    return {row.family: _skill(row) for row in rows}


def move(session: Session, person_id: int, family: str, right: bool, now: datetime) -> Skill:
    """Move a skill by one first, unaided answer, and keep it."""
    row = session.scalars(_STATE, {"person_id": person_id, "family": family}).first()
    skill = after(_skill(row) if row is not None else Skill(), right, local_day(now))
    if row is None:
        row = SkillState(person_id=person_id, family=family)
        session.add(row)
    row.state, row.theta, row.answers, row.due_on = skill.state, skill.theta, skill.answers, skill.due_on
    row.data, row.changed_at = skill.as_data(), now
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
    stored = {(r.person_id, r.family): _skill(r) for r in session.scalars(select(SkillState))}
    keys = sorted(set(logs) | set(stored))
    return Proof(
        len(keys),
        tuple(
            f"person {p}, {f}: stored state differs from the answers"
            for p, f in keys
            if stored.get((p, f)) != replay(logs.get((p, f), []))
        ),
    )


def disagreements(session: Session) -> list[str]:
    """Name the stored states that do not follow from the log of answers."""
    return list(proof(session).faults)


def _skill(row: SkillState) -> Skill:
    since = row.data.get("since")
    proofs = tuple(date.fromisoformat(day) for day in row.data.get("proofs", []))
    return Skill(
        cast(State, row.state), row.theta, row.answers,
        date.fromisoformat(since) if since else None, proofs, row.data.get("rung", 0), row.due_on,
    )  # fmt: skip
