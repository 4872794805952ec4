"""Erase the records of somebody who left, once they need not be kept any more. Two people do it.

What was entered about the person is deleted, and with it the salt that its digest in the chain covers: the chain
still holds, every other record still proves itself, and the digest tells nothing. So it is with addresses and
reasons beside links; what stood in a link itself, as it did before there were asides, cannot be taken out of it.
What the person did for others stays, under a number in the place of the name; where others wrote the name into their
texts is found and kept as places (services/overseeing/mentions), for people to decide. Afterwards the caller lets the store
give up the bytes that were freed (`Database.scrub`).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy import Delete, Select, delete, func, select, update
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.languages import _
from trainer.qualification.days import plus_years
from trainer.services.admitting import accounts, entitlements
from trainer.services.keeping import audit, paging
from trainer.services.keeping.moments import day_begins, local_day
from trainer.services.keeping.paging import Page, Wish
from trainer.services.overseeing import mentions
from trainer.services.overseeing.mentions import Mention
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
    Erasure,
    EvidenceFile,
    Exercise,
    Export,
    Habit,
    IdentityCheck,
    Incident,
    JobAnswer,
    JobSheet,
    JoinCode,
    Lesson,
    LessonExercise,
    Paper,
    PaperAnswer,
    Person,
    PersonalKey,
    PersonRole,
    PracticalExaminer,
    PracticalMark,
    PracticalSheet,
    PrintedPaper,
    PrintedSheet,
    QuestionAnswer,
    QuestionSheet,
    RecordSigner,
    SignInSession,
    Sitting,
    SkillState,
    TypedMarks,
)

ASKED, CALLED_OFF = "erasure asked", "erasure called off"
DECIDING = frozenset({"employer", "level_iii"})
MOST_REASON = 200
NAME = "erased person"
# Rows about a person, in the order in which they can go: what refers to others first.
DELETED = (
    ClassPlace, Answer, Exercise, Assignment, SkillState, Lesson, PrintedSheet, JobAnswer, JobSheet,
    QuestionAnswer, QuestionSheet, Attendance, ClassMember, JoinCode, SignInSession, Habit, PersonRole, Aside,
    EntryReading, PersonalKey,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Gone:
    """Somebody who left: from when they may be erased, and whether that was asked already."""

    person: Person
    left: date
    free_from: date
    asked: Erasure | None


def gone(session: Session, by_id: int, keep_years: int, wish: Wish) -> Page[Gone]:
    """A page of everybody of the asker's house who left and is not erased, who left first at the top."""
    left = _left(by_id).order_by(None).order_by(Person.left_at, Person.works_number)
    found = accounts.page(session, left, wish)
    ids = [person.id for person in found.rows]
    asked = {row.person_id: row for row in session.scalars(select(Erasure).where(Erasure.person_id.in_(ids)))}
    return found.showing([_gone(person, keep_years, asked.get(person.id)) for person in found.rows])


def how_many_free(session: Session, by_id: int, keep_years: int, today: date) -> int:
    """How many of those may be erased on a day."""
    last = plus_years(today, -keep_years) + timedelta(days=1)  # a 29 February may be free on the 28th
    while plus_years(last, keep_years) > today:
        last -= timedelta(days=1)
    return paging.count(session, _left(by_id).where(Person.left_at < day_begins(last + timedelta(days=1))))


def _left(by_id: int) -> Select[Person]:
    return accounts.house(by_id).where(Person.left_at.is_not(None))


def ask(session: Session, by_id: int, person_id: int, reason: str, keep_years: int, now: datetime) -> None:
    """Ask for the erasure of somebody who left long enough ago.

    Raises NotFound, NotAllowed, Refused for a missing reason or a time not yet over, Conflict if it was asked.
    """
    person, why = _deciding(session, by_id, person_id), " ".join(reason.split())
    if not why or len(why) > MOST_REASON:
        raise Refused(_("Say in 1 to %(most)s characters why. Do not name the person.", most=MOST_REASON))
    if person.left_at is None:
        raise Refused(
            _("%(name)s has not left. Mark them as gone first, on their page under People.", name=person.name)
        )
    free_from = _gone(person, keep_years, None).free_from
    if local_day(now) < free_from:
        raise Refused(
            _(
                "These records are kept until %(free_from)s (setting keep_years). Ask again from that "
                "day on.",
                free_from=free_from,
            )
        )
    if _asked(session, person_id) is not None:
        raise Conflict(_("This was asked already. Load the page anew."))
    session.add(Erasure(person_id=person_id, reason=why, asked_by_id=by_id, asked_at=now))
    audit.note(session, by_id, ASKED, person_id, now, apart=(person_id, {"reason": why}))


def call_off(session: Session, by_id: int, person_id: int, now: datetime) -> None:
    """Take the asking back: the records stay. Raises NotFound, NotAllowed, Conflict where nothing was asked."""
    _deciding(session, by_id, person_id)
    row = _asked(session, person_id)
    if row is None:
        raise Conflict(_("Nothing was asked. Load the page anew."))
    session.delete(row)
    audit.note(session, by_id, CALLED_OFF, person_id, now)


