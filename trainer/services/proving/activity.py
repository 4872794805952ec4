"""What somebody did in practice, jobs and drill examinations, as activity statements for another system."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from uuid import NAMESPACE_URL, uuid5

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.examinations.score import Score
from trainer.records import xapi
from trainer.records.xapi import Answered, Sat
from trainer.store.models import Answer, Edition, Exercise, JobAnswer, JobSheet, Paper, Person, Sitting


def statements(session: Session, person: Person, did: str) -> bytes:
    """The statements about a person as a file; ``did`` names this installation, and the person by number.

    What could not be read was no answer and is left out; so is a paper that was declared void.
    """
    acts: list[Answered | Sat] = [*_practised(session, person), *_jobs(session, person)]
    acts += _sat(session, person)
    return xapi.statements_bytes(acts, f"urn:uuid:{uuid5(NAMESPACE_URL, did)}")


def _practised(session: Session, person: Person) -> Iterator[Answered]:
    wanted = (
        select(Answer, Exercise, Edition.content)
        .join(Exercise, Exercise.id == Answer.exercise_id)
        .join(Edition, Edition.hash == Exercise.edition_hash)
        .where(Answer.person_id == person.id, Answer.verdict != "unreadable")
        .order_by(Answer.id)
    )
    for answer, exercise, content in session.execute(wanted):
        yield Answered(
            person.works_number,
            f"{exercise.drill_id}/{exercise.find}/{exercise.seed}",
            str(json.loads(content).get("title", exercise.drill_id)),
            answer.text,
            answer.verdict == "right",
            answer.answered_at,
            seconds=_seconds(exercise.offered_at, answer.answered_at),
        )


def _jobs(session: Session, person: Person) -> Iterator[Answered]:
    wanted = (
        select(JobAnswer, JobSheet, Edition.content)
        .join(JobSheet, JobSheet.id == JobAnswer.sheet_id)
        .join(Edition, Edition.hash == JobSheet.edition_hash)
        .where(JobAnswer.person_id == person.id, JobAnswer.verdict != "left out")
        .order_by(JobAnswer.id)
    )
    for answer, sheet, content in session.execute(wanted):
        title = str(json.loads(content).get("title", sheet.job_id))
        yield Answered(
            person.works_number,
            f"{sheet.job_id}/{sheet.seed}/{answer.position}",
            f"{title}, step {answer.position}",
            answer.text,
            answer.verdict == "right",
            answer.answered_at,
        )


def _sat(session: Session, person: Person) -> Iterator[Sat]:
    wanted = (
        select(Paper, Sitting)
        .join(Sitting, Sitting.id == Paper.sitting_id)
        .where(Paper.person_id == person.id, Paper.void_reason.is_(None))
        .order_by(Paper.id)
    )
    for paper, sitting in session.execute(wanted):
        if paper.score is None or paper.handed_in_at is None:
            continue
        score = Score.of_data(paper.score)
        yield Sat(
            person.works_number,
            f"paper-{paper.id}",
            sitting.title,
            Decimal(score.right),
            Decimal(score.of),
            score.passed,
            paper.handed_in_at,
            _seconds(paper.started_at, paper.handed_in_at),
        )


def _seconds(begun: datetime, ended: datetime) -> Decimal:
    return Decimal(max(0, int((ended - begun).total_seconds())))
