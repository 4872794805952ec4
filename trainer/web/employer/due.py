"""Who is due when: the first page of an employer, and the matrix to print."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from flask import render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response

from trainer.drawing.measures import Due as Mark
from trainer.drawing.measures import ruler
from trainer.languages import _, ngettext
from trainer.qualification import Row, Verdict
from trainer.qualification.words import amount, number_text
from trainer.services import audit, countersigning, exporting, selection, standing
from trainer.services.exporting import Made
from trainer.services.selection import SOON, Selection
from trainer.services.standing import Due, Placed
from trainer.web import downloads, standing_sheet
from trainer.web.access import me, parts, this_day
from trainer.web.days import day
from trainer.web.employer import bp

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
    house, waiting = _placed(today)
    placed = wanted.of(house, today)
    dues = [one for each in placed for one in each.dues if one.until <= today + timedelta(days=DAYS)]
    dues.sort(key=lambda one: (one.until, one.person.works_number))
    marks = [Mark(f"{one.person.works_number} {_title(one).lower()}", one.until) for one in dues[:MOST_MARKS]]
    return render_template(
        "employer/due.html",
        heading=_heading(dues, today),
        ruler_svg=Markup(ruler(marks, today, days=DAYS)),
        dues=[_due_row(one, today) for one in dues],
        more=max(0, len(dues) - MOST_MARKS),
        people=[{"person": one.person, "may": one.may_work} for one in placed],
        house=len(house),
        chosen=wanted,
        states=_states(),
        waiting=waiting,
        today=day(today),
        until=day(today + timedelta(days=DAYS)),
    )


@bp.get("/matrix")
def matrix() -> Page:
    """Show people by prerequisite, to print."""
    wanted, chosen = standing_sheet.asked(), _wanted()
    house, _waiting = _placed(wanted.on)
    return render_template(
        "employer/matrix.html",
        columns=[*(standing.title(name) for name in COLUMNS), _("Examinations")],
        rows=[_matrix_row(one, wanted.on) for one in chosen.of(house, wanted.on)],
        house=len(house),
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
    placed, _waiting = _placed(this_day())
    data = exporting.calendar_of(placed, now, _("Due dates, %(house)s", house=me().organisation))
    with parts().database.writing() as session:
        audit.note(session, me().id, "calendar exported", me().organisation_id, now)
    return downloads.response(Made("due-dates.ics", "text/calendar; charset=utf-8", data))


def _wanted() -> Selection:
    return selection.asked(*(request.args.get(name, "") for name in ("words", "level", "state")))


def _states() -> list[tuple[str, str]]:
    return [(name, _(words)) for name, (words, _test) in selection.STATES.items()]


def _placed(on: date) -> tuple[list[Placed], int]:
    offered = standing_sheet.known()
    with parts().database.reading() as session:
        placed = standing.of_house(session, me().id, on, offered)
        return placed, len(countersigning.waiting(session, me().id))


def _heading(dues: list[Due], today: date) -> str:
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


def _title(one: Due) -> str:
    return standing.title(one.row.id)


def _due_row(one: Due, today: date) -> dict[str, Any]:
    left = (one.until - today).days
    return {
        "person": one.person,
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


def _matrix_row(one: Placed, on: date) -> dict[str, Any]:
    return {
        "person": one.person,
        "level": _("%(scheme)s, Level %(level)s", scheme=one.standing.scheme.id, level=one.standing.level),
        "cells": [*(_cell(one.row(name), name, on) for name in COLUMNS), (_passed(one), "")],
        "first": _title(one.dues[0]).lower() if one.dues else _("nothing"),
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


def _passed(one: Placed) -> str:
    """How many of the parts that the scheme asks are passed."""
    rows = [row for row in map(one.row, PARTS) if row is not None]
    if not rows:
        return _("not asked")
    passed = sum(row.verdict is Verdict.MET for row in rows)
    return _("%(passed)s of %(asked)s passed", passed=passed, asked=len(rows))