def erase(session: Session, by_id: int, person_id: int, now: datetime) -> None:
    """Do what another person asked for. There is no way back, but for backups made before.

    Raises NotFound, NotAllowed for who asked, Conflict where nothing was asked.
    """
    person, row = _deciding(session, by_id, person_id), _asked(session, person_id)
    if row is None:
        raise Conflict(_("Nothing was asked. Load the page anew."))
    if row.asked_by_id == by_id:
        raise NotAllowed(_("You asked for this, so somebody else must do it: an employer or the Level III."))
    told = _counted(session, person_id)
    for statement in _deletions(person_id):
        session.execute(statement)
    session.execute(update(Entry).where(Entry.person_id == person_id).values(body={}, salt=None))
    session.execute(update(Export).where(Export.person_id == person_id).values(body="", reason=None))
    session.expire_all()
    row.reason = ""
    session.flush()  # what is left is looked through as the store has it
    row.places = mentions.find(session, person)
    told["names in other texts"] = len(row.places)
    person.works_number, person.name = f"ERASED-{person_id}", NAME
    person.email = person.passphrase_hash = None
    person.erased_at = row.done_at = now
    row.done_by_id = by_id
    audit.note(session, by_id, audit.ERASED, person_id, now, facts=told)


def done(session: Session, by_id: int) -> list[Erasure]:
    """Every erasure that was done in the asker's house, oldest first."""
    home = select(Person.organisation_id).where(Person.id == by_id).scalar_subquery()
    wanted = select(Erasure).join(Person, Person.id == Erasure.person_id)
    wanted = wanted.where(Erasure.done_at.is_not(None), Person.organisation_id == home)
    return list(session.scalars(wanted.order_by(Erasure.done_at, Erasure.id)))


def places_of(session: Session, by_id: int, person_id: int) -> list[Mention]:
    """Where an erased person of the asker's house is still named, as it stands now. Raises NotFound for anybody else."""
    row = next((one for one in done(session, by_id) if one.person_id == person_id), None)
    if row is None:
        raise NotFound(_("There is no such person."))
    return mentions.shown(session, row.places or [])


def _counted(session: Session, person_id: int) -> dict[str, str | int | None]:
    """How much an erasure takes away, as its link tells it."""
    entries = select(func.count()).select_from(Entry).where(Entry.person_id == person_id)
    files = select(func.count()).select_from(EvidenceFile).join(Entry).where(Entry.person_id == person_id)
    asides = select(func.count()).select_from(Aside).where(Aside.person_id == person_id)
    told = {"entries": entries, "evidence files": files, "addresses and reasons in notes": asides}
    return {name: session.scalar(wanted) for name, wanted in told.items()}


def _deletions(person_id: int) -> Iterator[Delete]:
    entries: Select[str] = select(Entry.id).where(Entry.person_id == person_id)
    yield delete(EvidenceFile).where(EvidenceFile.entry_id.in_(entries))
    yield delete(EntryReading).where(EntryReading.entry_id.in_(entries))
    exports: Select[int] = select(Export.id).where(Export.person_id == person_id)
    yield delete(RecordSigner).where(RecordSigner.export_id.in_(exports))
    yield from _of_papers(person_id)
    sheets: Select[int] = select(PracticalSheet.id).where(PracticalSheet.person_id == person_id)
    yield delete(PracticalMark).where(PracticalMark.sheet_id.in_(sheets))
    yield delete(PracticalExaminer).where(PracticalExaminer.sheet_id.in_(sheets))
    yield delete(PracticalSheet).where(PracticalSheet.person_id == person_id)
    lessons: Select[int] = select(Lesson.id).where(Lesson.person_id == person_id)
    yield delete(LessonExercise).where(LessonExercise.lesson_id.in_(lessons))
    for table in DELETED:
        yield delete(table).where(table.person_id == person_id)


def _of_papers(person_id: int) -> Iterator[Delete]:
    """Papers with all that hangs on them. Marks typed from paper name the candidate, also if never taken."""
    papers: Select[int] = select(Paper.id).where(Paper.person_id == person_id)
    written: Select[int] = select(PaperAnswer.id).where(PaperAnswer.paper_id.in_(papers))
    home = select(Person.organisation_id).where(Person.id == person_id).scalar_subquery()
    number = select(Person.works_number).where(Person.id == person_id).scalar_subquery()
    of_house = select(PrintedPaper.id).join(Sitting).where(Sitting.organisation_id == home)
    taken: Select[int] = select(PrintedPaper.id).where(PrintedPaper.paper_id.in_(papers))
    yield delete(Appeal).where(Appeal.answer_id.in_(written))
    yield delete(Incident).where(Incident.paper_id.in_(papers))
    yield delete(IdentityCheck).where(IdentityCheck.paper_id.in_(papers))
    yield delete(TypedMarks).where(TypedMarks.printed_id.in_(of_house), TypedMarks.works_number == number)
    yield delete(TypedMarks).where(TypedMarks.printed_id.in_(taken))
    yield delete(PrintedPaper).where(PrintedPaper.paper_id.in_(papers))
    yield delete(PaperAnswer).where(PaperAnswer.paper_id.in_(papers))
    yield delete(Paper).where(Paper.person_id == person_id)


def _deciding(session: Session, by_id: int, person_id: int) -> Person:
    person = accounts.colleague(session, by_id, person_id)
    if not DECIDING & entitlements.roles_of(session, by_id):
        raise NotAllowed(_("Only an employer and the Level III decide what is erased."))
    if person_id == by_id:
        raise NotFound(_("There is no such person."))
    return person


def _asked(session: Session, person_id: int) -> Erasure | None:
    return session.scalar(select(Erasure).where(Erasure.person_id == person_id))


def _gone(person: Person, keep_years: int, asked: Erasure | None) -> Gone:
    assert person.left_at is not None
    left = local_day(person.left_at)
    return Gone(person, left, plus_years(left, keep_years), asked)
