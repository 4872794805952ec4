"""Appeals: written down on the candidate's paper, marked again by a second person with the reason."""

from __future__ import annotations

from flask import flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.examining import appeals, sittings
from trainer.store.models import Appeal
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking import forms, paging
from trainer.web.asking.sitting_forms import AppealForm, RemarkForm
from trainer.web.instructor import bp as teaching
from trainer.web.instructor.papers import sheet
from trainer.web.sheets import paper_sheet

bp = guarded_blueprint("appeals", __name__, appeals.DECIDING, "/appeals")
Page = str | tuple[str, int] | Response


@teaching.post("/papers/<int:paper_id>/appeal")
def write_appeal(paper_id: int) -> Page:
    """Write down a candidate's appeal against one item."""
    form = AppealForm(prefix="appeal-")
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            appeals.write_down(
                session, me().id, paper_id, forms.whole(form.item.data), form.says.data, parts().clock()
            )
        if not form.errors:
            flash(_("Written down. An examiner or the Level III finds it under Appeals."), "done")
            return redirect(url_for("instructor.candidate", paper_id=paper_id), 303)
    return sheet(paper_id, appeal=form), 422


@bp.get("/")
def all_appeals() -> Page:
    """The appeals of the house: those that wait first."""
    with parts().database.reading() as session:
        found, waiting = (
            appeals.of_house(session, me().id, paging.asked()),
            appeals.how_many_wait(session, me().id),
        )
        names = sittings.names(session, (one.answer.paper.person_id for one in found.rows))
        rows = found.showing([_line(one, names) for one in found.rows])
    return render_template("instructor/appeals.html", rows=rows, waiting=waiting)


@bp.get("/<int:appeal_id>")
def appeal(appeal_id: int) -> Page:
    """One appealed item: what was asked and written, the key, and the form that marks it again."""
    return _sheet(appeal_id, RemarkForm(formdata=None))


@bp.post("/<int:appeal_id>")
def mark_again(appeal_id: int) -> Page:
    """Mark the item again, with the reason."""
    form = RemarkForm()
    if form.validate():
        with form.taking("reason"), parts().database.writing() as session:
            appeals.decide(
                session, me().id, appeal_id, form.verdict.data or "", form.reason.data, parts().clock()
            )
        if not form.errors:
            return redirect(url_for("appeals.appeal", appeal_id=appeal_id), 303)
    return _sheet(appeal_id, form), 422


def _line(one: Appeal, names: dict[int, str]) -> dict[str, object]:
    paper = one.answer.paper
    return {
        "id": one.id, "who": names[paper.person_id], "what": _("%(title)s, item %(item)s", title=paper.sitting.title, item=one.answer.position),
        "says": one.says, "was": one.was, "verdict": one.verdict,
    }  # fmt: skip


def _sheet(appeal_id: int, form: RemarkForm) -> str:
    with parts().database.reading() as session:
        found = appeals.one(session, me().id, appeal_id)
        row, paper = found.answer, found.answer.paper
        names = sittings.names(session, (paper.person_id, found.decided_by_id))
        it = paper_sheet.verdict_view(session, parts().shelf, row, paper.decimal or parts().settings.decimal)
        facts = {
            "found": found, "row": row, "who": names[paper.person_id], "title": paper.sitting.title,
            "may": found.decided_at is None and appeals.may_decide(session, me().id, found),
            "by": names.get(found.decided_by_id or 0, ""), "entry": paper.entry_id,
            "item": paper_sheet.item_view(session, parts().shelf, row),
        }  # fmt: skip
    return render_template("instructor/appeal.html", form=form, **facts, **it)
