"""Practicals as they are held: a candidate, a checklist, a specimen, one examiner or two, every mark kept.

The close, which scores a practical and enters it, stands in services/examining/scoring_practicals.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import Select, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session, contains_eager, selectinload

from trainer.bank import Bank
from trainer.bank.checklists import practical_of
from trainer.bank.practical import Practical
from trainer.bank.spoken import entry_spoken
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.examinations.practical import Difference, Sheet, differences
from trainer.languages import N_, _, content, ngettext
from trainer.services.admitting import accounts, particulars
from trainer.services.admitting.entitlements import EXAMINING
from trainer.services.examining import specimens
from trainer.services.keeping import audit, editions, paging
from trainer.services.keeping.paging import Page, Wish
from trainer.store.models import Person, PersonRole, PracticalExaminer, PracticalMark, PracticalSheet


@dataclass(frozen=True, slots=True)
class Held:
    """A practical with its checklist, and the marks of each examiner, first examiner first."""

    row: PracticalSheet
    checklist: Practical
    sheet: Sheet
    marks: Mapping[int, Mapping[str, str]]

    @property
    def running(self) -> bool:
        """Whether it is neither closed nor void."""
        return self.row.closed_at is None

    @property
    def all_done(self) -> bool:
        """Whether every examiner has said that the marks stand; from then on they see each other's."""
        return all(one.done_at is not None for one in self.row.examiners)

    @property
    def differences(self) -> list[Difference]:
        """Where two examiners differ, once both are done."""
        if len(self.row.examiners) < 2 or not self.all_done:
            return []
        one, two = self.marks.values()
        return differences(self.sheet, one, two)

    @property
    def settled(self) -> bool:
        """Whether it can be closed: running, all done, and no difference that decides."""
        return self.running and self.all_done and not any(one.grave for one in self.differences)

    def examiner(self, person_id: int) -> PracticalExaminer:
        """This person as examiner of it."""
        return next(one for one in self.row.examiners if one.person_id == person_id)

    def open_points(self, person_id: int) -> set[str]:
        """The points that this examiner may mark now: all, none, or those on which the two differ."""
        if not self.running:
            return set()
        if self.all_done:
            return {one.id for one in self.differences}
        return set() if self.examiner(person_id).done_at else {*self.sheet.unmarked({})}


def hold(
    session: Session, bank: Bank, by_id: int, person_id: int, checklist_id: str, specimen_id: int,
    pass_mark: int, second_id: int | None, now: datetime,
) -> PracticalSheet:  # fmt: skip
    """Begin a practical; who begins it is its first examiner.

    Raises NotFound for a person, checklist or specimen that is not there, Refused for what does not go
    together: a candidate who may read maps, a specimen with too few or too many known discontinuities.
    """
    candidate = accounts.colleague(session, by_id, person_id)
    _check_candidate(candidate, by_id, second_id)
    entry = bank.practical(checklist_id)
    specimen = specimens.own(session, by_id, specimen_id)
    if specimen.retired_at is not None:
        raise Refused(_("This specimen is retired. Choose one that is in use."))
    count, findings = len(specimens.known(specimen)), entry.practical.findings
    if not findings.least <= count <= findings.most:
        raise Refused(
            _(
                "Specimen %(code)s holds %(count)s; this checklist wants %(least)s to %(most)s known "
                "discontinuities. Choose another specimen or checklist.",
                code=specimen.code,
                count=count,
                least=findings.least,
                most=findings.most,
            )
        )
    if not 1 <= pass_mark <= 100:
        raise Refused(_("The pass mark is 1 to 100 percent."))
    row = PracticalSheet(
        person_id=person_id, level=entry.practical.level, checklist_id=entry.id,
        edition_hash=editions.keep(session, entry, now), specimen_id=specimen_id, pass_mark=pass_mark,
        begun_at=now, closed_at=None, void_reason=None, score=None, entry_id=None,
    )  # fmt: skip
    row.examiners.append(PracticalExaminer(person_id=by_id, place=1, done_at=None))
    if second_id is not None:
        row.examiners.append(
            PracticalExaminer(person_id=_second(session, by_id, second_id), place=2, done_at=None)
        )
    session.add(row)
    session.flush()  # its number is needed for the note
    audit.note(session, by_id, "practical begun", row.id, now, facts={"person": person_id})
    return row


def own(session: Session, bank: Bank, by_id: int, sheet_id: int) -> Held:
    """A practical that the asker examines. Raises NotFound for anybody else's."""
    wanted = select(PracticalSheet).where(
        PracticalSheet.id == sheet_id, PracticalSheet.examiners.any(PracticalExaminer.person_id == by_id)
    )
    row = session.scalars(wanted).one_or_none()
    if row is None:
        raise NotFound(_("There is no such practical."))
    entry = bank.practicals.get(row.checklist_id)
    if entry is None or entry.edition != row.edition_hash:
        entry = entry_spoken(practical_of(editions.content(session, row.edition_hash)), content)
    marks: dict[int, dict[str, str]] = {one.person_id: {} for one in row.examiners}
    for mark in row.marks:  # oldest first, so that the newest of a point stands
        marks[mark.examiner_id][mark.point] = mark.mark
    sheet = Sheet.of(entry.practical, specimens.known(row.specimen))
    return Held(row, entry.practical, sheet, marks)


