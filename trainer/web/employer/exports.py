"""Signing and exporting the record of one person, and withdrawing what was signed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.languages import _, ngettext
from trainer.records.verification import MAX_FILE_BYTES
from trainer.services.admitting import accounts
from trainer.services.proving import exporting, issuers, record_signers, record_signing, withdrawals
from trainer.services.qualifying import standing
from trainer.store.models import Export, RecordSigner
from trainer.web import downloads
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.sheets import standing_sheet
from trainer.web.sheets.days import moment

bp = guarded_blueprint("exports", __name__, {"employer"}, "/employer/exports")
Page = str | tuple[str, int] | Response


@bp.get("/<int:person_id>", endpoint="exports")
def exports_page(person_id: int) -> Page:
    """Show the forms of export, and every signed record about the person."""
    return _page(person_id)


@bp.post("/<int:person_id>")
def export(person_id: int) -> Page:
    """Hand out the record of a person in the form that was chosen."""
    form = request.form.get("form", "")
    if form not in exporting.FORMS:
        with parts().database.reading() as session:
            accounts.colleague(session, me().id, person_id)
        raise NotFound(_("There is no such form of export. Choose one of those offered."))
    named = request.form.getlist("signer") if form in exporting.SIGNED else []
    try:
        return downloads.export(person_id, form, standing_sheet.asked(request.form), named)
    except Refused as fault:
        return _page(person_id, fault=str(fault)), 422


@bp.post("/records/<int:export_id>/file")
def file(export_id: int) -> Page:
    """Hand out a signed record once more, the same as before."""
    with parts().database.reading() as session:
        row = exporting.own_export(session, me().id, export_id)
        made = exporting.again(session, row, parts().clock())
    return downloads.response(made)


@bp.post("/records/<int:export_id>/signed")
def take_in(export_id: int) -> Page:
    """Take over the signatures of a copy that was signed elsewhere."""
    with parts().database.reading() as session:
        person_id = exporting.own_export(session, me().id, export_id).person_id
    sent = request.files.get("file")
    try:
        data = sent.read(MAX_FILE_BYTES + 1) if sent else b""
        if not data or len(data) > MAX_FILE_BYTES:
            raise Refused(_("Choose the signed copy: the record (JSON) or the certificate (PDF)."))
        with parts().database.writing() as session:
            count = record_signing.take_in(session, me().id, export_id, data, parts().clock())
    except (Refused, Unreadable) as fault:
        return _page(person_id, export_id, copy_fault=str(fault)), 422
    flash(ngettext("%(n)s signature is taken in.", "%(n)s signatures are taken in.", count), "done")
    return redirect(url_for("exports.exports", person_id=person_id), 303)


@bp.post("/records/<int:export_id>/suspend")
def suspend(export_id: int) -> Page:
    """Withdraw a signed record until it is given back."""
    return _withdraw(export_id, for_good=False)


@bp.post("/records/<int:export_id>/revoke")
def revoke(export_id: int) -> Page:
    """Withdraw a signed record for good."""
    return _withdraw(export_id, for_good=True)


@bp.post("/records/<int:export_id>/give-back")
def give_back(export_id: int) -> Page:
    """End the suspension of a record."""
    with parts().database.writing() as session:
        row = exporting.own_export(session, me().id, export_id)
        withdrawals.give_back(session, me().id, export_id, parts().clock())
    flash(_("Given back. Hand out the new status list."), "done")
    return redirect(url_for("exports.exports", person_id=row.person_id), 303)


@bp.post("/status")
def status() -> Page:
    """Hand out the signed status lists as they stand now."""
    key = downloads.own_key()
    earlier = issuers.earlier_keys(parts().settings.instance, key.did)
    with parts().database.reading() as session:
        made = withdrawals.status_lists(session, key, me().organisation, parts().clock(), earlier)
    return downloads.response(made)


def _withdraw(export_id: int, *, for_good: bool) -> Page:
    with parts().database.reading() as session:
        person_id = exporting.own_export(session, me().id, export_id).person_id
    try:
        with parts().database.writing() as session:
            reason = request.form.get("reason", "")
            withdrawals.withdraw(session, me().id, export_id, reason, parts().clock(), for_good=for_good)
    except (Refused, Conflict) as fault:
        return _page(person_id, export_id, str(fault)), 422
    flash(_("Withdrawn. Whoever holds the record sees it once they have the new status list."), "done")
    return redirect(url_for("exports.exports", person_id=person_id), 303)


def _page(person_id: int, faulty: int = 0, fault: str = "", copy_fault: str = "") -> str:
    wanted, offered = standing_sheet.asked(), standing_sheet.known()
    with parts().database.reading() as session:
        found = accounts.colleague(session, me().id, person_id)
        placed = standing.place(session, found, wanted.on, offered, wanted.scheme, wanted.level)
        rows = [
            _row(row, record_signers.of_record(session, row.id))
            for row in exporting.exports_of(session, person_id)
        ]
        offers = record_signers.offers(session, me().id, person_id)
    return render_template(
        "employer/exports.html",
        person=found,
        placed=placed,
        heading=standing_sheet.heading(placed.standing),
        forms=[(form, _(told[0]), form in exporting.SIGNED) for form, told in exporting.FORMS.items()],
        offers=[(one.value, f"{one.person.name}, {_(one.role)}", "") for one in offers],
        ticked=request.form.getlist("signer"),
        rows=rows,
        faulty=faulty,
        fault=fault,
        copy_fault=copy_fault,
        typed=request.form.get("reason", "")[:400],
    )


def _row(row: Export, signers: Sequence[tuple[RecordSigner, str]]) -> dict[str, Any]:
    return {
        "row": row,
        "words": _(exporting.FORMS[row.kind][0]),
        "when": moment(row.made_at),
        "kept": exporting.verdict_kept(row),
        "signers": [
            (_(one.role), name, moment(one.signed_at) if one.signed_at else "") for one, name in signers
        ],
        "is_open": any(one.signed_at is None for one, _name in signers),
    }
