"""A trainee's own record: the standing, the ledger, what may be entered, and the files to take along."""

from __future__ import annotations

from collections.abc import Callable

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.languages import _
from trainer.services.admitting import accounts, entitlements
from trainer.services.proving import exporting
from trainer.services.qualifying import evidence, ledger, ledger_lines, standing
from trainer.web import downloads
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking import entering, evidencing, paging
from trainer.web.sheets import standing_sheet
from trainer.web.sheets.days import moment
from trainer.web.sheets.ledger_sheet import entry_view, entry_views

bp = guarded_blueprint("record", __name__, {"trainee"}, "/record")
Page = str | tuple[str, int] | Response


@bp.get("/", endpoint="standing")
def standing_page() -> Page:
    """Show the own standing on a day; the employer sees the same."""
    wanted, offered = standing_sheet.asked(), standing_sheet.known()
    with parts().database.reading() as session:
        placed = standing.place(session, _myself()(session), wanted.on, offered, wanted.scheme, wanted.level)
        other = (
            standing.place(session, placed.person, wanted.on, offered, wanted.beside, wanted.level)
            if wanted.beside
            else None
        )
    link: Callable[[str], str] = entering.entry_address("record.entry")
    return render_template(
        "trainee/record.html",
        s=standing_sheet.sheet(placed, wanted, link),
        choosers=standing_sheet.choosers(),
        person=placed.person,
        compared=standing_sheet.compared(placed, other) if other else [],
        beside=standing_sheet.scheme_words(other.standing.scheme) if other else "",
        action=url_for("record.standing"),
    )


@bp.get("/ledger", endpoint="ledger")
def ledger_page() -> Page:
    """Show the own ledger, what may be entered, and the files."""
    with parts().database.reading() as session:
        found = ledger.newest_of(session, me().id, paging.asked())
        lines = ledger_lines.lines(session, found.rows)
        exports = exporting.exports_of(session, me().id)
    return render_template(
        "trainee/record_ledger.html",
        entries=found.showing(entry_views(lines)),
        kinds=entering.offered(about_self=True),
        forms=[(form, _(told[0])) for form, told in exporting.FORMS.items() if form not in exporting.SIGNED],
        exports=[(row, moment(row.made_at)) for row in exports],
    )


@bp.get("/enter/<kind>")
def enter_form(kind: str) -> Page:
    """Show the form that makes one entry about oneself."""
    return entering.show(_myself(), kind, url_for("record.enter", kind=kind), url_for("record.ledger"))


@bp.post("/enter/<kind>")
def enter(kind: str) -> Page:
    """Make one entry about oneself."""
    return entering.send(_myself(), kind, url_for("record.enter", kind=kind), url_for("record.ledger"))


@bp.get("/entries/<entry_id>")
def entry(entry_id: str) -> Page:
    """Show one entry about oneself with all its facts."""
    return _entry(entry_id)


@bp.post("/entries/<entry_id>/take-back")
def take_back(entry_id: str) -> Page:
    """Take back what one entered oneself and nobody has countersigned."""
    try:
        with parts().database.writing() as session:
            ledger.own(session, me().id, entry_id[:40])
            ledger.reverse(session, entry_id, request.form.get("reason", ""), me().id, parts().clock())
    except Refused as fault:
        return _entry(entry_id, str(fault)), 422
    flash(_("Taken back. The entry and your reason stay readable."), "done")
    return redirect(url_for("record.ledger"), 303)


@bp.post("/entries/<entry_id>/evidence")
def attach(entry_id: str) -> Page:
    """Keep a file with an entry about oneself."""
    with parts().database.reading() as session:
        ledger.own(session, me().id, entry_id[:40])
    try:
        evidencing.take(entry_id[:40])
    except (Refused, Conflict, Unreadable) as fault:
        return _entry(entry_id, file_fault=str(fault)), 422
    flash(_("Attached. Whoever countersigns can read it."), "done")
    return redirect(url_for("record.entry", entry_id=entry_id), 303)


@bp.get("/evidence/<int:file_id>")
def evidence_file(file_id: int) -> Page:
    """Hand out a file of an entry about oneself, to be saved."""
    return evidencing.hand_out(file_id)


@bp.post("/files/<form>")
def file(form: str) -> Page:
    """Hand out the own record as a table, a calendar, in writing, or everything that is kept."""
    if form not in exporting.FORMS or form in exporting.SIGNED:
        raise NotFound(_("There is no such file. Choose one of those offered."))
    return downloads.export(me().id, form, standing_sheet.asked(request.form))


@bp.post("/signed/<int:export_id>")
def signed_file(export_id: int) -> Page:
    """Hand out once more a signed record about oneself."""
    with parts().database.reading() as session:
        found = next((row for row in exporting.exports_of(session, me().id) if row.id == export_id), None)
        if found is None:
            raise NotFound(_("There is no such record."))
        made = exporting.again(session, found, parts().clock())
    return downloads.response(made)


def _entry(entry_id: str, fault: str = "", file_fault: str = "") -> str:
    with parts().database.reading() as session:
        row = ledger.own(session, me().id, entry_id[:40])
        shown = entry_view(ledger_lines.lines(session, [row])[0])
        files = evidence.files_of(session, row.id)
    open_to_me = row.entered_by_id == me().id and shown["can_be_reversed"] and not shown["signed"]
    return render_template(
        "trainee/record_entry.html",
        entry=shown,
        fault=fault,
        files=evidencing.file_views(files),
        file_fault=file_fault,
        typed=request.form.get("reason", "")[:4000],
        may_take_back=open_to_me,
    )


def _myself() -> entitlements.Fetch:
    own_id = me().id
    return lambda session: accounts.colleague(session, own_id, own_id)
