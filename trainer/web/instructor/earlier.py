"""Take over earlier records: from a spreadsheet, or from a signed record of another installation."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refused, Unreadable
from trainer.languages import _
from trainer.records.verification import MAX_FILE_BYTES
from trainer.services.admitting import entitlements
from trainer.services.keeping import spreadsheet
from trainer.services.proving import foreign_records, issuers
from trainer.services.proving.foreign_records import Foreign
from trainer.services.qualifying import earlier_file, earlier_records
from trainer.services.qualifying.earlier_file import Row
from trainer.services.qualifying.entry_plans import Planned
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.sheets.ledger_sheet import planned_view
from trainer.web.sheets.standing_sheet import known

bp = guarded_blueprint("earlier", __name__, entitlements.OVERSEEING, "/ledger/earlier")
Page = str | tuple[str, int] | Response


@bp.get("/")
def file_form() -> Page:
    """Show the form to choose a file."""
    return render_template("instructor/earlier.html", preview=None, fault="")


@bp.post("/")
def preview() -> Page:
    """Read the file and show every record in it; nothing is written."""
    try:
        rows = earlier_file.read(_sent(spreadsheet.MOST_BYTES))
    except (Refused, Unreadable) as fault:
        return render_template("instructor/earlier.html", preview=None, fault=str(fault)), 422
    return _preview(rows)


@bp.post("/take")
def take() -> Page:
    """Enter every record of the previewed file, or none."""
    rows = earlier_file.read(request.form.get("rows", "").encode())
    try:
        with parts().database.writing() as session:
            entered = earlier_records.take(session, me().id, rows, parts().clock(), list(known()))
    except Refused:  # somebody else entered one of them since the preview
        return _preview(rows)
    flash(
        _(
            "Entered: %(entered)s. Each counts once somebody entitled has countersigned it.",
            entered=len(entered),
        ),
        "done",
    )
    return redirect(url_for("ledger.people"), 303)


@bp.get("/record/<int:person_id>")
def record_form(person_id: int) -> Page:
    """Show the form to choose a signed record about a person."""
    return _record(person_id)


@bp.post("/record/<int:person_id>")
def record_preview(person_id: int) -> Page:
    """Verify the record and show its entries; nothing is written."""
    try:
        return _record(person_id, _foreign(_sent(MAX_FILE_BYTES)))
    except (Refused, Unreadable) as fault:
        return _record(person_id, fault=str(fault)), 422


@bp.post("/record/<int:person_id>/take")
def take_record(person_id: int) -> Page:
    """Enter what the previewed record holds."""
    try:
        foreign = _foreign(request.form.get("record", "").encode())
        with parts().database.writing() as session:
            entered = foreign_records.take(
                session, me().id, person_id, foreign, parts().clock(), list(known())
            )
    except (Refused, Unreadable) as fault:
        return _record(person_id, fault=str(fault)), 422
    flash(
        _(
            "Entered: %(entered)s. Each counts once somebody entitled has countersigned it.",
            entered=len(entered),
        ),
        "done",
    )
    return redirect(url_for("ledger.person", person_id=person_id), 303)


def _foreign(data: bytes) -> Foreign:
    with parts().database.reading() as session:
        believed = issuers.of_house(session, parts().settings.instance, me().id)
    return foreign_records.read(data, believed, parts().clock())


def _sent(most: int) -> bytes:
    sent = request.files.get("file")
    if sent is None or not sent.filename:
        raise Refused(_("Choose a file first."))
    return sent.stream.read(most + 1)


def _preview(rows: tuple[Row, ...]) -> Page:
    with parts().database.reading() as session:
        found = earlier_records.check(session, me().id, rows, parts().clock(), list(known()))
    page = render_template(
        "instructor/earlier.html",
        preview=found,
        lines=[
            {
                "line": one.line,
                "person": f"{one.person.works_number} {one.person.name}",
                **planned_view(one.planned),
            }
            for one in found.lines
        ],
        text=earlier_file.written(rows),
        fault="",
    )
    return (page, 422) if found.bad else page


def _record(person_id: int, foreign: Foreign | None = None, fault: str = "") -> str:
    planned: tuple[Planned, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()
    with parts().database.reading() as session:
        person = entitlements.overseen(session, me().id, person_id)
        if foreign is not None:
            found = foreign_records.check(
                session, me().id, person_id, foreign, parts().clock(), list(known())
            )
            planned, left_out = found.planned, found.left_out
    return render_template(
        "instructor/foreign_record.html",
        person=person,
        foreign=foreign,
        lines=[planned_view(one) for one in planned],
        left_out=left_out,
        fault=fault,
    )
