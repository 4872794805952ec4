"""Take a roster from a spreadsheet: choose the file, look at the preview, take all of it; then print slips."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refused
from trainer.languages import _
from trainer.services.admitting import accounts, roster_file
from trainer.services.admitting.roster_file import Row
from trainer.services.keeping import spreadsheet
from trainer.services.teaching import classes, roster
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.instructor import bp
from trainer.web.instructor.slips import slips_page

Page = str | tuple[str, int] | Response
MOST_SLIPS = 200


@bp.get("/roster")
def roster_page() -> Page:
    """Show the form to choose a file."""
    return render_template("instructor/roster.html", form=forms.RosterFile(), preview=None)


@bp.post("/roster")
def preview() -> Page:
    """Read the file and show what taking it would do; nothing is written."""
    form, sent = forms.RosterFile(), request.files.get("file")
    with form.taking():
        if sent is None or not sent.filename:
            raise Refused(_("Choose a file first."))
        return _preview(roster_file.read(sent.stream.read(spreadsheet.MOST_BYTES + 1)))
    return render_template("instructor/roster.html", form=form, preview=None), 422


@bp.post("/roster/take")
def take() -> Page:
    """Enter everybody of the previewed roster, or nobody."""
    rows = roster_file.read(request.form.get("rows", "").encode())
    try:
        with parts().database.writing() as session:
            ids = roster.take(session, me().id, rows, parts().clock())
    except Refused:  # somebody else entered one of them since the preview
        return _preview(rows)
    flash(
        _("People on the roster: %(ids)s. Print join slips for those who have none yet.", ids=len(ids)),
        "done",
    )
    return redirect(url_for("people.people"), 303)


@bp.post("/slips")
def slips() -> Page:
    """Make fresh join slips for everybody who has not joined, or for one class."""
    chosen = request.form.get("class_id")
    with parts().database.writing() as session:
        found = accounts.house(me().id)
        if chosen is not None:
            found = classes.on_roster(classes.own_class(session, me().id, forms.number(chosen)).id)
        waiting = session.scalars(roster.waiting(session, me().id, found).limit(MOST_SLIPS))
        ids = [person.id for person in waiting]
        made = roster.slips(session, me().id, ids, parts().clock(), parts().settings.join_days)
    return slips_page(made)


def _preview(rows: tuple[Row, ...]) -> Page:
    with parts().database.reading() as session:
        found = roster.check(session, me().id, rows)
    page = render_template(
        "instructor/roster.html", form=forms.RosterFile(), preview=found, text=roster_file.written(rows)
    )
    return (page, 422) if found.bad else page
