"""Classes: a list, a form, the roster and the meetings of one."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.admitting import accounts
from trainer.services.keeping import backup_age
from trainer.services.keeping.paging import count
from trainer.services.teaching import class_copies, classes, roster
from trainer.web.access import me, parts, this_day
from trainer.web.asking import forms, paging
from trainer.web.instructor import bp

Page = str | tuple[str, int] | Response


@bp.get("/classes", endpoint="classes")
def list_page() -> Page:
    """Show the instructor's classes, and the form to make one."""
    today = this_day()
    return _list(forms.ClassForm(level="I", starts_on=today))


@bp.post("/classes")
def make_class() -> Page:
    """Make a class."""
    form = forms.ClassForm()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            made = classes.make(
                session, me().id, form.title.data, form.level.data, form.starts_on.day, parts().clock()
            )
        if not form.errors:
            flash(_("The class %(title)s is made. Put people on its roster.", title=made.title), "done")
            return redirect(url_for("instructor.class_page", class_id=made.id), 303)
    return _list(form), 422


@bp.get("/classes/<int:class_id>")
def class_page(class_id: int) -> Page:
    """Show one class."""
    return class_sheet(class_id)


@bp.post("/classes/<int:class_id>")
def change_class(class_id: int) -> Page:
    """Write another title, level or first day."""
    form = forms.ClassForm()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            classes.change(session, me().id, class_id, form.title.data, form.level.data, form.starts_on.day)
        if not form.errors:
            flash(_("The class is kept."), "done")
            return redirect(url_for("instructor.class_page", class_id=class_id), 303)
    return class_sheet(class_id, form), 422


@bp.post("/classes/<int:class_id>/members")
def add_members(class_id: int) -> Page:
    """Put people on the roster of a class."""
    wanted = [forms.number(text) for text in request.form.getlist("person")]
    with parts().database.writing() as session:
        added = classes.add_members(session, me().id, class_id, wanted, parts().clock())
    flash(_("New on the roster of this class: %(added)s.", added=added), "done")
    return redirect(url_for("instructor.class_page", class_id=class_id), 303)


@bp.post("/classes/<int:class_id>/members/<int:person_id>/remove")
def remove_member(class_id: int, person_id: int) -> Page:
    """Take a person off the roster of a class."""
    with parts().database.writing() as session:
        classes.remove_member(session, me().id, class_id, person_id, parts().clock())
    flash(_("Taken off the roster. What was done in the class stays."), "done")
    return redirect(url_for("instructor.class_page", class_id=class_id), 303)


@bp.post("/classes/<int:class_id>/close")
def close_class(class_id: int) -> Page:
    """Close a class: it leaves the trainees' pages, its records stay."""
    return _close(class_id, closed=True)


@bp.post("/classes/<int:class_id>/open")
def open_class(class_id: int) -> Page:
    """Open a closed class again."""
    return _close(class_id, closed=False)


@bp.get("/classes/<int:class_id>/again")
def again(class_id: int) -> Page:
    """The form to teach a class again."""
    with parts().database.reading() as session:
        found = classes.own_class(session, me().id, class_id)
    form = forms.ClassForm(formdata=None, title="", level=found.level, starts_on=this_day())
    return render_template("instructor/class_again.html", found=found, form=form)


@bp.post("/classes/<int:class_id>/again")
def teach_again(class_id: int) -> Page:
    """Make a class like this one, with its meetings and sets moved to a new first day."""
    form = forms.ClassForm()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            made = class_copies.teach_again(
                session, me().id, class_id, form.title.data, form.level.data, form.starts_on.day, parts().clock()
            ).id  # fmt: skip
        if not form.errors:
            flash(
                _(
                    "The class %(title)s is made. Check its days, then put people on its roster.",
                    title=form.title.data,
                ),
                "done",
            )
            return redirect(url_for("instructor.class_page", class_id=made), 303)
    with parts().database.reading() as session:
        found = classes.own_class(session, me().id, class_id)
    return render_template("instructor/class_again.html", found=found, form=form), 422


def class_sheet(
    class_id: int, form: forms.ClassForm | None = None, meeting: forms.MeetingForm | None = None
) -> str:
    """The page of one class, with either of its two forms as it was sent."""
    with parts().database.reading() as session:
        found = classes.own_class(session, me().id, class_id)
        members = accounts.page(session, classes.on_roster(class_id), paging.asked("roster-"))
        others = accounts.page(session, classes.off_roster(me().id, class_id), paging.asked("others-"))
        meetings = list(found.meetings)
        waiting = count(session, roster.waiting(session, me().id, classes.on_roster(class_id)))
    today = this_day()
    return render_template(
        "instructor/class_form.html",
        found=found,
        form=form
        or forms.ClassForm(formdata=None, title=found.title, level=found.level, starts_on=found.starts_on),
        meeting_form=meeting or forms.MeetingForm(formdata=None, held_on=today, level=found.level),
        members=members,
        others=others,
        meetings=meetings,
        waiting=waiting,
    )


def _list(form: forms.ClassForm) -> str:
    with parts().database.reading() as session:
        found = classes.page(session, me().id, paging.asked())
        counts = classes.sizes(session, [one.id for one in found.rows])
        running = classes.how_many_run(session, me().id)
    backup = backup_age.sentence(parts().settings, parts().clock())
    return render_template(
        "instructor/classes.html", form=form, classes=found, running=running, counts=counts, backup=backup
    )


def _close(class_id: int, closed: bool) -> Response:
    with parts().database.writing() as session:
        classes.set_closed(session, me().id, class_id, closed, parts().clock())
    flash(_("The class is closed. Its records stay.") if closed else _("The class is open again."), "done")
    return redirect(url_for("instructor.class_page", class_id=class_id), 303)
