"""The close of a practical: scored once, and entered into the ledger, failed ones too."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from fractions import Fraction

from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.errors import Conflict, NotAllowed, Refused
from trainer.examinations.practical import Outcome, Sheet, in_decimals, joined, outcome
from trainer.languages import WRITTEN_IN, _, reading_in
from trainer.services.admitting import entitlements
from trainer.services.admitting.entitlements import EXAMINING
from trainer.services.examining import practicals
from trainer.services.examining.practicals import Held
from trainer.services.keeping import audit
from trainer.services.keeping.moments import local_day
from trainer.services.qualifying import ledger
from trainer.store.models import PracticalSheet

MOST_NOTE = 600


def close(
    session: Session, bank: Bank, by_id: int, sheet_ids: Sequence[int], now: datetime
) -> list[PracticalSheet]:
    """Score one practical, or several of one candidate that are one sitting, and enter them as one.

    ``bank`` is the English one, since the note of the entry is kept.
    The caller's one transaction holds all of it. Raises Conflict while somebody still marks, Refused while
    the examiners differ on what fails it, and for sheets of two candidates or levels.
    """
    with reading_in(WRITTEN_IN):  # what the entry says of a checklist is kept
        sitting = [practicals.own(session, bank, by_id, sheet_id) for sheet_id in dict.fromkeys(sheet_ids)]
    for held in sitting:
        _check(held)
    if len({(held.row.person_id, held.row.level) for held in sitting}) != 1:
        raise Refused(_("What is entered together belongs to one candidate and one level."))
    role = entitlements.first_of(entitlements.roles_of(session, by_id) & EXAMINING)
    if role is None:
        raise NotAllowed(_("You may not enter examinations any more. Another examiner can close it."))
    found = [result(held) for held in sitting]
    person = sitting[0].row.person_id
    entry = ledger.enter(session, person, "examination", _body(sitting, found), by_id, role, now)
    for held, one in zip(sitting, found, strict=True):
        held.row.closed_at, held.row.entry_id = now, entry.id
        held.row.score = _as_data(one, held.row.pass_mark)
        audit.note(session, by_id, "practical closed", held.row.id, now, facts={"person": person})
    return [held.row for held in sitting]


def beside(session: Session, bank: Bank, by_id: int, held: Held) -> list[Held]:
    """Other practicals of the same candidate and level that the asker could close in the same entry."""
    wanted = practicals.examined_by(by_id).where(
        PracticalSheet.id != held.row.id,
        PracticalSheet.closed_at.is_(None),
        PracticalSheet.person_id == held.row.person_id,
        PracticalSheet.level == held.row.level,
    )
    rows = session.scalars(wanted.order_by(PracticalSheet.id.desc())).all()
    others = [practicals.own(session, bank, by_id, row.id) for row in rows]
    return [one for one in others if one.settled]


def result(held: Held) -> Outcome:
    """What the marks give: one examiner's, or the mean of two. Raises ValueError for what is not all marked."""
    first, *second = (outcome(held.sheet, marks) for marks in held.marks.values())
    return joined(first, second[0]) if second else first


def _check(held: Held) -> None:
    if not held.running:
        raise Conflict(_("This practical is closed already."))
    if not held.all_done:
        raise Conflict(_("Not every examiner has said that the marks stand. Wait for that, then close."))
    if not held.settled:
        raise Refused(_("You differ on a point that decides. Talk it over, mark it again, then close."))


def _body(sitting: Sequence[Held], found: Sequence[Outcome]) -> dict[str, object]:
    """The entry. Where something fails one practical by itself, no marks of the sitting count."""
    failed = any(one.failed for one in found)
    rows = [held.row for held in sitting]
    examiners = dict.fromkeys(one.person.works_number for row in rows for one in row.examiners)
    instructions = [one.instruction for one in found if one.instruction is not None]
    body: dict[str, object] = {
        "part": "practical", "method": "MT", "level": rows[0].level,
        "date": local_day(max(row.begun_at for row in rows)).isoformat(),
        "paper": "-".join(("practical", *(str(row.id) for row in rows))),
        "administered_by": ", ".join(examiners),
        "specimens": [
            {
                "specimen": held.row.specimen.code, "checkpoints": str(_checkpoints(held)),
                **_marks(*one.specimen, failed),
            }
            for held, one in zip(sitting, found, strict=True)
        ],
        "note": ". ".join(map(_note, sitting, found))[:MOST_NOTE],
    }  # fmt: skip
    if instructions:
        reached = sum((marks for marks, _ in instructions), Fraction(0))
        body["instruction"] = _marks(reached, sum(of for _, of in instructions), failed)
    return body


def _checkpoints(held: Held) -> int:
    return sum(not point.known and point.area != "instruction" for point in held.sheet.points)


def _marks(got: Fraction, of: int, failed: bool) -> dict[str, str]:
    marks, out_of = in_decimals(Fraction(0) if failed else got, of)
    return {"marks": marks, "of": out_of}


def _note(held: Held, found: Outcome) -> str:
    """What the entry says beside the marks. It names no place and no kind of a discontinuity."""
    said = [held.checklist.title + (", mean of two examiners" if len(held.marks) > 1 else "")]
    if found.failed:
        got, of = in_decimals(*found.specimen)
        said += [*_grounds(held.sheet, found), f"Marks count as none; reached were {got} of {of}"]
    return ". ".join(said)


def _grounds(sheet: Sheet, found: Outcome) -> list[str]:
    points = [point for point in sheet.points if point.id in found.missed]
    said = [f"Critical point missed: {p.text.rstrip('.')}" for p in points if not p.known]
    if any(point.known for point in points):
        said.append("A discontinuity that must be found was missed")
    if found.too_many_false_calls:
        said.append("Too many false calls")
    return said


def _as_data(found: Outcome, mark: int) -> dict[str, object]:
    return {
        "reached": {area: str(share) for area, share in found.reached.items()},
        "missed": list(found.missed), "too_many_false_calls": found.too_many_false_calls,
        "passed": found.passed(mark),
    }  # fmt: skip
