"""Practical examinations: begun, marked beside the candidate, settled between two examiners, closed, printed."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.admitting import accounts
from trainer.services.admitting.entitlements import EXAMINING
from trainer.services.examining import practicals, scoring_practicals, specimens
from trainer.store.models import Person
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking import forms, paging
from trainer.web.asking.practical_forms import HoldForm
from trainer.web.sheets import practical_sheet
from trainer.web.shelving import as_written

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

bp = guarded_blueprint("practicals", __name__, EXAMINING, "/practicals")
Page = str | tuple[str, int] | Response
MOST_TOGETHER = 10


@bp.get("/")
def all_practicals() -> Page:
    """The practicals of the asker, and the form that begins one."""
    return _list(HoldForm(formdata=None, checklist=request.args.get("checklist", "")[:80]))


@bp.post("/")
def hold() -> Page:
    """Begin a practical."""
    form = HoldForm()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            made = practicals.hold(
                session, parts().bank, me().id, forms.number(form.person.data), form.checklist.data,
                forms.number(form.specimen.data), forms.whole(form.pass_mark.data), form.second_id,
                parts().clock(),
            ).id  # fmt: skip
        if not form.errors:
            return redirect(url_for("practicals.practical", sheet_id=made), 303)
    return _list(form), 422


@bp.get("/checklists/<checklist_id>")
def checklist(checklist_id: str) -> Page:
    """One checklist with its sources, to read and to print empty."""
    found = parts().bank.practical(checklist_id[:80]).practical
    return render_template(
        "instructor/checklist.html", checklist=found, areas=practical_sheet.empty_areas(found),
        cautions=practical_sheet.cautions(parts().bank, found),
    )  # fmt: skip


@bp.get("/<int:sheet_id>")
def practical(sheet_id: int) -> Page:
    """One practical: to be marked, to be settled, or closed with what it gave."""
    return _sheet(sheet_id, forms.Voiding(formdata=None))


@bp.get("/<int:sheet_id>/form")
def filled_form(sheet_id: int) -> Page:
    """The checklist of a practical with the marks so far, to print and sign. It holds no map."""
    return _render(sheet_id, "practical_form")


@bp.post("/<int:sheet_id>/mark")
def mark(sheet_id: int) -> Page:
    """Keep one press; the same key sent twice is kept once."""
    point, key = request.form.get("point", "")[:80], request.form.get("key", "")[:40] or None
    with parts().database.writing() as session:
        practicals.mark(
            session, parts().bank, me().id, sheet_id, point, request.form.get("mark", "")[:40], key, parts().clock()
        )  # fmt: skip
    return redirect(url_for("practicals.practical", sheet_id=sheet_id, _anchor=f"point-{point}"), 303)


@bp.post("/<int:sheet_id>/stand")
def stand(sheet_id: int) -> Page:
    """Let the asker's marks stand."""
    form = forms.Voiding(formdata=None)
    with form.taking(), parts().database.writing() as session:
        practicals.stand_by(session, parts().bank, me().id, sheet_id, parts().clock())
    return (_sheet(sheet_id, form), 422) if form.reason.errors else _back(sheet_id)


@bp.post("/<int:sheet_id>/close")
def close(sheet_id: int) -> Page:
    """Score it, with others of the same sitting that are ticked, and enter it into the ledger."""
    form = forms.Voiding(formdata=None)
    ids = [sheet_id, *(forms.number(one) for one in request.form.getlist("also")[:MOST_TOGETHER])]
    with form.taking(), parts().database.writing() as session:
        scoring_practicals.close(session, as_written().bank, me().id, ids, parts().clock())
    if form.reason.errors:
        return _sheet(sheet_id, form), 422
    flash(_("Closed. The entry waits for a countersignature."), "done")
    return _back(sheet_id)


@bp.post("/<int:sheet_id>/void")
def void(sheet_id: int) -> Page:
    """Declare it void, with the reason."""
    form = forms.Voiding()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            practicals.void(session, parts().bank, me().id, sheet_id, form.reason.data, parts().clock())
        if not form.errors:
            return _back(sheet_id)
    return _sheet(sheet_id, form), 422


def _back(sheet_id: int) -> Response:
    return redirect(url_for("practicals.practical", sheet_id=sheet_id), 303)


def _list(form: HoldForm) -> str:
    bank = parts().bank
    with parts().database.reading() as session:
        found = practicals.of_examiner(session, me().id, paging.asked())
        facts = {
            "running": practicals.how_many_run(session, me().id),
            "people": accounts.page(session, practicals.candidates(me().id), paging.asked("people-")),
            "chosen": _chosen(session, form.person.data or ""),
            "others": practicals.colleagues(session, me().id),
            "pieces": specimens.in_use(session, me().id),
        }
    return render_template(
        "instructor/practicals.html", form=form, rows=found.showing(practical_sheet.lines(bank, found.rows)),
        checklists=practical_sheet.offered(bank), **facts,
    )  # fmt: skip


def _chosen(session: Session, typed: str) -> Person | None:
    """The candidate whom a form that comes back had chosen, on whichever page of the list."""
    if not (typed.isascii() and typed.isdigit() and len(typed) < 10):
        return None
    return session.scalar(practicals.candidates(me().id).where(Person.id == int(typed)))


def _sheet(sheet_id: int, form: forms.Voiding) -> str:
    return _render(sheet_id, "practical", form=form, key=lambda: secrets.token_hex(16))


def _render(sheet_id: int, template: str, **more: object) -> str:
    with parts().database.reading() as session:
        held = practicals.own(session, parts().bank, me().id, sheet_id)
        view = practical_sheet.view(held, me().id)
        others = scoring_practicals.beside(session, parts().bank, me().id, held) if held.settled else []
        also = [(one.row.id, f"{one.row.specimen.code}: {one.checklist.title}") for one in others]
        cautions = practical_sheet.cautions(parts().bank, held.checklist)
    return render_template(f"instructor/{template}.html", it=view, cautions=cautions, also=also, **more)
