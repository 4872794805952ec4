"""The hours of a class: which meetings are confirmed, and the press that takes them into the ledger."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, Refused
from trainer.languages import _
from trainer.services.teaching import class_hours, classes
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.instructor import bp
from trainer.web.sheets.days import day

Page = str | tuple[str, int] | Response


@bp.get("/classes/<int:class_id>/hours")
def hours(class_id: int) -> Page:
    """Show the meetings of a class with the state of their hours."""
    return _page(class_id)


@bp.post("/classes/<int:class_id>/hours")
def confirm_hours(class_id: int) -> Page:
    """Confirm the meetings that were ticked, all or none."""
    ticked = [forms.number(text) for text in request.form.getlist("meeting")]
    try:
        with parts().database.writing() as session:
            classes.own_class(session, me().id, class_id)
            if not ticked:
                raise Refused(_("Tick the meetings whose attendance you confirm."))
            count = class_hours.confirm_all(session, me().id, ticked, parts().clock())
    except (Refused, Conflict) as fault:
        return _page(class_id, str(fault)), 422
    flash(
        _(
            "Training entries made: %(count)s. They count once the employer or the Level III has countersigned.",
            count=count,
        ),
        "done",
    )
    return redirect(url_for("instructor.hours", class_id=class_id), 303)


def _page(class_id: int, fault: str = "") -> str:
    with parts().database.reading() as session:
        found = classes.own_class(session, me().id, class_id)
        states = class_hours.of_class(session, me().id, class_id)
        title = found.title
    rows = [{"state": one, "day": day(one.meeting.held_on)} for one in states]
    ready = sum(one.can_be_confirmed for one in states)
    return render_template(
        "instructor/hours.html", class_id=class_id, title=title, rows=rows, ready=ready, fault=fault
    )
