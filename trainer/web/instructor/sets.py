"""Drill sets of a class, and the class now."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.drawing.measures import run, tally
from trainer.services import board, classes, sets
from trainer.web import forms
from trainer.web.access import me, parts
from trainer.web.instructor import bp

Page = str | tuple[str, int] | Response


@bp.get("/classes/<int:class_id>/sets")
def sets_of_class(class_id: int) -> Page:
    """The sets of a class with how far everybody is, and the form for a new one."""
    return _page(class_id, forms.SetForm())


@bp.post("/classes/<int:class_id>/sets")
def give_set(class_id: int) -> Page:
    """Make a set from ticked drills and set it for the class."""
    form, ticked = forms.SetForm(), request.form.getlist("drill")
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            sets.set_for_class(
                session, parts().shelf, me().id, class_id, form.title.data, ticked, form.due, form.needed,
                parts().clock(),
            )  # fmt: skip
        if not form.errors:
            flash(f"{form.title.data} is set for the class.", "done")
            return redirect(url_for("instructor.sets_of_class", class_id=class_id), 303)
    return _page(class_id, form, ticked), 422


@bp.post("/sets/<int:assignment_id>/withdraw")
def withdraw_set(assignment_id: int) -> Page:
    """Take a set back; answers stay."""
    with parts().database.writing() as session:
        class_id = sets.withdraw(session, me().id, assignment_id, parts().clock()).class_id
    flash("The set is taken back. What was answered stays.", "done")
    return redirect(url_for("instructor.sets_of_class", class_id=class_id), 303)


@bp.get("/classes/<int:class_id>/now")
def class_now(class_id: int) -> Page:
    """The class now: slips as they are made, who is where."""
    wall = request.args.get("wall") == "1"
    template = (
        "instructor/board_region.html" if request.headers.get("X-Fragment") else "instructor/board.html"
    )
    with parts().database.reading() as session:
        found = board.of_class(session, parts().shelf, me().id, class_id, parts().clock())
    runs = {b.person.id: run(b.run, fid=f"run{b.person.id}") for b in found.benches}
    strokes = [tally(s.count, fid=f"tally{i}") for i, s in enumerate(found.stumbles)]
    return render_template(
        template, found=found, class_id=class_id, wall=wall, runs=runs, strokes=strokes,
        body_class="wall" if wall else "",
    )  # fmt: skip


def _page(class_id: int, form: forms.SetForm, ticked: list[str] | None = None) -> str:
    with parts().database.reading() as session:
        title = classes.own_class(session, me().id, class_id).title
        given = sets.of_class(session, me().id, class_id)
    return render_template(
        "instructor/sets.html", class_id=class_id, title=title, given=given, form=form, ticked=ticked or [],
        topics=parts().bank.topics(), titles={d: e.drill.title for d, e in parts().bank.drills.items()},
    )  # fmt: skip
