"""Everything that is kept about one person in one file, as the answer to a request for their data."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal

from sqlalchemy import Executable, or_, select
from sqlalchemy.orm import Session

from trainer.records import jcs
from trainer.records.jcs import Json
from trainer.services.keeping import audit
from trainer.services.qualifying import ledger
from trainer.store.models import (
    Answer,
    Appeal,
    Aside,
    Assignment,
    Attendance,
    ClassMember,
    ClassPlace,
    Entry,
    EntryReading,
    EvidenceFile,
    Exercise,
    Export,
    Habit,
    IdentityCheck,
    Incident,
    JobAnswer,
    JobSheet,
    Lesson,
    Link,
    Meeting,
    Model,
    Paper,
    PaperAnswer,
    Person,
    PersonalKey,
    PracticalMark,
    PracticalSheet,
    PrintedSheet,
    QuestionAnswer,
    QuestionSheet,
    RecordSigner,
    SignInSession,
    Sitting,
    SkillState,
    TaughtClass,
)

# What proves who somebody is is not handed out, not even to themselves.
SECRET = frozenset({"passphrase_hash", "token_hash", "code_hash", "wrapped"})
# Files are handed out by themselves, from the page of their entry; here they are named with their digest.
APART = frozenset({"content"})


def everything(session: Session, person_id: int, now: datetime) -> bytes:
    """Particulars, ledger, teaching, practice, sittings, exports, sign-ins and notes of a person as JSON."""
    person = session.get_one(Person, person_id)
    classes = select(ClassMember, TaughtClass.title, TaughtClass.level).join(TaughtClass)
    attended = select(Attendance, Meeting.held_on, Meeting.subject).join(Meeting)
    answered = select(Answer, Exercise.drill_id, Exercise.find, Exercise.seed).join(
        Exercise, Exercise.id == Answer.exercise_id
    )
    # The map of the specimen is the examiner's; marks are the candidate's once the practical is closed.
    marked = select(PracticalMark).join(PracticalSheet).where(PracticalSheet.closed_at.is_not(None))
    told: dict[str, Json] = {
        "as_of": audit.moment(now),
        "person": {**_row(person), "organisation": person.organisation.name, "roles": sorted(person.roles)},
        "entries": [_entry(row) for row in ledger.entries_of(session, person_id)],
        "evidence_files": _rows(
            session, select(EvidenceFile).join(Entry).where(Entry.person_id == person_id)
        ),
        "classes": _rows(session, classes.where(ClassMember.person_id == person_id)),
        "attendance": _rows(session, attended.where(Attendance.person_id == person_id)),
        "answers": _rows(session, answered.where(Answer.person_id == person_id)),
        "asked_in_class": _rows(session, select(ClassPlace).where(ClassPlace.person_id == person_id)),
        "skills": _rows(session, select(SkillState).where(SkillState.person_id == person_id)),
        "lessons": _rows(session, select(Lesson).where(Lesson.person_id == person_id)),
        "printed_sheets": _rows(session, select(PrintedSheet).where(PrintedSheet.person_id == person_id)),
        "habits": _rows(session, select(Habit).where(Habit.person_id == person_id)),
        "jobs": _rows(session, select(JobSheet).where(JobSheet.person_id == person_id)),
        "job_answers": _rows(session, select(JobAnswer).where(JobAnswer.person_id == person_id)),
        "questions": _rows(session, select(QuestionSheet).where(QuestionSheet.person_id == person_id)),
        "question_answers": _rows(
            session, select(QuestionAnswer).where(QuestionAnswer.person_id == person_id)
        ),
        "papers": _rows(session, select(Paper).where(Paper.person_id == person_id)),
        "practicals": _rows(session, select(PracticalSheet).where(PracticalSheet.person_id == person_id)),
        "practical_marks": _rows(session, marked.where(PracticalSheet.person_id == person_id)),
        "paper_answers": _paper_answers(session, person_id),
        "identity_checks": _rows(
            session, select(IdentityCheck).join(Paper).where(Paper.person_id == person_id)
        ),
        "incidents": _rows(session, select(Incident).join(Paper).where(Paper.person_id == person_id)),
        "appeals": _rows(
            session, select(Appeal).join(PaperAnswer).join(Paper).where(Paper.person_id == person_id)
        ),
        "exercises": _rows(session, select(Exercise).where(Exercise.person_id == person_id)),
        "sets_given": _rows(session, select(Assignment).where(Assignment.person_id == person_id)),
        "signed_records": _rows(session, select(Export).where(Export.person_id == person_id)),
        "signing_keys": _rows(session, select(PersonalKey).where(PersonalKey.person_id == person_id)),
        "signatures_on_records": _rows(
            session,
            select(RecordSigner)
            .join(Export)
            .where(or_(RecordSigner.person_id == person_id, Export.person_id == person_id)),
        ),
        "sign_ins": _rows(session, select(SignInSession).where(SignInSession.person_id == person_id)),
        "entries_read": _rows(session, select(EntryReading).where(EntryReading.person_id == person_id)),
        "told_in_notes": _rows(session, select(Aside).where(Aside.person_id == person_id)),
        "notes": [_row(link) for link in session.scalars(select(Link)) if _is_about(link, person_id)],
    }
    return jcs.written(told)


def _paper_answers(session: Session, person_id: int) -> list[Json]:
    """What was written on papers; how an item was drawn tells its key, so that comes after the close only."""
    wanted = select(PaperAnswer, Sitting.state).join(Paper, Paper.id == PaperAnswer.paper_id).join(Sitting)
    found: list[Json] = []
    for row, state in session.execute(wanted.where(Paper.person_id == person_id)):
        told = _row(row)
        found.append(told if state == "closed" else {n: v for n, v in told.items() if n != "exercise"})
    return found


def _rows(session: Session, wanted: Executable) -> list[Json]:
    """Each row with its columns, and those of other tables that were asked for beside it."""
    found: list[Json] = []
    for row in session.execute(wanted):
        facts: dict[str, Json] = {}
        for name, value in row._mapping.items():
            facts.update(_row(value) if isinstance(value, Model) else {str(name): _plain(value)})
        found.append(facts)
    return found


def _row(row: Model) -> dict[str, Json]:
    columns = [column.key for column in row.__mapper__.column_attrs]
    return {name: _plain(getattr(row, name)) for name in columns if name not in SECRET | APART}


def _entry(row: Entry) -> dict[str, Json]:
    return {**_row(row), "countersignatures": [_row(one) for one in row.countersignatures]}


def _is_about(link: Link, person_id: int) -> bool:
    facts, apart = link.event.get("facts") or {}, link.event.get("apart") or {}
    return person_id in (link.event.get("who"), facts.get("person"), apart.get("of"))


def _plain(value: object) -> Json:
    if isinstance(value, datetime):
        return value.astimezone(UTC).isoformat()
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, float):
        return repr(value)
    if isinstance(value, date) or hasattr(value, "isoformat"):
        return value.isoformat()
    if isinstance(value, dict):
        return {str(name): _plain(one) for name, one in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value
