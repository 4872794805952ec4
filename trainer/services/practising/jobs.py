"""Several-part jobs: begin one, take the answer to each step. An acknowledged answer is on the disk."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from trainer.bank import Entry, JobEntry
from trainer.bank.entries import drill_of, job_of
from trainer.bank.spoken import entry_spoken
from trainer.drills.exercise import Exercise
from trainer.errors import Conflict, NotFound
from trainer.jobs.casting import CastJob, JobShelf
from trainer.jobs.draw import DrawnJob, draw, remade
from trainer.jobs.marking import Marked, asked, left_out, mark_all, mark_part
from trainer.languages import _, content
from trainer.services.keeping import audit, editions
from trainer.store.models import JobAnswer, JobSheet


@dataclass(frozen=True, slots=True)
class Sheet:
    """A stored job made again: the row, the steps, the numbers, the judgement of each answered step."""

    row: JobSheet
    cast: CastJob
    drawn: DrawnJob
    marked: tuple[Marked, ...]

    @property
    def place(self) -> int:
        """The step that is next, counted from 0; the number of steps when all are answered."""
        return len(self.marked)

    @property
    def done(self) -> bool:
        """Whether every step is answered."""
        return self.place == len(self.cast.parts)

    @property
    def marks(self) -> int:
        """The marks so far."""
        return sum(one.marks for one in self.marked)

    @property
    def answers(self) -> list[float | None]:
        """The answers so far, in the working units of their finds."""
        return [one.verdict.value for one in self.marked]

    def next_step(self) -> tuple[Exercise, tuple[int, ...]]:
        """The step that is next as this person meets it, and the earlier steps whose own answers are in it."""
        return asked(self.cast, self.drawn, self.place, self.answers)


@dataclass(frozen=True, slots=True)
class Standing:
    """How far a person has come with the newest sheet of a job."""

    answered: int
    marks: int
    done: bool


def begin(
    session: Session, jobs: JobShelf, person_id: int, job_id: str, at_the_end: bool, seed: int, now: datetime,
    decimal: str | None = None,
) -> JobSheet:  # fmt: skip
    """Draw a job for a person; one of the same job that is not finished is gone on with.

    ``decimal``: the sign that is read in it from now on, whatever the person chooses later.
    """
    waiting = session.scalars(
        select(JobSheet)
        .where(JobSheet.person_id == person_id, JobSheet.job_id == job_id, JobSheet.done_at.is_(None))
        .order_by(JobSheet.id.desc())
    ).first()
    if waiting is not None:
        return waiting
    cast = jobs.job(job_id)
    drawn = draw(cast, seed)
    for entry in cast.editions.values():
        editions.keep(session, entry, now)
    row = JobSheet(
        person_id=person_id, edition_hash=editions.keep(session, cast.entry, now), job_id=job_id, seed=seed,
        snapshot=drawn.snapshot(), at_the_end=at_the_end, begun_at=now, decimal=decimal,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row


def sheet(session: Session, jobs: JobShelf, person_id: int, sheet_id: int, decimal: str = "point") -> Sheet:
    """Return a person's own job with its numbers and judgements; NotFound for anybody else's."""
    row = session.get(JobSheet, sheet_id)
    if row is None or row.person_id != person_id:
        raise NotFound(_("There is no such job."))
    cast = jobs.of(_job_entry(session, jobs, row), _drill_entries(session, jobs, row.snapshot["drills"]))
    drawn = remade(cast, row.snapshot)
    return Sheet(
        row, cast, drawn, mark_all(cast, drawn, [one.text for one in row.answers], row.decimal or decimal)
    )


def take(
    session: Session, jobs: JobShelf, person_id: int, sheet_id: int, position: int, text: str | None,
    key: str | None, now: datetime, decimal: str = "point",
) -> Marked:  # fmt: skip
    """Mark the answer to step ``position`` (from 1) and keep it with a note, in the caller's transaction.

    ``text`` None leaves the step out. An unreadable answer is not kept: it can be written again. The same
    key sent twice is kept once. Raises Conflict where the step has another answer, or is not the next one.
    """
    it = sheet(session, jobs, person_id, sheet_id, decimal)
    if not 1 <= position <= len(it.cast.parts):
        raise NotFound(_("This job has no such step."))
    place = position - 1
    if place < it.place:
        if key is not None and it.row.answers[place].key == key:
            return it.marked[place]
        raise Conflict(_("This step is answered already. Its first answer counts; go on with the next one."))
    if place > it.place:
        raise Conflict(_("Step %(place)s comes first; the later ones build on it.", place=it.place + 1))
    one = (
        left_out(it.cast, it.drawn, place)
        if text is None
        else mark_part(it.cast, it.drawn, place, it.answers, text, it.row.decimal or decimal)
    )
    if one.verdict.kind != "unreadable":
        _keep(session, it, position, text or "", one, key, now)
    return one


def standings(session: Session, person_id: int) -> dict[str, Standing]:
    """Return, by job, how far a person has come with the newest sheet."""
    rows = session.scalars(select(JobSheet).where(JobSheet.person_id == person_id).order_by(JobSheet.id))
    return {
        row.job_id: Standing(len(row.answers), sum(a.marks for a in row.answers), row.done_at is not None)
        for row in rows
    }


def _keep(
    session: Session, it: Sheet, position: int, text: str, one: Marked, key: str | None, now: datetime
) -> None:
    it.row.answers.append(
        JobAnswer(
            person_id=it.row.person_id, position=position, text=text,
            verdict=one.verdict.kind if text else "left out", slip=one.verdict.slip, followed=one.followed,
            marks=one.marks, key=key, answered_at=now,
        )
    )  # fmt: skip
    if position == len(it.cast.parts):
        it.row.done_at = now
    try:
        session.flush()
    except IntegrityError:
        raise Conflict(_("This answer came twice at the same moment; one of them is kept.")) from None
    audit.note(session, it.row.person_id, "job step answered", f"{it.row.id}/{position}", now)


def _job_entry(session: Session, jobs: JobShelf, row: JobSheet) -> JobEntry:
    entry = jobs.bank.jobs.get(row.job_id)
    if entry is not None and entry.edition == row.edition_hash:
        return entry
    return entry_spoken(job_of(editions.content(session, row.edition_hash)), content)


def _drill_entries(session: Session, jobs: JobShelf, wanted: Mapping[str, str]) -> dict[str, Entry]:
    """Return the drills of a stored job in the editions it was drawn from."""
    found = {}
    for drill_id, edition in wanted.items():
        entry = jobs.bank.drills.get(drill_id)
        if entry is None or entry.edition != edition:
            entry = entry_spoken(drill_of(editions.content(session, edition)), content)
        found[drill_id] = entry
    return found
