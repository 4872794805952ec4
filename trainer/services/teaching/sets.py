"""Drill sets: what an instructor puts together once, to be given to classes and people again and again."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import accounts, particulars
from trainer.services.keeping import audit, paging
from trainer.services.keeping.paging import Page, Wish
from trainer.store.models import DrillSet, DrillSetLine

MOST_DRILLS = 60

Chosen = tuple[str, str | None]


def make(
    session: Session, shelf: Shelf, instructor_id: int, title: str, chosen: Sequence[Chosen], now: datetime
) -> DrillSet:
    """Make a set of drills, each with the unknown to ask for (None: every one in turn).

    Raises NotFound for what is not in the bank, Refused with a sentence for what cannot be a set, Conflict
    for a name that an own set in use bears.
    """
    name = particulars.title(title, N_("The name of the set"))
    lines = checked(shelf, chosen)
    if name.lower() in _titles(session, instructor_id):
        raise Conflict(
            _("You have a set called %(name)s already. Give that one, or write another name here.", name=name)
        )
    maker = accounts.colleague(session, instructor_id, instructor_id)
    made = DrillSet(
        organisation_id=maker.organisation_id, made_by_id=instructor_id, title=name, made_at=now,
        lines=[DrillSetLine(position=i, drill_id=drill, find=find) for i, (drill, find) in enumerate(lines)],
    )  # fmt: skip
    session.add(made)
    session.flush()  # its number is needed for the note
    audit.note(session, instructor_id, "set made", made.id, now, facts={"drills": len(lines)})
    return made


def checked(shelf: Shelf, chosen: Sequence[Chosen]) -> list[Chosen]:
    """Return what was chosen, each line once, if it can be a set. Raises NotFound and Refused."""
    lines = list(dict.fromkeys(chosen))
    if not lines:
        raise Refused(_("Tick at least one drill."))
    if len(lines) > MOST_DRILLS:
        raise Refused(
            _("A set holds at most %(most_drills)s drills; make two of them.", most_drills=MOST_DRILLS)
        )
    for drill, find in lines:
        finds = shelf.bank.drill(drill).drill.finds
        if find is not None and find not in finds:
            raise NotFound(_("A drill does not ask for what was chosen. Load the page anew."))
    return lines


def own_set(session: Session, instructor_id: int, set_id: int) -> DrillSet:
    """A set that this instructor made. Raises NotFound for anybody else's."""
    found = session.get(DrillSet, set_id)
    if found is None or found.made_by_id != instructor_id:
        raise NotFound(_("There is no such set."))
    return found


def sets_of(session: Session, instructor_id: int, wish: Wish) -> Page[DrillSet]:
    """A page of the sets an instructor made: those in use first, the newest in front."""
    wanted = select(DrillSet).where(DrillSet.made_by_id == instructor_id)
    wanted = wanted.order_by(DrillSet.retired_at.is_not(None), DrillSet.id.desc())
    return paging.page(session, wanted.options(selectinload(DrillSet.lines)), wish, DrillSet.title)


def how_many_used(session: Session, instructor_id: int) -> int:
    """How many of those are in use."""
    return len(_titles(session, instructor_id))


def set_retired(session: Session, instructor_id: int, set_id: int, retired: bool, now: datetime) -> DrillSet:
    """Put a set away, or back into use. Where it has been given it goes on until it is taken back."""
    found = own_set(session, instructor_id, set_id)
    if (found.retired_at is not None) != retired:
        if not retired and found.title.lower() in _titles(session, instructor_id):
            raise Conflict(
                _(
                    "Another set in use is called %(title)s. Copy this one under another name.",
                    title=found.title,
                )
            )
        found.retired_at = now if retired else None
        audit.note(session, instructor_id, "set put away" if retired else "set taken up", set_id, now)
    return found


def free_title(session: Session, instructor_id: int, title: str) -> str:
    """The title as it is, or that of a copy where an own set in use bears it."""
    taken = title.lower() in _titles(session, instructor_id)
    return title_of_copy(session, instructor_id, title) if taken else title


def title_of_copy(session: Session, instructor_id: int, title: str) -> str:
    """A title for a copy that no own set in use bears: the old one with the next free number."""
    stem, _, last = title.rpartition(" ")
    if not (stem and last.isascii() and last.isdigit() and len(last) < 5):
        stem, last = title, "1"
    number, taken = int(last) + 1, _titles(session, instructor_id)
    while f"{stem} {number}".lower() in taken:
        number += 1
    return f"{stem} {number}"


def _titles(session: Session, instructor_id: int) -> set[str]:
    wanted = select(DrillSet.title).where(DrillSet.made_by_id == instructor_id, DrillSet.retired_at.is_(None))
    return {title.lower() for title in session.scalars(wanted)}
