"""Who is due when: the first page of an employer, and the matrix to print."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import TYPE_CHECKING, Any

from flask import current_app, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response

from trainer.drawing.measures import Due as Mark
from trainer.drawing.measures import ruler
from trainer.languages import _, ngettext
from trainer.qualification import Row, Verdict
from trainer.qualification.words import amount, number_text
from trainer.services.admitting import accounts
from trainer.services.admitting.accounts import Named
from trainer.services.keeping import audit, paging
from trainer.services.overseeing import selection
from trainer.services.overseeing.selection import Selection
from trainer.services.proving import exporting
from trainer.services.proving.exporting import Made
from trainer.services.qualifying import countersigning, placings, standing
from trainer.services.qualifying.outlines import SOON, Outline
from trainer.services.qualifying.placings import Expiry, Look, Placings
from trainer.web import downloads
from trainer.web.access import me, parts, this_day
from trainer.web.asking.paging import asked
from trainer.web.employer import bp
from trainer.web.sheets import standing_sheet
from trainer.web.sheets.days import day

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

PLACINGS = "trainer placings"
Page = str | tuple[str, int] | Response
DAYS = 90
MOST_MARKS = 14
COLUMNS = (
    "vision_near",
    "vision_colour",
    "certificate_current",
    "training",
    "experience_method",
)
PARTS = ("general", "specific", "practical")


@bp.get("/")
def due() -> Page:
    """Show what runs out in the next 90 days, who may do what today, and what waits."""
    today, wanted = this_day(), _wanted()
    until = today + timedelta(days=DAYS)
    with parts().database.reading() as session:
        look = _look_at_house(session, today)
        people = _chosen(session, look, wanted, today)
        dues = look.due(today, until)
        if wanted.narrows:
            chosen = {one.person_id for one in people}
            dues = [one for one in dues if one.outline.person_id in chosen]
        shown = paging.cut(dues, asked(whole=True), len(dues))
        listed = paging.cut(people, asked("people-", whole=True), len(look.people))
        drawn = dues[:MOST_MARKS]
        concerned = [*listed.rows, *(one.outline for one in (*shown.rows, *drawn))]
        who = accounts.named(session, (one.person_id for one in concerned))
        waiting = countersigning.how_many(session, me().id)
    marks = [
        Mark(f"{who[one.outline.person_id].works_number} {_title(one).lower()}", one.until) for one in drawn
    ]
    return render_template(
        "employer/due.html",
        heading=_heading(dues, today),
        ruler_svg=Markup(ruler(marks, today, days=DAYS)),
        dues=shown.showing([_due_row(one, who[one.outline.person_id], today) for one in shown.rows]),
        more=max(0, len(dues) - MOST_MARKS),
        people=listed.showing([{"person": who[one.person_id], "may": one.may_work} for one in listed.rows]),
        chosen=wanted,
        states=_states(),
        waiting=waiting,
        today=day(today),
        until=day(until),
    )


@bp.get("/matrix")
def matrix() -> Page:
    """Show people by prerequisite, to print."""
    wanted, chosen = standing_sheet.asked(), _wanted()
    with parts().database.reading() as session:
        look = _look_at_house(session, wanted.on)
        people = _chosen(session, look, chosen, wanted.on)
        shown = paging.cut(people, asked(whole=True), len(look.people))
        who = accounts.named(session, (one.person_id for one in shown.rows))
    return render_template(
        "employer/matrix.html",
        columns=[*(standing.title(name) for name in COLUMNS), _("Examinations")],
        people=shown.showing([_matrix_row(one, who[one.person_id], wanted.on) for one in shown.rows]),
        chosen=chosen,
        states=_states(),
        on=wanted.on.isoformat(),
        on_words=day(wanted.on),
        fault=wanted.fault,
    )


@bp.post("/calendar")
def calendar() -> Page:
    """Hand out the due dates of the house as a calendar file."""
    now = parts().clock()
    with parts().database.reading() as session:
        placed = standing.of_house(session, me().id, this_day(), standing_sheet.known())
    data = exporting.calendar_of(placed, now, _("Due dates, %(house)s", house=me().organisation))
    with parts().database.writing() as session:
        audit.note(session, me().id, "calendar exported", me().organisation_id, now)
    return downloads.response(Made("due-dates.ics", "text/calendar; charset=utf-8", data))


def _wanted() -> Selection:
    return selection.asked(*(request.args.get(name, "") for name in ("words", "level", "state")))


def _states() -> list[tuple[str, str]]:
    return [(name, _(words)) for name, (words, _test) in selection.STATES.items()]


def _look_at_house(session: Session, on: date) -> Look:
    """How everybody of the house stands on a day; remembered until the trainer stops."""
    held: Placings = current_app.extensions.setdefault(PLACINGS, Placings())
    return held.look(session, me().id, on, standing_sheet.known())


def _chosen(session: Session, look: Look, wanted: Selection, on: date) -> Sequence[Outline]:
    named = placings.named(session, me().id, wanted.words) if wanted.words else None
    return wanted.of(look.people, on, named)


def _heading(dues: Sequence[Expiry], today: date) -> str:
    gone = sum(one.until < today for one in dues)
    ahead = len(dues) - gone
    if not dues:
        return _("Nothing runs out in the next %(days)s days", days=DAYS)
    told = [ngettext("%(n)s has run out", "%(n)s have run out", gone)] if gone else []
    if ahead:
        told.append(
            ngettext(
                "%(n)s is due within %(days)s days", "%(n)s are due within %(days)s days", ahead, days=DAYS
            )
        )
    return ", ".join(told)


def _title(one: Expiry) -> str:
    return standing.title(one.row)


def _due_row(one: Expiry, person: Named, today: date) -> dict[str, Any]:
    left = (one.until - today).days
    return {
        "person": person,
        "what": _title(one),
        "until": day(one.until),
        "look": _look(one.until, today),
        "left": _left(left),
    }


def _left(days: int) -> str:
    """How long something is still good, in words."""
    if days < 0:
        return ngettext("ran out %(n)s day ago", "ran out %(n)s days ago", -days)
    if days == 0:
        return _("today is the last day")
    return ngettext("%(n)s day", "%(n)s days", days)


def _look(until: date, today: date) -> str:
    return "gone" if until < today else "soon" if until <= today + timedelta(days=SOON) else ""


def _matrix_row(one: Outline, person: Named, on: date) -> dict[str, Any]:
    return {
        "person": person,
        "level": _("%(scheme)s, Level %(level)s", scheme=one.scheme.id, level=one.level),
        "cells": [*(_cell(one.row(name), name, on) for name in COLUMNS), (_passed(one), "")],
        "first": standing.title(one.dues[0][1]).lower() if one.dues else _("nothing"),
    }


def _cell(row: Row | None, name: str, on: date) -> tuple[str, str]:
    """The words of one prerequisite of one person, and how they look."""
    if row is None:
        return (_("none yet") if name == "certificate_current" else _("not asked")), ""
    if row.need is not None and row.unit:
        if row.have is None:
            return _("none yet"), ""
        words = _("%(have)s of %(need)s", have=number_text(row.have), need=amount(row.need, row.unit))
        return (words, "") if row.verdict is Verdict.MET else (_("short: %(words)s", words=words), "")
    if row.until is None:
        return (_("for good"), "") if row.verdict is Verdict.MET else (_("none on record"), "")
    return day(row.until), _look(row.until, on)


def _passed(one: Outline) -> str:
    """How many of the parts that the scheme asks are passed."""
    rows = [row for row in map(one.row, PARTS) if row is not None]
    if not rows:
        return _("not asked")
    passed = sum(row.verdict is Verdict.MET for row in rows)
    return _("%(passed)s of %(asked)s passed", passed=passed, asked=len(rows))
