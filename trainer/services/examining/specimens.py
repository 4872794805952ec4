"""Specimens of the house with their private maps. Who may be examined on one never reads it here."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.bank.specimen import MOST_CODE
from trainer.errors import Conflict, NotFound, Refused
from trainer.examinations import specimen_file
from trainer.examinations.specimen import Known, read_map
from trainer.examinations.specimen_file import Piece
from trainer.languages import N_, _
from trainer.services.admitting import accounts, particulars
from trainer.services.keeping import audit
from trainer.services.keeping.spreadsheet import BadRow
from trainer.store.models import PracticalSheet, Specimen


@dataclass(frozen=True, slots=True)
class Preview:
    """What taking a file over would enter, and every line that stands in the way."""

    pieces: tuple[Piece, ...]
    bad: tuple[BadRow, ...]


def enter(session: Session, by_id: int, code: str, title: str, drawn: str, now: datetime) -> Specimen:
    """Enter a specimen with its map as typed. Raises Refused for what cannot be read, Conflict for a code in use."""
    name, words = particulars_of(code, title, {one.code for one in in_use(session, by_id)})
    return _add(session, by_id, name, words, read_map(drawn), now)


def check_file(session: Session, by_id: int, data: bytes) -> Preview:
    """Look at every specimen of a file; nothing is written."""
    pieces, faults = specimen_file.read(data)
    bad = [BadRow(fault.line, f"{fault.says[:1].upper()}{fault.says[1:]}.") for fault in faults]
    taken = {one.code for one in in_use(session, by_id)}
    good: list[Piece] = []
    for piece in pieces:
        try:
            code, title = particulars_of(piece.code, piece.title, taken)
        except (Refused, Conflict) as fault:
            bad.append(BadRow(piece.line, f"{piece.code}: {fault}"))
        else:
            taken.add(code)
            good.append(replace(piece, code=code, title=title))
    return Preview(tuple(good), tuple(sorted(bad, key=lambda row: row.line)))


def take_file(session: Session, by_id: int, data: bytes, now: datetime) -> list[Specimen]:
    """Enter every specimen of a file. Raises Refused when any is bad: nothing is half taken."""
    found = check_file(session, by_id, data)
    if found.bad:
        first = found.bad[0]
        raise Refused(_("Line %(line)s: %(says)s Nothing was entered.", line=first.line, says=first.says))
    return [_add(session, by_id, one.code, one.title, one.known, now) for one in found.pieces]


def particulars_of(code: str, title: str, taken: Collection[str]) -> tuple[str, str]:
    """Code and description as they are kept. Raises Refused, and Conflict for a code among those ``taken``."""
    name = particulars.title(code, N_("The code")).upper()
    if len(name) > MOST_CODE:
        raise Refused(
            _(
                "The code has more than %(most_code)s characters; write what is stamped on the piece.",
                most_code=MOST_CODE,
            )
        )
    if name in taken:
        raise Conflict(
            _("There is a specimen %(name)s already. Retire it first, or choose another code.", name=name)
        )
    return name, particulars.title(title, N_("The description"))


def retire(session: Session, by_id: int, specimen_id: int, now: datetime) -> None:
    """Take a specimen out of use; practicals held on it keep it. Raises NotFound."""
    found = own(session, by_id, specimen_id)
    if found.retired_at is None:
        found.retired_at = now
        audit.note(session, by_id, "specimen retired", specimen_id, now)


def own(session: Session, by_id: int, specimen_id: int) -> Specimen:
    """A specimen of the asker's house. Raises NotFound for anybody else's."""
    found = session.get(Specimen, specimen_id)
    if found is None or found.organisation_id != accounts.colleague(session, by_id, by_id).organisation_id:
        raise NotFound(_("There is no such specimen."))
    return found


def of_house(session: Session, by_id: int) -> list[Specimen]:
    """Every specimen of the asker's house, those in use first, by code."""
    home = accounts.colleague(session, by_id, by_id).organisation_id
    wanted = select(Specimen).where(Specimen.organisation_id == home)
    return list(session.scalars(wanted.order_by(Specimen.retired_at.is_not(None), Specimen.code)))


def in_use(session: Session, by_id: int) -> list[Specimen]:
    """The specimens of the asker's house that are not retired."""
    return [one for one in of_house(session, by_id) if one.retired_at is None]


def known(specimen: Specimen) -> tuple[Known, ...]:
    """What is in it and where."""
    return tuple(Known.of_data(one) for one in specimen.private_map["known"])


def _add(
    session: Session, by_id: int, code: str, title: str, known: Iterable[Known], now: datetime
) -> Specimen:
    home = accounts.colleague(session, by_id, by_id).organisation_id
    made = Specimen(
        organisation_id=home, code=code, title=title, private_map={"known": [one.as_data() for one in known]},
        entered_by_id=by_id, entered_at=now, retired_at=None,
    )  # fmt: skip
    session.add(made)
    session.flush()  # its number is needed for the note
    audit.note(session, by_id, "specimen entered", made.id, now)
    return made


def uses(session: Session, by_id: int) -> dict[int, int]:
    """How many practicals were held on each specimen of the house that had any."""
    wanted = select(PracticalSheet.specimen_id, func.count()).group_by(PracticalSheet.specimen_id)
    ids = [one.id for one in of_house(session, by_id)]
    return {row[0]: row[1] for row in session.execute(wanted.where(PracticalSheet.specimen_id.in_(ids)))}
