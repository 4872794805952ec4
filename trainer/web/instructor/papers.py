"""One candidate's paper as the invigilator sees it: extra time, void, and after the close what was written."""

from __future__ import annotations

from flask import flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.languages import N_, _
from trainer.services.examining import appeals, papers, scoring_papers, sittings
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.asking.sitting_forms import AppealForm, ExtraTime
from trainer.web.instructor import bp
from trainer.web.instructor.sittings import state_words
from trainer.web.sheets import paper_sheet

Page = str | tuple[str, int] | Response


@bp.get("/papers/<int:paper_id>")
def candidate(paper_id: int) -> Page:
    """One paper: its time, and after the close each item with its verdict."""
    return sheet(paper_id)


@bp.post("/papers/<int:paper_id>/time")
def more_time(paper_id: int) -> Page:
    """Give one candidate extra minutes."""
    form = ExtraTime()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            paper = sittings.more_time(
                session, me().id, paper_id, forms.whole(form.minutes.data), form.reason.data, parts().clock()
            )
            sitting_id = paper.sitting_id
        if not form.errors:
            return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)
    return sheet(paper_id, time=form), 422


@bp.post("/papers/<int:paper_id>/void")
def void_paper(paper_id: int) -> Page:
    """Declare one paper void, with the reason."""
    form = forms.Voiding(prefix="void-")
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            paper = sittings.void_paper(session, me().id, paper_id, form.reason.data, parts().clock())
            sitting_id = paper.sitting_id
        if not form.errors:
            return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)
    return sheet(paper_id, void=form), 422


@bp.post("/papers/<int:paper_id>/enter")
def enter_score(paper_id: int) -> Page:
    """Enter a score that the ledger did not take at the close."""
    with parts().database.writing() as session:
        paper = scoring_papers.enter_again(session, me().id, paper_id, parts().clock())
        fault = scoring_papers.not_entered(paper)
    flash(
        _(fault or N_("The score is in the ledger and waits for a countersignature.")),
        "stop" if fault else "done",
    )
    return redirect(url_for("instructor.candidate", paper_id=paper_id), 303)


def sheet(
    paper_id: int, time: ExtraTime | None = None, void: forms.Voiding | None = None,
    appeal: AppealForm | None = None,
) -> str:  # fmt: skip
    """One paper, with the forms as they were sent, if one was."""
    now, shelf = parts().clock(), parts().shelf
    with parts().database.reading() as session:
        paper = sittings.own_paper(session, me().id, paper_id)
        found, not_entered = paper.sitting, scoring_papers.not_entered(paper)
        names = sittings.names(session, sittings.named_in(found))
        rows = paper.answers if found.state == "closed" and paper.score else []
        appealed = {one.answer_id: one for one in appeals.of_papers(session, [paper_id])}
        items = [(row, paper_sheet.asked_words(session, shelf, row), appealed.get(row.id)) for row in rows]
        facts = {
            "paper": paper, "found": found, "name": names[paper.person_id], "items": items,
            "state": state_words(found, paper), "until": f"{paper.deadline.astimezone():%H:%M}",
            "score": scoring_papers.score_of(paper), "not_entered": not_entered and _(not_entered),
            "kinds": scoring_papers.by_kind(paper), "over": papers.is_over(paper, now),
            "seen": names[paper.identity.by_id] if paper.identity else "",
            "may_change": found.state in {"open", "paused"} and paper.void_reason is None,
        }  # fmt: skip
    return render_template(
        "instructor/sitting_paper.html", time=time or ExtraTime(formdata=None),
        void=void or forms.Voiding(formdata=None, prefix="void-"),
        appeal=appeal or AppealForm(formdata=None, prefix="appeal-"), **facts,
    )  # fmt: skip
