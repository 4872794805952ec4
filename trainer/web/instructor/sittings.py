"""Drill examinations of a class: planned, opened, watched, closed."""

from __future__ import annotations

import secrets

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.services import accounts, classes, sittings
from trainer.web import forms
from trainer.web.access import me, parts
from trainer.web.instructor import bp

Page = str | tuple[str, int] | Response
ALPHABET = "ABCDEFGHJKMNPQRTUVWXY346789"


@bp.get("/classes/<int:class_id>/examinations")
def examinations(class_id: int) -> Page:
    """The examinations of a class and the form for a new one."""
    return _page(class_id, forms.SittingForm())


@bp.post("/classes/<int:class_id>/examinations")
def plan_examination(class_id: int) -> Page:
    """Plan an examination from ticked drills."""
    form, ticked = forms.SittingForm(), request.form.getlist("drill")
    if form.validate():
        code = "".join(secrets.choice(ALPHABET) for _ in range(6))
        with form.taking(), parts().database.writing() as session:
            made = sittings.plan(
                session, parts().shelf, me().id, class_id, form.title.data, form.whole("minutes"),
                form.whole("pass_mark"), ticked, form.whole("each"), form.part.data or "", code, parts().clock(),
            ).id  # fmt: skip
        if not form.errors:
            return redirect(url_for("instructor.sitting", sitting_id=made), 303)
    return _page(class_id, form, ticked), 422


@bp.get("/sittings/<int:sitting_id>")
def sitting(sitting_id: int) -> Page:
    """The invigilator's board of one examination."""
    now = parts().clock()
    with parts().database.reading() as session:
        found = sittings.own_sitting(session, me().id, sitting_id)
        people = {p.id: p for p in accounts.people_of(session, me().id)}
        rows = [
            {
                "paper": paper,
                "person": people[paper.person_id],
                "written": sum(1 for a in paper.answers if a.text.strip()),
                "of": len(paper.answers),
                "running": sittings.is_running(paper, now),
                "score": sittings.score_of(paper),
            }
            for paper in found.papers
        ]
        title = classes.own_class(session, me().id, found.class_id or 0).title
    return render_template("instructor/sitting.html", found=found, rows=rows, title=title)


@bp.post("/sittings/<int:sitting_id>/open")
def open_sitting(sitting_id: int) -> Page:
    """Open it: the code lets the class in."""
    with parts().database.writing() as session:
        sittings.open_sitting(session, me().id, sitting_id, parts().clock())
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


@bp.post("/sittings/<int:sitting_id>/pause")
def pause_sitting(sitting_id: int) -> Page:
    """Stop everybody's time."""
    with parts().database.writing() as session:
        sittings.pause(session, me().id, sitting_id, parts().clock())
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


@bp.post("/sittings/<int:sitting_id>/resume")
def resume_sitting(sitting_id: int) -> Page:
    """Go on; the paused time is given back."""
    with parts().database.writing() as session:
        sittings.resume(session, me().id, sitting_id, parts().clock())
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


@bp.post("/sittings/<int:sitting_id>/close")
def close_sitting(sitting_id: int) -> Page:
    """Close it and mark every paper."""
    with parts().database.writing() as session:
        sittings.close(session, parts().shelf, me().id, sitting_id, parts().clock())
    flash("Closed and marked.", "done")
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


@bp.post("/sittings/<int:sitting_id>/void")
def void_sitting(sitting_id: int) -> Page:
    """Declare it void, with the reason."""
    with parts().database.writing() as session:
        sittings.void(session, me().id, sitting_id, request.form.get("reason", ""), parts().clock())
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


@bp.post("/papers/<int:paper_id>/time")
def more_time(paper_id: int) -> Page:
    """Give one candidate extra minutes."""
    text = request.form.get("minutes", "").strip()
    minutes = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else 0
    with parts().database.writing() as session:
        paper = sittings.more_time(
            session, me().id, paper_id, minutes, request.form.get("reason", ""), parts().clock()
        )
        sitting_id = paper.sitting_id
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


def _page(class_id: int, form: forms.SittingForm, ticked: list[str] | None = None) -> str:
    with parts().database.reading() as session:
        title = classes.own_class(session, me().id, class_id).title
        found = sittings.of_class(session, me().id, class_id)
    topics = {
        topic: scored
        for topic, drills in parts().bank.topics().items()
        if (scored := [d for d in drills if not d.unconfirmed])
    }
    return render_template(
        "instructor/sittings.html",
        class_id=class_id,
        title=title,
        found=found,
        form=form,
        ticked=ticked or [],
        topics=topics,
    )
