"""The invigilator's presses beside the clock, and the record of an examination to print and sign."""

from __future__ import annotations

from typing import Any

from flask import redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.examinations.plan import Plan
from trainer.languages import _
from trainer.services.examining import appeals, invigilation, scoring_papers, sittings
from trainer.services.teaching import classes
from trainer.store.models import Paper, Sitting
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.asking.sitting_forms import IncidentForm
from trainer.web.instructor import bp
from trainer.web.instructor.sittings import board, incident_rows, state_words

Page = str | tuple[str, int] | Response


@bp.post("/papers/<int:paper_id>/identity")
def confirm_identity(paper_id: int) -> Page:
    """Confirm that the candidate was seen at this paper."""
    with parts().database.writing() as session:
        sitting_id = invigilation.confirm_identity(session, me().id, paper_id, parts().clock()).sitting_id
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


@bp.post("/sittings/<int:sitting_id>/incidents")
def write_incident(sitting_id: int) -> Page:
    """Write down what happened."""
    form = IncidentForm()
    if form.validate():
        about = forms.number(form.paper.data) if form.paper.data else None
        with form.taking("says"), parts().database.writing() as session:
            invigilation.write_down(session, me().id, sitting_id, form.says.data, about, parts().clock())
        if not form.errors:
            return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)
    return board(sitting_id, incident=form), 422


@bp.get("/sittings/<int:sitting_id>/record")
def sitting_record(sitting_id: int) -> Page:
    """The record of an examination on paper: who was seen, times, incidents, appeals, room to sign."""
    with parts().database.reading() as session:
        found = sittings.own_sitting(session, me().id, sitting_id)
        appealed = appeals.of_papers(session, [paper.id for paper in found.papers])
        deciding = {one.decided_by_id for one in appealed}
        names = sittings.names(session, sittings.named_in(found) | deciding)
        whose = {paper.id: names[paper.person_id] for paper in found.papers}
        facts = {
            "found": found, "plan": Plan.of_data(found.plan),
            "title": classes.own_class(session, me().id, found.class_id or 0).title,
            "rows": [_row(found, paper, names) for paper in found.papers],
            "incidents": incident_rows(found, names), "missing": sittings.missing(session, me().id, found),
            "appeals": [
                (whose[one.answer.paper_id], one.answer.position, one, names.get(one.decided_by_id or 0, ""))
                for one in appealed
            ],
        }  # fmt: skip
    return render_template("instructor/sitting_record.html", **facts)


def _row(found: Sitting, paper: Paper, names: dict[int, str]) -> dict[str, Any]:
    score = scoring_papers.score_of(paper)
    extra = f"{paper.extra_minutes} min: {paper.extra_reason}" if paper.extra_minutes else ""
    void = _("void: %(reason)s", reason=paper.void_reason) if paper.void_reason else ""
    return {
        "name": names[paper.person_id],
        "seen": f"{paper.identity.at.astimezone():%H:%M}, {names[paper.identity.by_id]}" if paper.identity else _("not confirmed"),
        "began": f"{paper.started_at.astimezone():%H:%M}",
        "ended": f"{paper.handed_in_at.astimezone():%H:%M}, {state_words(found, paper)}" if paper.handed_in_at else "",
        "notes": "; ".join(filter(None, (extra, void))),
        "score": _("%(part)s of %(whole)s", part=score.right, whole=score.of) if score else "",
        "entry": paper.entry_id or "",
    }  # fmt: skip
