"""Packs of the shop with their leads: written down by an instructor, changed by a new row, retired, never lost."""

from __future__ import annotations

from datetime import datetime
from decimal import Decimal

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import accounts, particulars
from trainer.services.keeping import audit
from trainer.shopwork.pack import PLATE
from trainer.shopwork.pack import Pack as Plate
from trainer.store.models import Pack, Person

MOST = 60  # packs in use of one shop


def packs_of(session: Session, person_id: int) -> list[Pack]:
    """The packs in use at a person's organisation, by name."""
    house = select(Person.organisation_id).where(Person.id == person_id).scalar_subquery()
    wanted = select(Pack).where(Pack.organisation_id == house, Pack.retired_at.is_(None))
    return list(session.scalars(wanted.order_by(func.lower(Pack.name), Pack.id)))


def retired_of(session: Session, person_id: int) -> list[Pack]:
    """The packs of a person's organisation as they were once written down, newest first; 100 at most."""
    house = select(Person.organisation_id).where(Person.id == person_id).scalar_subquery()
    wanted = select(Pack).where(Pack.organisation_id == house, Pack.retired_at.is_not(None))
    return list(session.scalars(wanted.order_by(Pack.retired_at.desc(), Pack.id.desc()).limit(100)))


def own_pack(session: Session, person_id: int, pack_id: int) -> Pack:
    """A pack in use at the asker's organisation. Raises NotFound for anybody else's, and for a retired one."""
    found = next((one for one in packs_of(session, person_id) if one.id == pack_id), None)
    if found is None:
        raise NotFound(_("There is no such pack. It may have been changed or retired; look at the list."))
    return found


def named(session: Session, name: str) -> Pack:
    """The one pack in use that is called so, for the owner of the machine. Raises NotFound or Conflict."""
    wanted = select(Pack).where(
        func.lower(Pack.name) == " ".join(name.split()).lower(), Pack.retired_at.is_(None)
    )
    found = list(session.scalars(wanted.limit(2)))
    if not found:
        raise NotFound(
            _(
                "There is no pack called %(name)s. Write its values with --rated, --duty and --period.",
                name=name[:60],
            )
        )
    if len(found) > 1:
        raise Conflict(
            _(
                "Two shops have a pack called %(name)s. Write its values with --rated, --duty and --period.",
                name=name[:60],
            )
        )
    return found[0]


def add(session: Session, instructor_id: int, plate: Plate, now: datetime) -> Pack:
    """Write down a pack. Raises Refused for one that is incomplete and Conflict for a name in use."""
    made = _kept(session, instructor_id, plate, now, None)
    audit.note(session, instructor_id, "pack added", made.id, now)
    return made


def change(session: Session, instructor_id: int, pack_id: int, plate: Plate, now: datetime) -> Pack:
    """Write a pack down anew; the old row is retired and stays as it was. Raises as own_pack and add do."""
    before = own_pack(session, instructor_id, pack_id)
    made = _kept(session, instructor_id, plate, now, before)
    _retire(before, instructor_id, now)
    audit.note(session, instructor_id, "pack changed", made.id, now, facts={"before": before.id})
    return made


def retire(session: Session, instructor_id: int, pack_id: int, now: datetime) -> Pack:
    """Take a pack out of use. Raises NotFound as own_pack does."""
    found = own_pack(session, instructor_id, pack_id)
    _retire(found, instructor_id, now)
    audit.note(session, instructor_id, "pack retired", found.id, now)
    return found


def plate_of(row: Pack) -> Plate:
    """Return a kept pack as the questions to a pack take it."""
    values = {"rated": row.rated, "duty": row.duty, "period": row.period, "distance": row.distance}
    known = {symbol: float(value) for symbol, value in values.items() if value is not None}
    return Plate(row.name, known, row.lead or "")


def _kept(session: Session, instructor_id: int, plate: Plate, now: datetime, before: Pack | None) -> Pack:
    name = particulars.title(plate.name, N_("The name of the pack"))
    _check(session, instructor_id, name, plate, before)
    exact = {symbol: Decimal(str(value)) for symbol, value in plate.values.items()}
    made = Pack(
        organisation_id=accounts.colleague(session, instructor_id, instructor_id).organisation_id,
        name=name,
        rated=exact["rated"],
        duty=exact["duty"],
        period=exact["period"],
        lead=plate.lead or None,
        distance=exact.get("distance"),
        made_by_id=instructor_id,
        made_at=now,
    )
    session.add(made)
    session.flush()  # its number is needed for the note
    return made


def _retire(pack: Pack, person_id: int, now: datetime) -> None:
    pack.retired_by_id, pack.retired_at = person_id, now


def _check(session: Session, instructor_id: int, name: str, plate: Plate, before: Pack | None) -> None:
    if not plate.values.keys() >= set(PLATE):
        raise Refused(_("Write the rated current, the duty and its period, as they stand on the plate."))
    if bool(plate.lead) != ("distance" in plate.values):
        raise Refused(_("Write size and length of the leads, or leave both empty."))
    others = [one for one in packs_of(session, instructor_id) if one is not before]
    if any(one.name.casefold() == name.casefold() for one in others):
        raise Conflict(_("There is a pack called %(name)s already. Give this one another name.", name=name))
    if len(others) >= MOST:
        raise Conflict(_("There are %(most)s packs already. Retire one that is no longer used.", most=MOST))
