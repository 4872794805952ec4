"""The close of a practical: scored once, and entered into the ledger, failed ones too."""

from __future__ import annotations

from datetime import datetime
from fractions import Fraction

from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.errors import Conflict, NotAllowed, Refused
from trainer.examinations.practical import Outcome, Sheet, in_decimals, joined, outcome
from trainer.services import audit, entitlements, ledger, practicals
from trainer.services.moments import local_day
from trainer.services.practicals import Held
from trainer.store.models import PracticalSheet

MOST_NOTE = 600


def close(session: Session, bank: Bank, by_id: int, sheet_id: int, now: datetime) -> PracticalSheet:
    """Score a practical and enter it; the caller's one transaction holds both.

    Raises Conflict while somebody still marks, Refused while the examiners differ on what fails it.
    """
    held = practicals.own(session, bank, by_id, sheet_id)
    if not held.running:
        raise Conflict("This practical is closed already.")
    if not held.all_done:
        raise Conflict("Not every examiner has said that the marks stand. Wait for that, then close.")
    grave = [one for one in held.differences if one.grave]
    if grave:
        many = "1 point" if len(grave) == 1 else f"{len(grave)} points"
        raise Refused(f"You differ on {many} that decides. Talk it over, mark it again, then close.")
    found = result(held)
    row = held.row
    row.closed_at, row.score = now, _as_data(found, row.pass_mark)
    role = entitlements.first_of(
        entitlements.roles_of(session, by_id) & entitlements.ENTERED_BY["examination"]
    )
    if role is None:
        raise NotAllowed("You may not enter examinations any more. Another examiner can close it.")
    row.entry_id = ledger.enter(
        session, row.person_id, "examination", _body(held, found), by_id, role, now
    ).id
    audit.note(session, by_id, "practical closed", sheet_id, now, facts={"person": row.person_id})
    return row


def result(held: Held) -> Outcome:
    """What the marks give: one examiner's, or the mean of two. Raises ValueError for what is not all marked."""
    first, *second = (outcome(held.sheet, marks) for marks in held.marks.values())
    return joined(first, second[0]) if second else first


def _body(held: Held, found: Outcome) -> dict[str, object]:
    row = held.row
    checkpoints = sum(not p.known and p.area != "instruction" for p in held.sheet.points)
    body: dict[str, object] = {
        "part": "practical", "method": "MT", "level": row.level,
        "date": local_day(row.begun_at).isoformat(), "paper": f"practical-{row.id}",
        "administered_by": ", ".join(one.person.works_number for one in row.examiners),
        "specimens": [
            {"specimen": row.specimen.code, "checkpoints": str(checkpoints), **_marks(found.specimen, found)}
        ],
        "note": _note(held, found),
    }  # fmt: skip
    if found.instruction is not None:
        body["instruction"] = _marks(found.instruction, found)
    return body


def _marks(reached: tuple[Fraction, int], found: Outcome) -> dict[str, str]:
    """Marks as the ledger writes them; none at all where something fails the practical by itself."""
    got, of = reached
    marks, out_of = in_decimals(Fraction(0) if found.failed else got, of)
    return {"marks": marks, "of": out_of}


def _note(held: Held, found: Outcome) -> str:
    """What the entry says beside the marks. It names no place and no kind of a discontinuity."""
    said = [held.checklist.title + (", mean of two examiners" if len(held.marks) > 1 else "")]
    if found.failed:
        got, of = in_decimals(*found.specimen)
        said += [*_grounds(held.sheet, found), f"Marks count as none; reached were {got} of {of}"]
    return ". ".join(said)[:MOST_NOTE]


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
