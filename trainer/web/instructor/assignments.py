"""Sets that are given: those of a class, and one of them with how far everybody is."""

from __future__ import annotations

from flask import flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.teaching import assignments, classes
from trainer.web.access import me, parts, this_day
from trainer.web.instructor import bp
from trainer.web.sheets import days

Page = str | tuple[str, int] | Response


@bp.get("/classes/<int:class_id>/sets")
def sets_of_class(class_id: int) -> Page:
    """The sets that are given to a class, each with how far the class is."""
    with parts().database.reading() as session:
        title = classes.own_class(session, me().id, class_id).title
        people = classes.members(session, me().id, class_id)
        rows = []
        for row in assignments.given(session, me().id, class_id=class_id):
            so_far = assignments.measure(session, parts().shelf, row, people)
            finished = sum(one.done == one.of for one in so_far)
            rows.append((row, row.drill_set.title, days.day(row.due_on), finished))
    return render_template(
        "instructor/sets_of_class.html", class_id=class_id, title=title, rows=rows, people=len(people)
    )


@bp.get("/assignments/<int:assignment_id>")
def assignment(assignment_id: int) -> Page:
    """Who is how far with one assignment, drill by drill."""
    bank = parts().bank
    with parts().database.reading() as session:
        row = assignments.own(session, me().id, assignment_id)
        whom, people = assignments.whose(session, me().id, row)
        so_far = assignments.measure(session, parts().shelf, row, people)
        drill_set = row.drill_set
        lines = [(line.drill_id, line.find, bank.drills.get(line.drill_id)) for line in drill_set.lines]
    late = row.due_on is not None and row.due_on < this_day()
    return render_template(
        "instructor/set_given.html", row=row, drill_set=drill_set, whom=whom, so_far=so_far, lines=lines,
        due=days.day(row.due_on), late=late, finished=sum(one.done == one.of for one in so_far),
    )  # fmt: skip


@bp.post("/assignments/<int:assignment_id>/withdraw")
def withdraw_set(assignment_id: int) -> Page:
    """Take a set back; answers stay."""
    with parts().database.writing() as session:
        set_id = assignments.withdraw(session, me().id, assignment_id, parts().clock()).set_id
    flash(_("The set is taken back. What was answered stays."), "done")
    return redirect(url_for("instructor.drill_set", set_id=set_id), 303)
