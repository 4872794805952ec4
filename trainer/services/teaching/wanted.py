"""What a trainee is to practise: the sets that are open for them, else the whole bank."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound
from trainer.languages import _
from trainer.practice import reasons
from trainer.practice.offer import Line, Offer
from trainer.services.keeping.moments import local_day
from trainer.services.practising import practice
from trainer.services.teaching import assignments
from trainer.services.teaching.assignments import OpenSet


def lines_for(
    session: Session, shelf: Shelf, person_id: int, now: datetime
) -> tuple[list[Line], Sequence[OpenSet]]:
    """Return what is to be practised, and the open sets it comes from."""
    found = assignments.open_for(session, shelf, person_id, local_day(now))
    wanted = [line for one in found for line in one.left]
    if not wanted:
        wanted = [(d.id, None) for ds in shelf.bank.topics().values() for d in ds if not d.unconfirmed]
    return practice.lines_of(shelf, list(dict.fromkeys(wanted))), found


def whole(shelf: Shelf, lines: Sequence[Line], found: Sequence[OpenSet]) -> Sequence[Line]:
    """Return all that leads to the end: the open sets with what is done of them, else the lines to practise."""
    return practice.lines_of(shelf, [line for one in found for line in one.lines]) or lines


def wanted_line(
    session: Session, shelf: Shelf, person_id: int, form: Mapping[str, str], now: datetime
) -> tuple[Line, str, int | None]:
    """Return the line a press asks for, the reason, and the assignment it belongs to.

    Raises NotFound for a drill or set that is not there (or not theirs), Conflict when nothing is open.
    """
    drill_id = form.get("drill", "")
    if drill_id:
        drill = shelf.bank.drill(drill_id).drill
        find = form.get("find") or None
        if drill.examination_only:
            raise NotFound(_("there is no drill '%(drill)s' to practise", drill=drill.id))
        if find is not None and find not in drill.finds:
            raise NotFound(_("This drill does not ask for that."))
        return Line(drill.id, find, drill.skill), reasons.CHOSEN, None
    lines, found = lines_for(session, shelf, person_id, now)
    chosen = next((one for one in found if str(one.assignment_id) == form.get("set", "")), None)
    if form.get("set") and chosen is None:
        raise NotFound(_("There is no such set open for you."))
    if chosen is not None:
        lines = practice.lines_of(shelf, chosen.left)
    offer = practice.next_offer(session, shelf, person_id, lines, now)
    if offer is None and chosen is not None and chosen.rule == "right" and lines:
        # What an instructor asks for by number is open on any day, also where the skill itself could wait.
        offer = Offer(lines[0], reasons.SET, "plain")
    if offer is None:
        raise Conflict(
            _(
                "Nothing is open today: every skill here waits for a later day. "
                "Choose a drill yourself if you want to go on."
            )
        )
    assignment = chosen or next(
        (one for one in found if (offer.line.drill, offer.line.find) in one.left), None
    )
    return offer.line, offer.reason, assignment.assignment_id if assignment else None