def of_examiner(session: Session, by_id: int, wish: Wish) -> Page[PracticalSheet]:
    """A page of the practicals that somebody examines or examined, newest first, searched by candidate and checklist."""
    wanted = (
        examined_by(by_id)
        .join(PracticalSheet.person)
        .options(contains_eager(PracticalSheet.person), selectinload(PracticalSheet.specimen))
        .order_by(PracticalSheet.id.desc())
    )
    return paging.page(session, wanted, wish, Person.works_number, Person.name, PracticalSheet.checklist_id)


def how_many_run(session: Session, by_id: int) -> int:
    """How many of those are being marked."""
    running = examined_by(by_id).where(
        PracticalSheet.closed_at.is_(None), PracticalSheet.void_reason.is_(None)
    )
    return paging.count(session, running)


def examined_by(by_id: int) -> Select[PracticalSheet]:
    """The question for the practicals that somebody examines or examined."""
    return select(PracticalSheet).where(PracticalSheet.examiners.any(PracticalExaminer.person_id == by_id))


def mark(
    session: Session, bank: Bank, by_id: int, sheet_id: int, point: str, mark: str, key: str | None, now: datetime
) -> None:  # fmt: skip
    """Keep one press of an examiner. The same key sent twice is kept once.

    Raises Refused for a mark that the point does not take, Conflict where nothing may be marked any more.
    """
    held = own(session, bank, by_id, sheet_id)
    if key is not None and any(one.key == key and one.examiner_id == by_id for one in held.row.marks):
        return
    if not held.sheet.takes(point, mark):
        raise Refused(_("This mark is not one of those at this point. Load the page anew and press again."))
    if point not in held.open_points(by_id):
        raise Conflict(_("Your marks stand already. Load the page anew to see what can still be settled."))
    held.row.marks.append(
        PracticalMark(examiner_id=by_id, point=point, mark=mark, key=key, marked_at=now)
    )  # fmt: skip
    try:
        session.flush()
    except IntegrityError:
        raise Conflict(_("This mark came twice at the same moment; one of them is kept.")) from None


def stand_by(session: Session, bank: Bank, by_id: int, sheet_id: int, now: datetime) -> None:
    """An examiner says that the marks stand. Raises Refused while points are unmarked, Conflict when told twice."""
    held = own(session, bank, by_id, sheet_id)
    examiner = held.examiner(by_id)
    if not held.running or examiner.done_at is not None:
        raise Conflict(_("Your marks stand already."))
    unmarked = held.sheet.unmarked(held.marks[by_id])
    if unmarked:
        raise Refused(
            ngettext(
                "%(n)s point is not marked yet. Mark every one, then say that your marks stand.",
                "%(n)s points are not marked yet. Mark every one, then say that your marks stand.",
                len(unmarked),
            )
        )
    examiner.done_at = now
    audit.note(session, by_id, "practical marked", sheet_id, now)


def void(session: Session, bank: Bank, by_id: int, sheet_id: int, reason: str, now: datetime) -> None:
    """Declare a practical void before its close, with the reason; nothing of it is scored."""
    held = own(session, bank, by_id, sheet_id)
    if not held.running:
        raise Conflict(_("This practical is closed already."))
    held.row.void_reason = particulars.title(reason, N_("The reason"))
    held.row.closed_at = now
    audit.note(
        session,
        by_id,
        "practical void",
        sheet_id,
        now,
        apart=(held.row.person_id, {"reason": held.row.void_reason}),
    )


def candidates(by_id: int) -> Select[Person]:
    """The question for the people of the house who can be examined: those who may read no map."""
    return accounts.house(by_id, with_left=False).where(~Person.role_rows.any(PersonRole.role.in_(EXAMINING)))


def colleagues(session: Session, by_id: int) -> list[Person]:
    """The others of the house who may examine."""
    examining = Person.role_rows.any(PersonRole.role.in_(EXAMINING))
    others = accounts.house(by_id, with_left=False).where(examining, Person.id != by_id)
    return list(session.scalars(others))


def _check_candidate(candidate: Person, by_id: int, second_id: int | None) -> None:
    if candidate.id in (by_id, second_id):
        raise Refused(_("Nobody examines themselves. Choose another candidate or examiner."))
    if candidate.roles & EXAMINING:
        raise Refused(
            _("This person may read the maps of specimens, so cannot be examined on one of the house.")
        )
    if candidate.left_at is not None:
        raise Refused(_("This person is marked as gone."))


def _second(session: Session, by_id: int, second_id: int) -> int:
    if second_id == by_id:
        raise Refused(_("The second examiner is somebody else."))
    if not accounts.colleague(session, by_id, second_id).roles & EXAMINING:
        raise NotAllowed(_("The second examiner must be an instructor, an examiner or a Level III."))
    return second_id
